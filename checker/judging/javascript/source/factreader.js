/** One recorded fact read by its form: an amount, a count, yes or no, text, a word out of a list, a date. */

import { DIFFERENCE } from "./amounttext.js";
import { dayOf } from "./days.js";
import { onOneLine } from "./jsontext.js";
import { MOST_DIGITS, asGeneral } from "./numbers.js";
import { byCode, didYouMean, folded, isGroup, isWhole, nameOf, numberOf, numberText } from "./texts.js";
import { LeafError, MOST, toBase } from "./units.js";

/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {import("./units.js").Units} Units */
/**
 * One recorded fact: its value in base units (null for a known none, two ends for a day between two), and how it was written.
 * @typedef {object} Reading
 * @property {any} value
 * @property {string} written
 * @property {string} unit
 * @property {number} digits
 * @property {string} instrument
 * @property {string} origin
 * @property {string[]} addedFrom The full paths of the readings that were added up to this one.
 */

const SAYS_NOTHING = ["n/a", "na", "n.a.", "tbd", "unknown", "not known"];
const SAYS_SOMETHING = /[\p{L}\p{N}]/u;
const NEEDED = ["job_id", "key"]; // a job and an item of a list have a name of their own
const MOST_COUNTED = 1_000_000;
export const HAIR = 1e-9; // of the larger end: what a conversion may add to an amount that stands at its end

/** Whether a text is one of those that stand where nothing is to be said. @param {string} text */
export const saysNothing = (text) => SAYS_NOTHING.includes(folded(text.trim())) || !SAYS_SOMETHING.test(text);

/**
 * @param {any} value
 * @param {string} written
 * @param {Partial<Reading>} [more]
 * @returns {Reading}
 */
export const reading = (value, written, more = {}) => ({
  value, written, unit: "", digits: 0, instrument: "", origin: "", addedFrom: [], ...more,
}); // prettier-ignore

/** What a value out of JSON is called. @param {any} value */
export function called(value) {
  if (typeof value === "boolean") return "yes or no";
  if (numberOf(value) !== undefined) return "a number";
  if (typeof value === "string") return "text";
  if (Array.isArray(value)) return "a list";
  return isGroup(value) ? "a group of facts" : "that";
}

/**
 * Read one fact as it stands in a job, or as a person typed it.
 * @param {Units} units
 * @param {Leaf} leaf
 * @param {any} value
 * @returns {Reading}
 * @throws {LeafError} It is not a value that this fact can have.
 */
export function readLeaf(units, leaf, value) {
  if (leaf.form === "quantity") return quantity(units, leaf, value);
  if (leaf.form === "count") return count(units, leaf, value);
  if (leaf.form === "flag") return flag(value);
  if (leaf.form === "text") return text(leaf, value);
  if (leaf.form === "choice") return choice(leaf, value);
  if (leaf.form === "date") return date(value);
  return isWhole(value) ? reading(value, String(value)) : reading(pythonText(value), pythonText(value));
}

/** @param {Units} units @param {Leaf} leaf @param {any} value */
function quantity(units, leaf, value) {
  const shown = units.shown(leaf.unit);
  if (!isGroup(value)) return amountOf(units, leaf, value, "");
  const what = misshapen(value);
  if (what) throw new LeafError(what, `Write {"value": 10, "unit": "${shown}", "instrument": "its key"}.`);
  const told = "unit" in value ? `${numberText(value.value)} ${value.unit}` : value.value;
  return amountOf(units, leaf, told, value.instrument ?? "");
}

/** What is wrong with a reading whose number, unit and instrument are written apart. @param {Record<string, any>} value */
function misshapen(value) {
  if (numberOf(value.value) === undefined) return "'value' has to be a number.";
  for (const name of Object.keys(value).sort(byCode)) {
    if (name === "value") continue;
    if (name !== "unit" && name !== "instrument") return `'${name}' is not a part of a reading.`;
    if (typeof value[name] !== "string" || !value[name].trim()) return `'${name}' has to be text.`;
  }
  return "";
}

/** @param {Units} units @param {Leaf} leaf @param {any} value @param {string} instrument */
function amountOf(units, leaf, value, instrument) {
  const number = numberOf(value);
  if (number === undefined && typeof value !== "string") {
    const shown = units.shown(leaf.unit);
    throw new LeafError(`this has to be a number of ${shown}, not ${called(value)}.`, `Write 10 or "10 ${shown}".`);
  }
  const {
    amount,
    unit,
    text: told,
  } = number === undefined ? fromText(units, leaf, value) : fromNumber(units, leaf, number);
  const given = (told.split(".")[1] ?? "").split("e")[0].length;
  const digits = Math.min(given, MOST_DIGITS[unit.name] ?? given);
  const written =
    digits < given ? units.write(amount, leaf.kind, unit.name, digits) : `${told} ${unit.shown}`.trimEnd();
  lookAtBounds(units, leaf, amount, written);
  return reading(amount, written, { unit: unit.name, digits, instrument });
}

/** @param {Units} units @param {Leaf} leaf @param {string} value */
function fromText(units, leaf, value) {
  const told = leaf.either_way ? value.replace(DIFFERENCE, "") : value;
  const { amount, unit, number } = units.read(told, leaf.kind, leaf.unit);
  if (unit.name !== leaf.unit && number === told.trim().replaceAll(",", "")) {
    throw new LeafError(`'${told}' has no unit.`, `Write "${number} ${units.shown(leaf.unit)}".`);
  }
  return { amount, unit, text: number };
}

/** @param {Units} units @param {Leaf} leaf @param {number} number */
function fromNumber(units, leaf, number) {
  if (Math.abs(number) > MOST) {
    throw new LeafError(
      `${asGeneral(number, 6)} is too large to be an amount.`,
      "Write the reading as the meter shows it.",
    );
  }
  const unit = units.unit(leaf.kind, leaf.unit);
  return { amount: toBase(number, unit), unit, text: asGeneral(number, 10) };
}

/**
 * Refuse what no instrument can show.
 * @param {Units} units
 * @param {Leaf} leaf
 * @param {number} amount
 * @param {string} written
 */
function lookAtBounds(units, leaf, amount, written) {
  if (!leaf.bounds) return;
  const low = leaf.bounds[0] ?? -Infinity;
  const high = leaf.bounds[1] ?? Infinity;
  const hair = HAIR * Math.max(Math.abs(low), Math.abs(high));
  if (low - hair <= amount && amount <= high + hair) return;
  if (amount < 0 && low === 0) {
    throw new LeafError(
      `${written} is below zero, and this cannot be.`,
      "Write it without the minus sign, or measure again.",
    );
  }
  const [end, side] = amount < low ? [low, "less"] : [high, "more"];
  const told = units.write(end, leaf.kind, leaf.unit);
  throw new LeafError(
    `${written} is ${side} than this can be: ${told} is the end.`,
    "Look at the reading and its unit again.",
  );
}

/** @param {Units} units @param {Leaf} leaf @param {any} value */
function count(units, leaf, value) {
  if (!isWhole(value) || value < 0 || value > MOST_COUNTED) {
    throw new LeafError("this has to be a whole number.", "Write 0, 1, 2 …");
  }
  lookAtBounds(units, leaf, value, String(value));
  return reading(value, String(value), { unit: "one" });
}

/** @param {any} value */
function flag(value) {
  if (typeof value !== "boolean") {
    throw new LeafError(`the answer is yes or no, not ${called(value)}.`, "Write true or false, without quotes.");
  }
  return reading(value, value ? "yes" : "no");
}

/** @param {Leaf} leaf @param {any} value */
function text(leaf, value) {
  const needed = NEEDED.includes(nameOf(leaf.path));
  if (typeof value !== "string" || !value.trim()) {
    const what = typeof value === "string" ? "the text is empty." : `this has to be text, not ${called(value)}.`;
    throw new LeafError(what, needed ? 'Write "…".' : 'Write "…", or leave it out.');
  }
  if (saysNothing(value)) {
    const hint = 'Leave it out, or write {"not_known": "why"}' + (leaf.may_be_none ? ', or {"none": "why"}.' : ".");
    throw new LeafError(`'${value}' says nothing.`, needed ? "Write a name." : hint);
  }
  return reading(value, value);
}

/** @param {Leaf} leaf @param {any} value */
function choice(leaf, value) {
  if (typeof value !== "string" || !leaf.possible.includes(value)) {
    const word = pythonText(value);
    const key = word.toLowerCase().replaceAll("_", " ");
    const meant = Object.hasOwn(leaf.said, key) ? leaf.said[key] : [];
    const hint = meant.length
      ? `Did you mean ${meant.map((one) => `'${one}'`).join(" or ")}?`
      : didYouMean(word, leaf.possible);
    throw new LeafError(
      `${onOneLine(value)} is not one of its values.`,
      `${hint} One of: ${leaf.possible.join(", ")}.`.trim(),
    );
  }
  return reading(value, value.replaceAll("_", " "));
}

/** A value as Python makes a text of it. @param {any} value */
function pythonText(value) {
  if (typeof value === "string") return value;
  if (typeof value === "boolean") return value ? "True" : "False";
  return numberOf(value) === undefined ? onOneLine(value) : numberText(value);
}

/** @param {any} value */
function date(value) {
  const pair = isGroup(value) && Object.keys(value).join() === "between" ? value.between : null;
  if (!Array.isArray(pair) || pair.length !== 2) return reading(day(value), pythonText(value));
  const [low, high] = pair.map(day);
  if (low > high) throw new LeafError("the two days are in the wrong order.", "Write the earlier day first.");
  return reading({ low, high }, `between ${pair[0]} and ${pair[1]}`);
}

/** @param {any} value */
function day(value) {
  const found = dayOf(value);
  if (!found) throw new LeafError(`${onOneLine(value)} is not a date.`, 'Write year-month-day, as in "2026-05-04".');
  return found;
}
