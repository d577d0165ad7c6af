// A supply with two hots, both together over one neutral. The twin of fieldlog/engine/planning/legs.py.

/** @import { Load, Wire } from "./plan-circuit.js" */

/** @typedef {{volts: number, factor: number, cosine: number}} OtherHot volts of y; see Legs in model.py */
/** @typedef {{volts: number[], amps: number[], at: number[]}} LegsAtOnce volts: x, y, between; amps: x, y, neutral */
/** @typedef {[re: number, im: number]} Phasor */

const MOST_PASSES = 200;
const SETTLED = 1e-10;
const ROOTS = ["x", "y", "both"];

/** @param {LegsAtOnce} both @param {Load} load */
export const voltsAtLoad = ({ volts, at }, { leg, wire }) =>
  /** @type {number} */ (wire < 0 ? volts[ROOTS.indexOf(leg)] : at[wire]);

/**
 * Both hots with all loads on; null where the circuit has no solution.
 * @param {Load[]} loads
 * @param {number} voltsX
 * @param {OtherHot} other
 * @param {{hot: number, neutral: number}} ohms between source and panel
 * @param {Wire[]} wires
 * @returns {LegsAtOnce|null}
 */
export function together(loads, voltsX, other, ohms, wires) {
  const solver = new Solver(loads, [voltsX, other.volts], other.cosine, ohms, wires);
  for (let pass = 0; pass < MOST_PASSES; pass += 1) {
    const moved = solver.moved();
    if (moved === null) return null;
    if (moved <= SETTLED * voltsX) return solver.found();
  }
  return null;
}

/** Phasors at the panel (x, y, between them) and at the end of each wire, pass by pass. */
class Solver {
  #loads;
  #wires;
  #hot;
  #neutral;
  /** @type {Phasor[]} */
  #opened;
  /** @type {Phasor[]} */
  #at;
  /** @type {number[]} */
  #siemens = [];
  /** @type {Phasor[]} */
  #amps = [];

  /**
   * @param {Load[]} loads
   * @param {[x: number, y: number]} volts
   * @param {number} cosine
   * @param {{hot: number, neutral: number}} ohms
   * @param {Wire[]} wires
   */
  constructor(loads, [voltsX, voltsY], cosine, { hot, neutral }, wires) {
    this.#loads = loads;
    this.#wires = wires;
    this.#hot = hot;
    this.#neutral = neutral;
    /** @type {Phasor} */
    const x = [voltsX, 0];
    /** @type {Phasor} */
    const y = [voltsY * cosine, voltsY * Math.sqrt(1 - cosine * cosine)];
    this.#opened = [x, y];
    /** @type {Phasor[]} */
    const roots = [x, y, [x[0] - y[0], x[1] - y[1]]];
    this.#at = [...roots, ...wires.map(({ leg }) => /** @type {Phasor} */ (roots[ROOTS.indexOf(leg)]))];
  }

  /** @param {Wire} wire @returns {number} where it begins */
  #parent = ({ parent, leg }) => (parent < 0 ? ROOTS.indexOf(leg) : parent + 3);

  /** Works one pass. @returns {number|null} by how much the volts moved at most; null where they fell to nothing */
  moved() {
    this.#gather();
    const before = this.#at.slice();
    this.#panel(0);
    this.#panel(1);
    for (const [i, wire] of this.#wires.entries()) {
      const number = i + 3;
      const scale = 1 + wire.ohms * this.#siemensAt(number);
      const start = this.#phasorAt(this.#parent(wire));
      const amps = this.#ampsAt(number);
      this.#at[number] = [(start[0] - wire.ohms * amps[0]) / scale, (start[1] - wire.ohms * amps[1]) / scale];
    }
    let most = 0;
    for (const [number, now] of this.#at.entries()) {
      const once = /** @type {Phasor} */ (before[number]);
      // Once turned against the source, no load runs.
      if (now[0] * once[0] + now[1] * once[1] <= 0) return null;
      most = Math.max(most, Math.abs(now[0] - once[0]), Math.abs(now[1] - once[1]));
    }
    return most;
  }

  /** @param {number} number */
  #phasorAt = (number) => /** @type {Phasor} */ (this.#at[number]);

  /** @param {number} number */
  #ampsAt = (number) => /** @type {Phasor} */ (this.#amps[number]);

  /** @param {number} number */
  #siemensAt = (number) => /** @type {number} */ (this.#siemens[number]);

  /** Adds up what hangs at each node, from the ends of the wires to the panel. */
  #gather() {
    this.#siemens = this.#at.map(() => 0);
    this.#amps = this.#at.map(() => [0, 0]);
    for (const load of this.#loads) {
      const node = load.wire < 0 ? ROOTS.indexOf(load.leg) : load.wire + 3;
      const [re, im] = this.#phasorAt(node);
      const share = load.steadyWatts / (re * re + im * im);
      this.#add(node, load.siemens, share * re, share * im);
    }
    for (let number = this.#at.length - 1; number > 2; number -= 1) {
      const wire = /** @type {Wire} */ (this.#wires[number - 3]);
      const scale = 1 + wire.ohms * this.#siemensAt(number);
      const [re, im] = this.#ampsAt(number);
      this.#add(this.#parent(wire), this.#siemensAt(number) / scale, re / scale, im / scale);
    }
  }

  /** @param {number} node @param {number} siemens @param {number} re @param {number} im */
  #add(node, siemens, re, im) {
    this.#siemens[node] = this.#siemensAt(node) + siemens;
    const amps = this.#ampsAt(node);
    amps[0] += re;
    amps[1] += im;
  }

  /** Solves the two loops, through each hot and the neutral, for one part of the phasors. @param {0|1} part */
  #panel(part) {
    const [hot, neutral] = [this.#hot, this.#neutral];
    const [x, y, both] = [this.#siemensAt(0), this.#siemensAt(1), this.#siemensAt(2)];
    const [fromX, fromY, between] = [this.#ampsAt(0)[part], this.#ampsAt(1)[part], this.#ampsAt(2)[part]];
    const lost = neutral * (fromX + fromY);
    const rightX = /** @type {Phasor} */ (this.#opened[0])[part] - hot * (fromX + between) - lost;
    const rightY = /** @type {Phasor} */ (this.#opened[1])[part] - hot * (fromY - between) - lost;
    const ownX = 1 + (hot + neutral) * x + hot * both;
    const ownY = 1 + (hot + neutral) * y + hot * both;
    const otherX = neutral * y - hot * both;
    const otherY = neutral * x - hot * both;
    const scale = ownX * ownY - otherX * otherY;
    const nowX = (rightX * ownY - otherX * rightY) / scale;
    const nowY = (ownX * rightY - otherY * rightX) / scale;
    for (const [number, now] of [nowX, nowY, nowX - nowY].entries()) {
      const [re, im] = this.#phasorAt(number);
      this.#at[number] = part === 0 ? [now, im] : [re, now];
    }
  }

  /** @returns {LegsAtOnce} */
  found() {
    const [x, y, between] = /** @type {[Phasor, Phasor, Phasor]} */ (
      [0, 1, 2].map((number) =>
        [0, 1].map(
          (part) =>
            /** @type {number} */ (this.#phasorAt(number)[part]) * this.#siemensAt(number) +
            /** @type {number} */ (this.#ampsAt(number)[part]),
        ),
      )
    );
    return {
      volts: this.#at.slice(0, 3).map(size),
      amps: [
        size([x[0] + between[0], x[1] + between[1]]),
        size([y[0] - between[0], y[1] - between[1]]),
        size([x[0] + y[0], x[1] + y[1]]),
      ],
      at: this.#at.slice(3).map(size),
    };
  }
}

/** @param {Phasor} phasor */
const size = ([re, im]) => Math.sqrt(re * re + im * im);
