// The rulebook's sample points as arrays. Twin of fieldlog/engine/points.py.

/** @import { Family as RawFamily, LoadSet as RawLoadSet } from "../../../schemas/shapes/rulebook.d.ts" */
/**
 * @typedef {RawFamily["meters"]["high-impedance"][number]} RawMeterSet
 * @typedef {ReturnType<typeof meterSet>} MeterSet
 * @typedef {ReturnType<typeof loadSet>} LoadSet
 */

const RATIO_UNIT = 0.001;
const SHARE_UNIT = 0.01;

/**
 * Whether every column has a value for each point; one that never changes is kept as its one value.
 * @param {RawMeterSet|RawLoadSet} set
 */
export function isWhole(set) {
  const columns = "columns" in set ? set.columns : [...set.ratios, ...set.shares];
  return columns.every(({ length }) => length === 1 || length === set.count);
}

/** @param {RawMeterSet} set */
export const meterSet = ({ classes, spreads, columns, count }) => ({
  classes,
  spreads,
  count,
  width: columns.length,
  ratios: inRows(columns, count, RATIO_UNIT),
});

/** @param {RawLoadSet} set */
export const loadSet = ({ ratios, shares, ...set }) => ({
  ...set,
  width: ratios.length,
  ratios: inRows(ratios, set.count, RATIO_UNIT),
  shares: inRows(shares, set.count, SHARE_UNIT),
});

/**
 * Give columns as rows, one after the other in one array, in what their unit stands for. They are laid out when they
 * are first asked for: a check goes by one kind of outlet and of meter.
 * @param {number[][]} columns
 * @param {number} count of rows
 * @param {number} unit
 */
function inRows(columns, count, unit) {
  /** @type {Float64Array|undefined} */
  let rows;
  return () => {
    rows ??= laidInRows(columns, count, unit);
    return rows;
  };
}

/** @param {number[][]} columns @param {number} count @param {number} unit */
function laidInRows(columns, count, unit) {
  const rows = new Float64Array(columns.length * count);
  columns.forEach((column, place) => {
    for (let row = 0; row < count; row += 1) {
      rows[row * columns.length + place] = column[column.length === 1 ? 0 : row] * unit;
    }
  });
  return rows;
}
