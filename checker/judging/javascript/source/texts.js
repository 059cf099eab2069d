/** Texts as Python compares and writes them, and the nearest known word for one that is not known. */

import { asFloat } from "./numbers.js";

const CUTOFF = 0.6; // how alike two words are at least, of which the one is offered for the other
const MOST_OFFERED = 3;

/** A whole number that was written with a point, such as 5.0: it is written so again. */
export class Float {
  /** @param {number} value */
  constructor(value) {
    this.value = value;
  }
}

/** The number of a value out of JSON; undefined where it is none. @param {any} value @returns {number|undefined} */
export function numberOf(value) {
  return value instanceof Float ? value.value : typeof value === "number" ? value : undefined;
}

/** Whether a value out of JSON is a whole number that was written without a point. @param {any} value */
export const isWhole = (value) => typeof value === "number" && Number.isInteger(value);

/** A number out of JSON as it stood there, or as Python would write it. @param {any} value */
export function numberText(value) {
  return isWhole(value) ? String(value) : asFloat(/** @type {number} */ (numberOf(value)));
}

/** Whether a value is a group of facts. @param {any} value @returns {value is Record<string, any>} */
export function isGroup(value) {
  return value !== null && typeof value === "object" && !Array.isArray(value) && !(value instanceof Float);
}

/** A text without its capitals, to compare it by. @param {string} text */
export const folded = (text) => text.toLowerCase().replaceAll("ß", "ss");

/** A text between quotes, as Python shows it. @param {string} text */
export function quoted(text) {
  const mark = text.includes("'") && !text.includes('"') ? '"' : "'";
  const inside = text.replaceAll("\\", "\\\\").replaceAll("\n", "\\n").replaceAll("\t", "\\t").replaceAll("\r", "\\r");
  return `${mark}${mark === "'" ? inside.replaceAll("'", "\\'") : inside}${mark}`;
}

/** The last name of a path. @param {string} path */
export const nameOf = (path) => path.slice(path.lastIndexOf(".") + 1);

/** What stands before the last name of a path, without the point. @param {string} path */
export const around = (path) => path.slice(0, Math.max(path.lastIndexOf("."), 0));

/**
 * A sentence that offers the closest known word, all close ones that it is the beginning of, or nothing.
 * @param {string} word
 * @param {Iterable<string>} known
 */
export function didYouMean(word, known) {
  const close = closest(word, [...known]);
  const begun = close.filter((name) => name.startsWith(word)).sort(byCode);
  const offered = begun.includes(close[0]) ? begun : close.slice(0, 1);
  return offered.length ? `Did you mean ${offered.map(quoted).join(" or ")}?` : "";
}

/** The order of two texts by their signs. @param {string} a @param {string} b */
export function byCode(a, b) {
  const [one, other] = [[...a], [...b]];
  for (let at = 0; at < Math.min(one.length, other.length); at += 1) {
    const apart = /** @type {number} */ (one[at].codePointAt(0)) - /** @type {number} */ (other[at].codePointAt(0));
    if (apart) return apart;
  }
  return one.length - other.length;
}

/**
 * The words most like one, the most alike first.
 * @param {string} word
 * @param {string[]} known
 */
function closest(word, known) {
  return known
    .map((name) => ({ name, score: likeness([...name], [...word]) }))
    .filter(({ score }) => score >= CUTOFF)
    .sort((a, b) => b.score - a.score || byCode(b.name, a.name))
    .slice(0, MOST_OFFERED)
    .map(({ name }) => name);
}

/** Twice the signs that two words share, in their order, of all their signs. @param {string[]} one @param {string[]} other */
function likeness(one, other) {
  const all = one.length + other.length;
  return all ? (2 * shared(one, other)) / all : 1;
}

/**
 * How many signs stand in both: the longest run, and what is shared before and behind it (Ratcliff and Obershelp).
 * @param {string[]} one
 * @param {string[]} other
 * @returns {number}
 */
function shared(one, other) {
  let [begin, there, length] = [0, 0, 0];
  /** @type {Map<number, number>} */
  let before = new Map();
  one.forEach((sign, i) => {
    /** @type {Map<number, number>} */
    const now = new Map();
    other.forEach((same, j) => {
      if (same !== sign) return;
      const run = (before.get(j - 1) ?? 0) + 1;
      now.set(j, run);
      if (run > length) [begin, there, length] = [i - run + 1, j - run + 1, run];
    });
    before = now;
  });
  if (!length) return 0;
  return (
    length +
    shared(one.slice(0, begin), other.slice(0, there)) +
    shared(one.slice(begin + length), other.slice(there + length))
  );
}
