// The pedestals that were met before, from the checks on this phone.
import { dayOf } from "../lib/times.js";
import { chains } from "../outbox/chains.js";

/** @import { RecordArrivalCheck } from "../../../schemas/shapes/record.d.ts" */
/** @import { Row } from "../outbox/rows.js" */
/** @typedef {Row & {record: RecordArrivalCheck}} SiteCheck */

/**
 * @typedef {object} Place
 * @property {string} key
 * @property {string} park
 * @property {string} site
 * @property {SiteCheck[]} checks what counts of each, newest first
 * @property {Row[]} photos of any of them
 * @property {Row[]} notes newest first
 */

const DAY_MS = 86_400_000;
const YEAR_DAYS = 365;
/** Own choice: how many days either way the same weeks of last year are. */
const AROUND_DAYS = 45;

/**
 * Every place that a check names, the one met last first; a check without a place is in none.
 * @param {Row[]} rows in order
 * @returns {Place[]}
 */
export function placesOf(rows) {
  const all = chains(rows);
  /** @type {Map<string, Place>} */
  const places = new Map();
  const counting = all.flatMap((chain) => chain.slice(-1)).filter(({ record }) => record.kind === "arrival-check");
  for (const row of counting.sort((a, b) => momentOf(b) - momentOf(a))) {
    const met = /** @type {SiteCheck} */ (row);
    const { park = "", site = "" } = met.record.body.place ?? {};
    const key = keyOf(park, site);
    if (key === "\n") continue;
    const place = places.get(key) ?? { key, park: park.trim(), site: site.trim(), checks: [], photos: [], notes: [] };
    place.checks.push(met);
    places.set(key, place);
  }
  const byCheck = new Map([...places.values()].flatMap((place) => idsOf(place, all).map((id) => [id, place])));
  for (const row of all.flatMap((chain) => chain.slice(-1)).sort((a, b) => momentOf(b) - momentOf(a)))
    if (row.record.kind === "site-note") {
      const { park, site } = row.record.body.place;
      places.get(keyOf(park, site))?.notes.push(row);
    } else if (row.record.kind === "photo") byCheck.get(row.record.subject ?? "")?.photos.push(row);
  return [...places.values()];
}

/** @param {Place} place @param {Row[][]} all */
function idsOf({ checks }, all) {
  const own = new Set(checks.map(({ id }) => id));
  return all.filter((chain) => chain.some(({ id }) => own.has(id))).flatMap((chain) => chain.map(({ id }) => id));
}

/** @param {string} park @param {string} site */
const keyOf = (park, site) => [park, site].map((name) => name.trim().toLowerCase().replace(/\s+/g, " ")).join("\n");

/** @param {Row} row */
const momentOf = ({ record }) => Date.parse(record.observed_at);

/**
 * Where the person was in these weeks of last year, if anywhere.
 * @param {Place[]} places
 * @param {number} now
 */
export const lastYearAt = (places, now) =>
  places.find(({ checks }) =>
    checks.some((row) => Math.abs((now - momentOf(row)) / DAY_MS - YEAR_DAYS) <= AROUND_DAYS),
  ) ?? null;

/** @param {Place} place @param {string} words every one of which has to be found */
export const isFound = ({ park, site, checks }, words) => {
  const text = [park, site, ...checks.map(({ record }) => dayOf(record.observed_at))].join(" ").toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
};

/** The pair that is a 120 V outlet's or leg's own. @param {SiteCheck} row */
export const voltsOf = ({ record }) => {
  const { volts = {} } = record.body.check;
  return /** @type {string|undefined} */ (volts["h-n"] ?? volts["x-n"]);
};

/**
 * Volts by the hour of the clock there, from the first hour of the day on.
 * @param {Place} place
 * @returns {{hour: string, low: number, high: number, count: number}[]}
 */
export function voltsByHour({ checks }) {
  /** @type {Map<string, number[]>} */
  const hours = new Map();
  for (const row of checks) {
    const volts = Number.parseFloat(voltsOf(row) ?? "");
    const hour = row.record.observed_at.slice(11, 13);
    if (Number.isFinite(volts)) hours.set(hour, [...(hours.get(hour) ?? []), volts]);
  }
  return [...hours]
    .sort(([a], [b]) => Number(a) - Number(b))
    .map(([hour, read]) => ({ hour, low: Math.min(...read), high: Math.max(...read), count: read.length }));
}
