/** What a page shows of a job: how a fact is asked for, what is recorded of it, and under which heading it stands. */

import { around, isGroup } from "./texts.js";
import { pattern } from "./scope.js";
import { YES_NO } from "./typedinput.js";

/** @typedef {import("./opened.js").Opened} Opened */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./vocabulary.js").Leaf} Leaf */

/** A word as a person reads it. @param {string} word */
const shown = (word) => word.replaceAll("_", " ");

/**
 * How a fact or a list is asked for.
 * @param {Opened} opened
 * @param {Job} job
 * @param {string} path
 */
export function question({ vocabulary }, job, path) {
  const entry = vocabulary.list(path);
  if (entry) {
    const inside = [...vocabulary.leaves.values()].filter((leaf) => around(leaf.path) === entry.path);
    const says = vocabulary.leaves.get(`${entry.path}.${entry.key_says}`);
    const columns = inside.map((leaf) => ({ name: leaf.path, title: leaf.title, unit: unitOf(vocabulary, leaf) }));
    const choices = wordsOf(says);
    const { title, ask, keyed } = entry;
    return { path, text: ask || title, title, form: "list", unit: "", choices, mayBeNone: false, keyed, columns };
  }
  const leaf = /** @type {Leaf} */ (vocabulary.leaf(path));
  const offered = job.lists[leaf.names];
  const choices = offered ? offered.map((word) => ({ word, value: word })) : wordsOf(leaf);
  const { title, ask, form, may_be_none: mayBeNone } = leaf;
  return { path, text: ask || title, title, form, unit: unitOf(vocabulary, leaf), choices, mayBeNone };
}

/** @param {Leaf|undefined} leaf */
function wordsOf(leaf) {
  const possible = leaf?.form === "flag" ? YES_NO : (leaf?.possible ?? []);
  return possible.map((value) => ({ word: shown(value), value }));
}

/** @param {import("./vocabulary.js").Vocabulary} vocabulary @param {Leaf} leaf */
const unitOf = (vocabulary, leaf) => (leaf.form === "quantity" ? vocabulary.units.shown(leaf.unit) : "");

/**
 * What a job records of a fact, as a person would write it again; undefined where it says nothing.
 * @param {Opened} _
 * @param {Job} job
 * @param {string} path
 * @returns {string|undefined}
 */
export function writtenAt(_, job, path) {
  if (Object.hasOwn(job.notKnown, path)) return `unknown: ${job.notKnown[path]}`;
  const value = valueAt(job, path);
  if (isGroup(value) && typeof value.none === "string") return `none: ${value.none}`;
  return Object.hasOwn(job.readings, path) ? job.readings[path].written : undefined;
}

/** What stands at a path of a job's document. @param {Job} job @param {string} path */
function valueAt(job, path) {
  return path.split(".").reduce((found, step) => found?.[step], /** @type {any} */ (job.data));
}

/** The names of the items of a list; undefined where it is not recorded. @param {Opened} _ @param {Job} job @param {string} path */
export const itemsOf = (_, job, path) => (Object.hasOwn(job.lists, path) ? job.lists[path] : undefined);

/** A list of readings as rows of what was written. @param {Opened} opened @param {Job} job @param {string} path */
export function rowsOf(opened, job, path) {
  const columns = question(opened, job, path).columns ?? [];
  const names = columns.map(({ name }) => name.slice(name.lastIndexOf(".") + 1));
  return itemsOf(opened, job, path)?.map((_, n) =>
    names.map((name) => writtenAt(opened, job, `${path}.${n}.${name}`) ?? ""),
  );
}

/**
 * The heading under which a fact stands: the names of the list items around it, and the title of its section.
 * @param {Opened} opened
 * @param {Job} job
 * @param {string} path
 */
export function sectionOf({ vocabulary }, job, path) {
  const steps = path.split(".");
  const names = steps.flatMap((step, at) => {
    const list = steps.slice(0, at).join(".");
    const named = /^\d+$/.test(step) && vocabulary.list(list)?.keyed ? job.lists[list]?.[Number(step)] : undefined;
    return named === undefined ? [] : [named];
  });
  return [names.join(", "), vocabulary.sectionTitle(path)].filter(Boolean).join(": ");
}

/**
 * What a job records, in the order of the schema: facts, and each list of readings as one.
 * @param {Opened} opened
 * @param {Job} job
 */
export function recorded(opened, job) {
  const { vocabulary } = opened;
  const order = new Map([...vocabulary.leaves.keys(), ...vocabulary.lists.keys()].map((path, n) => [path, n]));
  const rows = Object.keys(job.lists).filter((path) => !vocabulary.list(path)?.keyed);
  const facts = [...Object.keys(job.readings), ...Object.keys(job.notKnown)].filter(
    (path) =>
      !path.endsWith(".key") && valueAt(job, path) !== undefined && !rows.some((row) => path.startsWith(`${row}.`)),
  );
  const told = [...facts, ...rows].map((path) => ({
    path,
    station: vocabulary.told.stations[vocabulary.station(path)].name,
    title: vocabulary.title(path),
    written: rows.includes(path) ? `${job.lists[path].length} readings` : (writtenAt(opened, job, path) ?? ""),
  }));
  const place = (/** @type {string} */ path) => order.get(pattern(path)) ?? 0;
  return told.sort((a, b) => place(a.path) - place(b.path) || (a.path < b.path ? -1 : 1));
}
