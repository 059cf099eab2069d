/** Amounts as a person reads them: in a unit of their kind, decimals rounded half to even, never by a locale. */

import { dateOf } from "./functions.js";
import { NONE, Range, Unknown } from "./kleene.js";
import { roundedDecimal, settled, usualDigits } from "./numbers.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./program.js").Unit} Unit */
/** @typedef {import("./kleene.js").Value} Value */

const MOST_SHOWN = 3; // values of a list of limits that are shown one by one
/** @type {Record<string, string>} How a point and the difference of two points of one kind belong together. */
export const DIFFERENCE_OF = {
  temperature: "temperature_difference",
  gauge_pressure: "pressure_difference",
  absolute_pressure: "pressure_difference",
  date: "duration",
};

/** @type {WeakMap<Program, Map<string, Unit>>} */
const FOUND = new WeakMap();

/**
 * The units of a program by kind and by every way of writing them; the base unit of a kind by its kind alone.
 * @param {Program} program
 */
function unitsOf(program) {
  const known = FOUND.get(program);
  if (known) return known;
  /** @type {Map<string, Unit>} */
  const found = new Map();
  for (const unit of program.units) {
    if (unit.scale === 1 && unit.offset === 0 && !found.has(unit.kind)) found.set(unit.kind, unit);
    for (const word of [unit.name, unit.shown, ...(unit.also ?? [])]) {
      if (!found.has(`${unit.kind} ${word}`)) found.set(`${unit.kind} ${word}`, unit);
    }
  }
  FOUND.set(program, found);
  return found;
}

/** Whether amounts are of a kind. @param {Program} program @param {string} kind */
export const isKind = (program, kind) => unitsOf(program).has(kind);

/**
 * The unit of a kind that is written so, or its base unit.
 * @param {Program} program
 * @param {string} kind
 * @param {string} unit
 * @returns {Unit}
 */
export function unitOf(program, kind, unit) {
  const found = unitsOf(program).get(`${kind} ${unit}`) ?? unitsOf(program).get(kind);
  if (!found) throw new Error(`No unit of ${kind}.`);
  return found;
}

/**
 * The number to write before a unit for an amount in the base unit of its kind.
 * @param {number} amount
 * @param {Unit} unit
 */
export const fromBase = (amount, { scale, offset }) => settled((amount - offset) / scale);

/**
 * @param {Program} program
 * @param {number} amount
 * @param {string} kind
 * @param {string} unit
 * @param {number|null} [digits] After the point; null writes what is there, to four.
 */
export function writtenAmount(program, amount, kind, unit, digits = null) {
  const found = unitOf(program, kind, unit);
  let text = roundedDecimal(fromBase(amount, found), digits ?? usualDigits(found.name));
  if (digits === null) text = text.replace(/0+$/, "").replace(/\.$/, "");
  return found.shown ? `${text} ${found.shown}` : text;
}

/**
 * A limit in base units as a person reads it; nothing for none.
 * @param {Program} program
 * @param {any} value
 * @param {string} kind
 * @param {string} unit
 * @param {number|null} [digits]
 * @returns {string}
 */
export function shownLimit(program, value, kind, unit, digits = null) {
  if (value === null) return "";
  if (Array.isArray(value)) {
    if (value.length > MOST_SHOWN) return `a list of ${value.length}`;
    return value.map((one) => shownLimit(program, one, kind, unit, digits)).join(", ");
  }
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "string") return value.replaceAll("_", " ");
  return kind === "date" ? dateOf(value) : writtenAmount(program, value, kind, unit, digits);
}

/**
 * A value as a person reads it; null where it is not known.
 * @param {Program} program
 * @param {Value} value
 * @param {string} kind
 * @param {string} unit
 * @param {number|null} digits
 * @returns {string|null}
 */
export function writtenValue(program, value, kind, unit, digits) {
  if (value === NONE) return "none";
  if (value instanceof Unknown) return null;
  if (!(value instanceof Range)) return shownLimit(program, value, kind, unit, digits);
  const [low, high] = [value.low, value.high].map((end) =>
    Number.isFinite(end) ? writtenValue(program, end, kind, unit, digits) : "",
  );
  return high ? `${low} to ${high}` : `${low} or more`;
}

/** A title inside a sentence: its first letter small, unless it begins with capitals. @param {string} title */
export function low(title) {
  const begin = title.slice(0, 2);
  const capitals = begin === begin.toUpperCase() && begin !== begin.toLowerCase();
  return capitals || !title ? title : title[0].toLowerCase() + title.slice(1);
}
