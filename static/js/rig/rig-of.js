// Rigs as the rows of the phone tell them. The Python twin is fieldlog/model/rig.py.
import { chains } from "../outbox/chains.js";

/**
 * @typedef {object} Noted a record with its corrections; the newest version counts
 * @property {string} id of the first version, which names it for good
 * @property {string[]} ids of all versions
 * @property {Record<string, any>} record the newest version
 * @property {Record<string, any>} body of the newest version
 */

/**
 * @typedef {object} Rig
 * @property {string} id
 * @property {string} name
 * @property {Record<string, any>} body
 * @property {Noted[]} outlets as they were first noted
 * @property {Noted[]} devices as they were first noted
 * @property {(kind: string, subject?: Noted) => Noted[]} newest its records of a kind, or those about one thing,
 *   newest first
 * @property {(kind: string) => Record<string, any>[]} versions its records of a kind with all that they corrected, in
 *   the order of the rows
 */

/** @param {import("../outbox/rows.js").Row[]} rows in order @returns {Rig[]} as they were first noted */
export function rigsOf(rows) {
  const noted = chains(rows).map(notedOf);
  return noted.filter(({ record }) => record.kind === "rig").map((rig) => rigOf(rig, noted, rows));
}

function notedOf(chain) {
  const { record } = chain.at(-1);
  return { id: chain[0].id, ids: chain.map(({ id }) => id), record, body: record.body };
}

function rigOf({ id, body }, noted, rows) {
  const own = noted.filter(({ record }) => record.rig === id);
  const of = (kind) => own.filter(({ record }) => record.kind === kind);
  const newest = (kind, subject) =>
    of(kind)
      .filter(({ record }) => !subject || subject.ids.includes(record.subject))
      .reverse()
      .sort(byTime);
  const versions = (kind) =>
    rows.map(({ record }) => record).filter((record) => record.kind === kind && record.rig === id);
  return { id, name: body.name, body, outlets: of("outlet"), devices: of("device"), newest, versions };
}

/** @param {Noted} noted @returns {number} when it was observed, in milliseconds */
export const momentOf = ({ record }) => Date.parse(record.observed_at);

const byTime = (a, b) => momentOf(b) - momentOf(a);
