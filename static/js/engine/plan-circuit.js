// Volts at the rig: a supply behind a resistance, with loads of constant resistance and of constant power. The twin of
// fieldlog/engine/planning/circuit.py.

/**
 * @typedef {object} Entry a line of a table, as fieldlog/tables.py reads it
 * @property {number} [value]
 * @property {string} unit
 * @property {string} [level]
 * @property {string} [says]
 * @property {string} [do]
 * @property {string} source
 * @property {string} known
 *
 * @typedef {Record<string, Entry>} Tables
 *
 * @typedef {object} PlannedLoad
 * @property {string} name
 * @property {number|null} [watts]
 * @property {number|null} [amps]
 * @property {number|null} [rated_volts]
 * @property {boolean|null} [continuous]
 * @property {"resistive"|"motor"|"electronic"} [kind]
 * @property {number|null} [start_multiple]
 * @property {number|null} [priority]
 * @property {number|null} [hours]
 *
 * @typedef {{name: string, amps: number, loads: number[]}} Branch of the rig, with the numbers of what hangs on it
 *
 * @typedef {ReturnType<typeof loadOf>} Load
 */

/** A threshold; a missing one is an error, never a pass. @param {Tables} tables @param {string} id */
export function figureOf(tables, id) {
  const value = tables[id]?.value;
  if (value === undefined) throw new RangeError(`The tables hold no ${id}.`);
  return value;
}

/**
 * What is to run, with what is usual where nothing is told.
 * @param {PlannedLoad} load
 * @param {Tables} tables
 * @param {number[]} [within] numbers of the branches that it hangs on
 */
export function loadOf(load, tables, within = []) {
  const { name, watts = null, amps = null, kind = "resistive", hours = null } = load;
  const rated = load.rated_volts ?? 120;
  const drawn = amps === null && watts !== null ? watts / rated : (amps ?? 0);
  const isLong = hours !== null && hours >= figureOf(tables, "continuous-hours");
  const multiple = load.start_multiple ?? (kind === "motor" ? figureOf(tables, "start-multiple") : null);
  const isResistance = kind === "resistive";
  return {
    name,
    watts: watts ?? drawn * rated,
    amps: drawn,
    rated,
    kind,
    isMotor: kind === "motor",
    isContinuous: load.continuous ?? isLong,
    multiple,
    startAmps: multiple === null ? null : multiple * drawn,
    priority: load.priority ?? 1,
    hours,
    siemens: isResistance ? drawn / rated : 0,
    steadyWatts: isResistance ? 0 : drawn * rated,
    within,
  };
}

/**
 * Volts at the rig while loads run; null where there are none.
 * @param {Load[]} loads
 * @param {number} volts
 * @param {number} ohms
 */
export function voltsWith(loads, volts, ohms) {
  let siemens = 0;
  let watts = 0;
  for (const load of loads) {
    siemens += load.siemens;
    watts += load.steadyWatts;
  }
  const scale = 1 + ohms * siemens;
  const inner = volts * volts - 4 * scale * ohms * watts;
  return volts <= 0 || inner < 0 ? null : (volts + Math.sqrt(inner)) / (2 * scale);
}

/**
 * Volts while a load starts and others run.
 * @param {Load} load
 * @param {Load[]} others
 * @param {number} volts
 * @param {number} ohms
 */
export const startVolts = ({ startAmps }, others, volts, ohms) =>
  startAmps === null ? null : voltsWith(others, volts - ohms * startAmps, ohms);

/** What a load draws at some volts. @param {Load} load @param {number} volts */
export const ampsAt = ({ kind, siemens, steadyWatts }, volts) =>
  kind === "resistive" ? volts * siemens : steadyWatts / volts;

/** @param {Load[]} loads @param {number} volts */
export const ampsOf = (loads, volts) => loads.reduce((amps, load) => amps + ampsAt(load, volts), 0);

/**
 * What a rating has to hold: what runs for hours counts with a quarter more.
 * @param {Load[]} loads
 * @param {number} volts
 * @param {Tables} tables
 */
export function ampsToFit(loads, volts, tables) {
  const factor = figureOf(tables, "continuous-factor");
  return loads.reduce((amps, load) => amps + ampsAt(load, volts) * (load.isContinuous ? factor : 1), 0);
}

/** @param {Load[]} loads @param {number} branch its number */
export const hungOn = (loads, branch) => loads.filter(({ within }) => within.includes(branch));
