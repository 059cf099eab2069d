/** What somebody should look at once more: readings far from usual, and readings that cannot all be right. */

import { recorded, sumOf } from "./addedup.js";
import { HAIR } from "./factreader.js";
import { dateOf } from "./functions.js";
import { pattern } from "./scope.js";
import { toBase } from "./units.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./factreader.js").Reading} Reading */
/** @typedef {{why: string, doubted: string[]}} Look */

/**
 * What to look at again in a job.
 * @param {Vocabulary} vocabulary
 * @param {Job} job
 * @param {number} on The day of the check.
 * @returns {Look[]}
 */
export function secondLook(vocabulary, job, on) {
  const { orders, sums } = vocabulary.told;
  const wanted = [
    ...orders.flatMap((/** @type {any} */ one) => [one.lower, one.upper]),
    ...sums.flatMap((/** @type {any} */ one) => [one.whole, ...one.parts]),
  ];
  const found = recorded(Object.keys(job.readings), new Set(wanted));
  return [
    ...Object.entries(job.readings).flatMap(([path, reading]) => alone(vocabulary, path, reading, on)),
    ...photographs(vocabulary, job, on),
    ...orders.flatMap((/** @type {any} */ one) => inOrder(vocabulary, job, one, found)),
    ...sums.flatMap((/** @type {any} */ one) => addedUp(vocabulary, job, one, found)),
    ...Object.keys(job.lists).flatMap((path) => clock(vocabulary, job, path)),
  ];
}

/** The readings that are doubted, each with why. @param {Look[]} looks */
export function doubtsOf(looks) {
  /** @type {Record<string, string>} */
  const found = {};
  for (const { why, doubted } of looks) for (const path of doubted) found[path] ??= why;
  return found;
}

/** @param {Vocabulary} vocabulary @param {string} path @param {Reading} reading @param {number} on @returns {Look[]} */
function alone(vocabulary, path, reading, on) {
  const leaf = typeof reading.value === "number" || isRange(reading.value) ? vocabulary.leaf(path) : undefined;
  if (!leaf) return [];
  if (leaf.form === "date") {
    const late = /** @type {number[]} */ (ends(reading))[0] > on && !leaf.ahead;
    return late ? [{ why: `${leaf.title}, ${reading.written}, is after the day of this check`, doubted: [] }] : [];
  }
  const usual = leaf.bounds && farFromUsual(vocabulary, leaf, reading.value);
  return usual ? [{ why: `${leaf.title}, ${reading.written}. ${usual}`, doubted: [] }] : [];
}

/** What is usual, where an amount is not; else nothing. @param {Vocabulary} vocabulary @param {Leaf} leaf @param {number} amount */
function farFromUsual(vocabulary, leaf, amount) {
  const [, , low, high] = /** @type {(number|null)[]} */ (leaf.bounds);
  if ((low ?? -Infinity) <= amount && amount <= (high ?? Infinity)) return "";
  const told = [low, high].map((end) => vocabulary.units.write(/** @type {number} */ (end), leaf.kind, leaf.unit));
  return `${told.join(" to ")} is usual`;
}

/** A sentence for each photograph that was taken before the first day of the job, or after the last. @param {Vocabulary} vocabulary @param {Job} job @param {number} on */
function photographs(vocabulary, job, on) {
  const days = (vocabulary.told.commands.photographed_within ?? []).flatMap((/** @type {string} */ path) =>
    daysOf(job, path),
  );
  if (!days.length) return [];
  return (job.lists[vocabulary.at("photographs")] ?? []).flatMap((key, index) => {
    const [day] = daysOf(job, vocabulary.at("photographs.taken", index));
    if (day === undefined) return [];
    const side =
      day < Math.min(...days) ? "before the first" : Math.max(...days) < day && day <= on ? "after the last" : "";
    const why = `the photograph ${key} was taken on ${dateOf(day)}, ${side} day of this job`;
    return side ? [{ why, doubted: [] }] : [];
  });
}

/** @param {Job} job @param {string} path */
const daysOf = (job, path) => (Object.hasOwn(job.readings, path) ? (ends(job.readings[path]) ?? []) : []);

/** What is wrong with two readings of which the one is never more, or never later, than the other. @param {Vocabulary} vocabulary @param {Job} job @param {any} order @param {import("./addedup.js").Recorded} found @returns {Look[]} */
function inOrder(vocabulary, job, order, found) {
  const leaf = vocabulary.leaf(order.lower);
  const uppers = found.get(order.upper);
  if (!leaf || !uppers) return [];
  return [...(found.get(order.lower) ?? [])].flatMap(([positions, lower]) => {
    const upper = uppers.get(positions);
    const [low, high] = upper === undefined ? [null, null] : [ends(job.readings[lower]), ends(job.readings[upper])];
    const past = low && high ? low[0] - high[1] : 0;
    if (past <= 0 || upper === undefined) return [];
    const isPast = leaf.form === "date" ? "is after" : "is more than";
    const why = `${named(vocabulary, job, lower)} ${isPast} ${named(vocabulary, job, upper)}`;
    return [{ why, doubted: !order.usual && past > within(vocabulary, leaf, order) ? [lower, upper] : [] }];
  });
}

/** What is wrong with a reading that is not the sum of its parts. @param {Vocabulary} vocabulary @param {Job} job @param {any} one @param {import("./addedup.js").Recorded} found @returns {Look[]} */
function addedUp(vocabulary, job, one, found) {
  const leaf = vocabulary.leaf(one.whole);
  const parts = one.parts.map((/** @type {string} */ part) => found.get(part) ?? new Map());
  return [...(found.get(one.whole) ?? [])].flatMap(([positions, whole]) => {
    const paths = parts.map((/** @type {Map<string, string>} */ part) => part.get(positions));
    if (!leaf || paths.includes(undefined)) return [];
    const { value } = job.readings[whole];
    const amount = sumOf(
      one,
      paths.map((/** @type {string} */ path) => job.readings[path]),
    );
    if (typeof value !== "number" || amount === null || Math.abs(value - amount) <= within(vocabulary, leaf, one))
      return [];
    const together = paths.map((/** @type {string} */ path) => named(vocabulary, job, path)).join(" and ");
    return [{ why: `${named(vocabulary, job, whole)} is not ${together} together`, doubted: [whole, ...paths] }];
  });
}

/** What is to be looked at again where a reading was taken before the one above it. @param {Vocabulary} vocabulary @param {Job} job @param {string} path @returns {Look[]} */
function clock(vocabulary, job, path) {
  const entry = vocabulary.list(path);
  if (!entry?.clock) return [];
  const timed = job.lists[path]
    .map((_, index) => job.readings[`${path}.${index}.${entry.clock}`])
    .filter((reading) => typeof reading?.value === "number");
  const at = timed.findIndex((reading, index) => index > 0 && reading.value < timed[index - 1].value);
  return at < 0
    ? []
    : [{ why: `${entry.title}: ${timed[at].written} stands below ${timed[at - 1].written}`, doubted: [] }];
}

/** How far readings of two instruments may be apart. @param {Vocabulary} vocabulary @param {Leaf} leaf @param {any} one */
function within(vocabulary, leaf, one) {
  const unit = vocabulary.units.find(leaf.kind, leaf.unit);
  if (!unit || one.within === undefined) return 0;
  return Math.abs(toBase(one.within, unit) - toBase(0, unit)) * (1 + HAIR);
}

/** @param {Vocabulary} vocabulary @param {Job} job @param {string} path */
const named = (vocabulary, job, path) => `${vocabulary.title(pattern(path))} (${job.readings[path].written})`;

/** @param {any} value */
const isRange = (value) => value !== null && typeof value === "object";

/** The least and the most that a reading may be; null where it is no amount and no day. @param {Reading} reading */
function ends({ value }) {
  if (isRange(value)) return [value.low, value.high];
  return typeof value === "number" ? [value, value] : null;
}
