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
 * @typedef {"x"|"y"|"both"} Leg
 * @typedef {{ohms: number, amps: number, parent: number, leg: Leg}} Wire of the rig; amps: its branch's rating; parent:
 *   the number of the one that it begins at, -1 at the panel
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
 * @property {Leg} [leg] of a supply with two hots; both: between them
 *
 * @typedef {object} Branch of the rig
 * @property {string} name
 * @property {number} amps
 * @property {number[]} loads the numbers of what hangs on it
 * @property {number} [ohms] of its wire, there and back, where known
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
 * @param {number} [wire] number of the wire at whose end it hangs; -1 at the panel
 */
export function loadOf(load, tables, within = [], wire = -1) {
  const { name, watts = null, amps = null, kind = "resistive", hours = null, leg = "x" } = load;
  const rated = load.rated_volts ?? (leg === "both" ? 240 : 120);
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
    leg,
    wire,
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

const MOST_PASSES = 200;
/** Once no volts move by more than this share the circuit is solved; mostly after ten passes. */
const SETTLED = 1e-10;

/**
 * Volts at the panel, then at the end of each wire; null where the circuit has no solution.
 * @param {Load[]} loads
 * @param {number} volts
 * @param {number} ohms
 * @param {Wire[]} wires
 * @param {{wire: number, amps: number}|null} [start] a further constant current
 * @returns {number[]|null}
 */
export function nodeVolts(loads, volts, ohms, wires, start = null) {
  if (!wires.length) {
    const found = voltsWith(loads, start ? volts - ohms * start.amps : volts, ohms);
    return found === null ? null : [found];
  }
  const count = wires.length + 1;
  const siemens = new Array(count).fill(0);
  for (const load of loads) siemens[load.wire + 1] += load.siemens;
  const scales = siemens.slice();
  for (let number = count - 1; number > 0; number -= 1) {
    const wire = /** @type {Wire} */ (wires[number - 1]);
    scales[number] = 1 + wire.ohms * siemens[number];
    siemens[wire.parent + 1] += siemens[number] / scales[number];
  }
  const steady = loads.filter(({ steadyWatts }) => steadyWatts);
  const at = new Array(count).fill(volts);
  const amps = new Array(count);
  for (let pass = 0; pass < MOST_PASSES; pass += 1) {
    amps.fill(0);
    for (const load of steady) amps[load.wire + 1] += load.steadyWatts / at[load.wire + 1];
    if (start) amps[start.wire + 1] += start.amps;
    for (let number = count - 1; number > 0; number -= 1) {
      const wire = /** @type {Wire} */ (wires[number - 1]);
      amps[wire.parent + 1] += amps[number] / scales[number];
    }
    const moved = settle(at, volts, ohms, wires, { siemens, amps });
    if (moved === null) return null;
    if (moved <= SETTLED * volts) return at;
  }
  return null;
}

/**
 * From the source to the ends of the wires. Gives by how much the volts moved at most, null where they fell to nothing.
 * @param {number[]} at
 * @param {number} volts
 * @param {number} ohms
 * @param {Wire[]} wires
 * @param {{siemens: number[], amps: number[]}} drawn
 * @returns {number|null}
 */
function settle(at, volts, ohms, wires, { siemens, amps }) {
  let moved = 0;
  for (let number = 0; number < at.length; number += 1) {
    const wire = wires[number - 1];
    const before = wire ? at[wire.parent + 1] : volts;
    const own = wire ? wire.ohms : ohms;
    const now = (before - own * amps[number]) / (1 + own * siemens[number]);
    if (now <= 0) return null;
    moved = Math.max(moved, Math.abs(now - at[number]));
    at[number] = now;
  }
  return moved;
}

/**
 * What reaches each load, from the volts of nodeVolts.
 * @param {Load[]} loads
 * @param {number[]} at
 * @returns {number[]}
 */
export const seenBy = (loads, at) => loads.map(({ wire }) => at[wire + 1]);

/**
 * Volts at a load while it starts and others run.
 * @param {Load} load
 * @param {Load[]} others
 * @param {number} volts
 * @param {number} ohms
 * @param {Wire[]} wires
 * @returns {number|null}
 */
export function startVolts({ startAmps, wire }, others, volts, ohms, wires) {
  if (startAmps === null) return null;
  return nodeVolts(others, volts, ohms, wires, { wire, amps: startAmps })?.[wire + 1] ?? null;
}

/** What a load draws at some volts. @param {Load} load @param {number} volts */
export const ampsAt = ({ kind, siemens, steadyWatts }, volts) =>
  kind === "resistive" ? volts * siemens : steadyWatts / volts;

/** @param {Load[]} loads @param {number[]} seen volts at each */
export const ampsOf = (loads, seen) => loads.reduce((amps, load, i) => amps + ampsAt(load, seen[i]), 0);

/**
 * What a rating has to hold: what runs for hours counts with a quarter more.
 * @param {Load[]} loads
 * @param {number[]} seen volts at each
 * @param {Tables} tables
 */
export function ampsToFit(loads, seen, tables) {
  const factor = figureOf(tables, "continuous-factor");
  return loads.reduce((amps, load, i) => amps + ampsAt(load, seen[i]) * (load.isContinuous ? factor : 1), 0);
}

/** @param {Load[]} loads @param {number} branch its number */
export const hungOn = (loads, branch) => loads.filter(({ within }) => within.includes(branch));
