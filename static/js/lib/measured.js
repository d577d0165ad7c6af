/** Units of the members of a check that are single measured values. */
const UNITS = {
  breaker_amps: "A",
  hertz: "Hz",
  accuracy_percent: "%",
  accuracy_volts: "V",
  milliseconds: "ms",
  milliamps: "mA",
};

/**
 * Takes the number out of a measured value, "121.3 V".
 * @param {string} text
 * @param {string} unit
 * @returns {number}
 */
export function measured(text, unit) {
  const match = /^(\d{1,5}(?:\.\d{1,4})?) (.+)$/.exec(text);
  if (!match || match[2] !== unit) throw new Error(`“${text}” is not a measured value in ${unit}.`);
  return Number(match[1]);
}

/**
 * Turns a check as it is recorded into the numbers that assess takes.
 * @param {Record<string, any>} check
 * @returns {Record<string, any>}
 */
export function checkInput(check) {
  const input = numbers(check);
  if (check.meter) input.meter = numbers(check.meter);
  if (check.trip) input.trip = check.trip.map(numbers);
  if (check.volts) input.volts = Object.fromEntries(Object.entries(check.volts).map(([pair, text]) => [pair, measured(text, "V")]));
  return input;
}

/** @param {Record<string, any>} members @returns {Record<string, any>} */
function numbers(members) {
  return Object.fromEntries(
    Object.entries(members).map(([name, value]) => [name, name in UNITS ? measured(value, UNITS[name]) : value]),
  );
}
