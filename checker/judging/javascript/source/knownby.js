/** How the facts of a job are known, as the job says it: `checker/reading/known_by.py` tells how. */

import { pattern } from "./scope.js";
import { didYouMean, isGroup } from "./texts.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {{name: string, title: string, readings?: boolean, holds?: string[], asked?: boolean}} Way */
/** @typedef {{at: (string|number)[], what: string, hint: string}} Mistake */

export const ROLE = "known_by";

/** The ways of knowing, the strongest first. @param {Vocabulary} vocabulary @returns {Way[]} */
export const ways = (vocabulary) => vocabulary.told.commands[ROLE] ?? [];

/**
 * What a job says under its section; what is not written as it should be is left out.
 * @param {any} data
 * @param {Vocabulary} vocabulary
 * @returns {[string, string[]][]}
 */
function sectionOf(data, vocabulary) {
  const told = data[vocabulary.at(ROLE)];
  if (!vocabulary.at(ROLE) || !isGroup(told)) return [];
  return Object.entries(told)
    .filter(([, paths]) => Array.isArray(paths))
    .map(([name, paths]) => [name, paths.filter((/** @type {any} */ path) => typeof path === "string")]);
}

/**
 * The way a recorded fact is known; undefined where the job does not say.
 * @param {any} data
 * @param {Vocabulary} vocabulary
 * @param {Record<string, import("./factreader.js").Reading>} readings
 * @param {string} path
 */
export function wayOf(data, vocabulary, readings, path) {
  const named = new Map(sectionOf(data, vocabulary).flatMap(([name, paths]) => paths.map((one) => [one, name])));
  const steps = path.split(".");
  for (let n = steps.length; n > 0; n -= 1) {
    const name = named.get(steps.slice(0, n).join("."));
    if (name) return ways(vocabulary).find((way) => way.name === name);
  }
  const reading = readings[path];
  return reading?.instrument && !reading.origin ? ways(vocabulary).find((way) => way.readings) : undefined;
}

/** The way that is left where somebody only says so. @param {Vocabulary} vocabulary */
const stated = (vocabulary) => ways(vocabulary).find((way) => way.asked)?.name ?? "";

/** The way that an answer to the question about a fact is known. @param {Vocabulary} vocabulary @param {string} path */
function answered(vocabulary, path) {
  const measured = Boolean(vocabulary.leaf(path)?.measured) || holdsReadings(vocabulary, path);
  const found = ways(vocabulary).find(
    (way) => (way.readings && measured) || (way.holds ?? []).some((sort) => vocabulary.holds(path, sort)),
  );
  return found?.name ?? stated(vocabulary);
}

/** @param {Vocabulary} vocabulary @param {string} path */
function holdsReadings(vocabulary, path) {
  const at = pattern(path);
  if (!vocabulary.lists.has(at)) return false;
  return [...vocabulary.leaves.values()].some((leaf) => leaf.measured && leaf.path.startsWith(`${at}.`));
}

/**
 * The name of the way that each fact of an answer is known; empty for one that could not be found out.
 * @param {Vocabulary} vocabulary
 * @param {Record<string, any>} facts Values by path; items of lists with all that is in them.
 * @param {boolean} ticked Whether somebody ticked them off and did no more.
 */
export function answers(vocabulary, facts, ticked) {
  /** @type {Record<string, string>} */
  const found = {};
  for (const [at, told] of Object.entries(facts)) {
    for (const [path, value] of factsIn(vocabulary, at, told)) {
      const unknown = isGroup(value) && Object.hasOwn(value, "not_known");
      found[path] = unknown ? "" : ticked ? stated(vocabulary) : answered(vocabulary, path);
    }
  }
  return found;
}

/** @param {Vocabulary} vocabulary @param {string} path @param {any} value @returns {[string, any][]} */
function factsIn(vocabulary, path, value) {
  const entry = vocabulary.list(path);
  if (vocabulary.leaf(path) || (Array.isArray(value) && entry && !entry.keyed)) return [[path, value]];
  if (Array.isArray(value)) return value.flatMap((item, index) => factsIn(vocabulary, `${path}.${index}`, item));
  if (!isGroup(value)) return [];
  return Object.keys(value)
    .filter((name) => name !== "key")
    .flatMap((name) => factsIn(vocabulary, `${path}.${name}`, value[name]));
}

/**
 * A job with the way each fact is known; what was said of the same facts before goes.
 * @param {any} data
 * @param {Vocabulary} vocabulary
 * @param {Record<string, string>} names
 */
export function noted(data, vocabulary, names) {
  const section = vocabulary.at(ROLE);
  if (!section) return data;
  /** @type {Map<string, string[]>} */
  const kept = new Map(
    sectionOf(data, vocabulary).map(([name, paths]) => [name, paths.filter((one) => !Object.hasOwn(names, one))]),
  );
  for (const [path, name] of Object.entries(names)) if (name) kept.set(name, [...(kept.get(name) ?? []), path]);
  const told = ways(vocabulary)
    .map(({ name }) => name)
    .filter((name) => kept.get(name)?.length);
  const others = Object.fromEntries(Object.entries(data).filter(([name]) => name !== section));
  return told.length
    ? { ...others, [section]: Object.fromEntries(told.map((name) => [name, kept.get(name)])) }
    : others;
}

/**
 * What is wrong with what a job says of how its facts are known.
 * @param {any} data
 * @param {Vocabulary} vocabulary
 * @returns {Mistake[]}
 */
export function mistakes(data, vocabulary) {
  const section = vocabulary.at(ROLE);
  const known = ways(vocabulary).map(({ name }) => name);
  /** @type {Mistake[]} */
  const found = [];
  /** @type {Map<string, string>} */
  const seen = new Map();
  for (const [name, paths] of sectionOf(data, vocabulary)) {
    if (!known.includes(name)) {
      found.push({
        at: [section, name, "="],
        what: `'${name}' is not a way of knowing a fact.`,
        hint: `One of: ${known.join(", ")}.`,
      });
    }
    paths.forEach((path, index) => {
      const at = [section, name, index];
      if (!vocabulary.placeAt(pattern(path))) {
        found.push({ at, what: `'${path}' is not a fact of a job.`, hint: didYouMean(path, vocabulary.places) });
      } else if (seen.has(path)) {
        found.push({
          at,
          what: `'${path}' is under both '${seen.get(path)}' and '${name}'.`,
          hint: "Keep one of the two.",
        });
      }
      seen.set(path, name);
    });
  }
  return found;
}

/**
 * What a job says is known and does not record.
 * @param {any} data
 * @param {Vocabulary} vocabulary
 * @param {string[]} there The paths of the facts and lists that it records.
 */
export function unrecorded(data, vocabulary, there) {
  const around = new Set(there);
  for (const path of there) {
    for (let at = path.lastIndexOf("."); at > 0; at = path.lastIndexOf(".", at - 1)) around.add(path.slice(0, at));
  }
  return sectionOf(data, vocabulary).flatMap(([, paths]) => paths.filter((path) => !around.has(path)));
}
