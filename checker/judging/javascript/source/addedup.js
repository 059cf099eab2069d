/** Facts that the program adds up from their parts, where the job schema says so and the job records the parts alone. */

import { reading } from "./factreader.js";
import { total } from "./numbers.js";
import { pattern } from "./scope.js";
import { around, nameOf } from "./texts.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./factreader.js").Reading} Reading */
/** @typedef {Map<string, Map<string, string>>} Recorded Fact → positions of the items that hold it → its full path. */

/**
 * Where some facts are recorded.
 * @param {string[]} paths
 * @param {Set<string>} wanted
 * @returns {Recorded}
 */
export function recorded(paths, wanted) {
  /** @type {Recorded} */
  const found = new Map();
  for (const path of paths) {
    const fact = pattern(path);
    if (!wanted.has(fact)) continue;
    const positions = (path.match(/\.\d+(?=\.)/g) ?? []).join("");
    found.set(fact, (found.get(fact) ?? new Map()).set(positions, path));
  }
  return found;
}

/**
 * Readings of a job, with each sum that it leaves out and whose parts it records.
 * @param {Record<string, Reading>} readings
 * @param {Vocabulary} vocabulary
 */
export function withSums(readings, vocabulary) {
  let all = readings;
  for (const one of vocabulary.told.sums) if (one.adds) all = { ...all, ...added(one, all, vocabulary) };
  return all;
}

/** @param {any} one @param {Record<string, Reading>} readings @param {Vocabulary} vocabulary */
function added(one, readings, vocabulary) {
  const found = recorded(Object.keys(readings), new Set([one.whole, ...one.parts]));
  const whole = found.get(one.whole) ?? new Map();
  const [first, ...others] = one.parts.map((/** @type {string} */ part) => found.get(part) ?? new Map());
  /** @type {Record<string, Reading>} */
  const sums = {};
  for (const [positions, path] of first) {
    const paths = [
      path,
      ...others.map((/** @type {Map<string, string>} */ part) => part.get(positions)).filter(Boolean),
    ];
    const parts = paths.map((part) => readings[part]);
    const amount = sumOf(one, parts);
    if (whole.has(positions) || paths.length < one.parts.length || amount === null) continue;
    const at = `${around(path)}.${nameOf(one.whole)}`;
    sums[at] = ofParts(vocabulary, at, amount, parts, paths);
  }
  return sums;
}

/** What the parts of a sum come to, in base units; null where one is no amount. @param {any} one @param {Reading[]} parts */
export function sumOf(one, parts) {
  const values = parts.map(({ value }) => value);
  if (!values.every((value) => typeof value === "number")) return null;
  return total(one.without_signs ? values.map(Math.abs) : values);
}

/** @param {Vocabulary} vocabulary @param {string} path @param {number} amount @param {Reading[]} parts @param {string[]} paths */
function ofParts(vocabulary, path, amount, parts, paths) {
  const { kind, unit } = /** @type {import("./vocabulary.js").Leaf} */ (vocabulary.leaf(path));
  const digits = Math.max(...parts.map((part) => part.digits));
  const summands = parts.map(({ written }) => written.split(" ")[0].replace(/^-+/, "")).join(" + ");
  const written = `${vocabulary.units.write(amount, kind, unit, digits)} (${summands})`;
  return reading(amount, written, { unit, digits, addedFrom: paths });
}
