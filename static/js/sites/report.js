// What was measured at a pedestal, for the park's office: readings, and nothing of the person or of what they may mean.
import { spoken } from "../lib/times.js";
import { CONTINUITIES, PAIRS, STATES, SUPPLIES } from "../lib/words.js";

/** @import { Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { SiteCheck, Place } from "./places.js" */
/** @typedef {Pick<Check, "volts"|"lamps"|"loaded">} Set_ */

const END = [
  "This is what a camper read with hand-held instruments. It is no inspection, and says nothing of what was not read.",
  "Please let whoever looks after the installation have it.",
];

/**
 * @param {Place} place
 * @param {SiteCheck} met the check that is reported
 * @returns {string}
 */
export function reportOf(place, { record }) {
  const { check } = record.body;
  const where = [place.park, place.site && `site ${place.site}`].filter(Boolean).join(", ");
  return [
    "Readings at a campground pedestal",
    "",
    `Place: ${where}`,
    `Read: ${spoken(record.observed_at)}, by the clock there`,
    `Outlet: ${check.outlet}, fed by ${SUPPLIES[check.supply ?? "utility"]}`,
    `Number on its breaker: ${check.breaker_amps ?? "not read"}`,
    "",
    ...linesOf(check),
    "",
    ...END,
    "",
  ].join("\n");
}

/** @param {Check} check */
function linesOf(check) {
  return [
    ...setLines(check, ""),
    ...(check.more ?? []).flatMap((set) => setLines(set, `${STATES[set.state ?? "as-found"]}: `)),
    ...(check.hertz ? [`Frequency: ${check.hertz}`] : []),
    ...Object.entries(check.continuity ?? {}).map(([pair, state]) => `${CONTINUITIES[pair]}: ${state}`),
    `Damage: ${check.look ? check.look.join(", ").replace(/-/g, " ") || "looked for, none seen" : "not looked for"}`,
    ...(check.meter ? [meterLine(check.meter)] : []),
  ];
}

/** @param {Set_} set @param {string} before */
function setLines({ volts, lamps, loaded }, before) {
  return [
    ...Object.entries(volts ?? {}).map(([pair, shown]) => `${before}${PAIRS[pair] ?? pair}: ${shown}`),
    ...Object.entries(lamps ?? {}).map(([pair, lamp]) => `${before}Lamp ${PAIRS[pair] ?? pair}: ${lamp}`),
    ...(loaded
      ? [
          `${before}With a load of ${loaded.amps}:`,
          ...Object.entries(loaded.volts ?? {}).map(([pair, shown]) => `  ${PAIRS[pair] ?? pair}: ${shown}`),
        ]
      : []),
  ];
}

/** @param {NonNullable<Check["meter"]>} meter */
const meterLine = ({ accuracy_percent, accuracy_volts }) =>
  `Meter: exact to ${accuracy_percent ?? "1.0 %"} and ${accuracy_volts ?? "0.3 V"}${
    accuracy_percent && accuracy_volts ? "" : " (assumed)"
  }`;
