/**
 * Functions that rules call, worked out of their definitions in the program: formulas, tables, grids, curves and lists.
 */

import { gasPressure, temperatureAt } from "./curves.js";
import { filledIn, formula } from "./formulas.js";
import { OutOfRange } from "./outofrange.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./program.js").FunctionUsed} FunctionUsed */
/** @typedef {Record<string, any>} Names */
/** @typedef {(used: FunctionUsed, names: Names, tables: Names, program: Program) => any} Working */

const MONDAY_TO_FRIDAY = 5;
const LAST_DAY = 3652059; // 31 December 9999

/**
 * The result of a function.
 * @param {Program} program
 * @param {string} name
 * @param {any[]} values In the order of the arguments.
 * @param {Names} tables The limits that are handed over, by name.
 * @throws {OutOfRange} The function does not serve these values.
 */
export function result(program, name, values, tables) {
  const used = program.functions[name];
  /** @type {Names} */
  const names = Object.fromEntries(used.arguments.map(([argument], index) => [argument, values[index]]));
  if (used.form === "table") names.rows = columns(used);
  for (const [condition, said] of used.serves ?? []) {
    if (formula(condition)(names, () => NaN) !== true) throw new OutOfRange(filledIn(said, names));
  }
  return WORKINGS[used.form](used, names, tables, program);
}

/**
 * The cells of a table by argument.
 * @param {FunctionUsed} used
 * @returns {Names}
 */
function columns({ arguments: given, data }) {
  return Object.fromEntries(given.map(([name], index) => [name, data.map((/** @type {any[]} */ row) => row[index])]));
}

/**
 * What a function says of its own result, such as that it was interpolated; nothing where it has nothing to say.
 * @param {Program} program
 * @param {string} name
 * @param {any[]} values
 */
export function remark(program, name, values) {
  const { form, data } = program.functions[name];
  if (form === "grid") {
    const sides = data.axes.map((/** @type {number[]} */ axis, /** @type {number} */ index) =>
      shares(axis, values[index], data.within),
    );
    return sides.some((/** @type {any[]} */ side) => side.length > 1) ? data.between : "";
  }
  if (form !== "curve") return "";
  const at = result(program, name, values, {});
  const file = program.curves[data.file];
  const { gaps } = file.curves[values[0]][data.curve];
  const bridged = gaps.some((/** @type {[number, number]} */ [low, high]) => low < at && at < high);
  return bridged
    ? filledIn(data.bridged, { refrigerant: values[0], made_by: file.made_by, curve: data.curve, at })
    : "";
}

/** Whether a function may have something to say of its result. @param {FunctionUsed} used */
export const hasRemark = (used) => used.form === "grid" || used.form === "curve";

/** @type {Working} */
function byFormula(used, names, tables, program) {
  return formula(used.says)({ ...names, ...(used.data ?? {}) }, (name, values) =>
    result(program, name, values, tables),
  );
}

/** @type {Working} */
function byTable(used, names) {
  const given = used.arguments.map(([name]) => names[name]);
  const row = used.data.find((/** @type {any[]} */ one) => given.every((value, index) => fits(one[index], value)));
  return row === undefined ? NaN : row[row.length - 1];
}

/**
 * @param {null|string|[number|null, number|null]} cell
 * @param {any} value
 */
function fits(cell, value) {
  if (cell === null) return true;
  if (typeof cell === "string") return cell === value;
  return (cell[0] === null || cell[0] <= value) && (cell[1] === null || value < cell[1]);
}

/** @type {Working} */
function byLookUp(used, names, tables) {
  const { table, take, stands, within, none } = used.data;
  const value = names[used.arguments[0][0]];
  const entries = [...tables[table]].sort((a, b) => a - b);
  const found = entries.filter((entry) => {
    if (stands === "<=") return entry <= value + within;
    return stands === ">=" ? entry >= value - within : Math.abs(entry - value) <= within;
  });
  if (take === "any") return found.length > 0;
  const end = (/** @type {number[]} */ list) => list[take === "first" ? 0 : list.length - 1];
  if (!found.length)
    throw new OutOfRange(
      filledIn(none, { ...names, nearest: take === "first" ? entries[entries.length - 1] : entries[0] }),
    );
  return end(found);
}

/** @type {Working} */
function byGrid(used, names) {
  const { axes, cells, within, none } = used.data;
  const given = used.arguments.map(([name]) => names[name]);
  const [across, down] = axes.map((/** @type {number[]} */ axis, /** @type {number} */ index) =>
    shares(axis, given[index], within),
  );
  let found = 0;
  for (const [one, first] of across) {
    for (const [other, second] of down) {
      if (cells[one][other] === null) throw new OutOfRange(filledIn(none, names));
      found += first * second * cells[one][other];
    }
  }
  return found;
}

/**
 * The steps around a value and the share of each; one step where the value is on it.
 * @param {number[]} steps
 * @param {number} at
 * @param {number} within
 * @returns {[number, number][]}
 */
function shares(steps, at, within) {
  const on = steps.findIndex((step) => Math.abs(step - at) <= within);
  if (on >= 0) return [[on, 1]];
  const above = steps.findIndex((step) => step >= at);
  const share = (at - steps[above - 1]) / (steps[above] - steps[above - 1]);
  return [
    [above - 1, 1 - share],
    [above, share],
  ];
}

/** @type {Working} */
function byCurve(used, names, _, program) {
  const file = program.curves[used.data.file];
  const { refrigerant, pressure } = names;
  if (!Object.hasOwn(file.curves, refrigerant)) {
    throw new OutOfRange(filledIn(used.data.unknown, { refrigerant, known: Object.keys(file.curves).join(", ") }));
  }
  return temperatureAt(file.curves[refrigerant][used.data.curve], pressure, used.data.outside);
}

/** @type {Working} */
function byWorkingDay(used, names, tables) {
  const closed = new Set(tables[used.data.table]);
  const years = new Set([...closed].map((day) => yearOf(day, used.data)));
  let day = names[used.arguments[0][0]] + 1;
  for (; years.has(yearOf(day, used.data)); day += 1) {
    if ((day + 6) % 7 < MONDAY_TO_FRIDAY && !closed.has(day)) return day;
  }
  throw new OutOfRange(filledIn(used.data.unknown, { year: yearOf(day, used.data) }));
}

/**
 * @param {number} day
 * @param {any} data
 */
function yearOf(day, data) {
  if (!(1 <= day && day <= LAST_DAY)) throw new OutOfRange(data.outside);
  return Number(dateOf(day).slice(0, 4));
}

/** The same day of the month, or its last day where it has no such day. @type {Working} */
function byMonthsAfter(used, names) {
  const [day, months] = used.arguments.map(([name]) => names[name]);
  yearOf(day, used.data);
  const [year, month, date] = dateOf(day).split("-").map(Number);
  const at = year * 12 + month - 1 + Math.floor(months);
  const then = Math.floor(at / 12);
  if (!(1 <= then && then <= 9999)) throw new OutOfRange(used.data.outside);
  const last = new Date(0).setUTCFullYear(then, at - then * 12 + 1, 0);
  const wanted = new Date(0).setUTCFullYear(then, at - then * 12, Math.min(date, new Date(last).getUTCDate()));
  return wanted / 86400000 + EPOCH;
}

const EPOCH = 719163; // the day number of 1 January 1970

/** A day number as year, month and day. @param {number} day */
export function dateOf(day) {
  return new Date((day - EPOCH) * 86400000).toISOString().slice(0, 10);
}

/** @type {Working} */
function byGas(used, names, _, program) {
  return gasPressure(program.curves[used.data.file], names, used.data);
}

/** @type {Record<string, Working>} */
const WORKINGS = {
  formula: byFormula,
  table: byTable,
  look_up: byLookUp,
  grid: byGrid,
  curve: byCurve,
  working_day: byWorkingDay,
  months_after: byMonthsAfter,
  gas: byGas,
};
