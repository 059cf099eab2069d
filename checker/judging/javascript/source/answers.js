/** What is typed at a question as a job would record it: `checker/fieldwork/questions.py` says the same. */

import { LeafError } from "./units.js";
import { around, nameOf } from "./texts.js";
import { Unclear, meant, saidOf, unknownWhy, valuesOf } from "./typedinput.js";
import { question } from "./screens.js";
import { inOneGroup } from "./typedline.js";

/** @typedef {import("./opened.js").Opened} Opened */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {{facts: Record<string, any>, understood: string}|{refused: string}|{asks: string, candidates: string[]}} Answer */

const WITHOUT = /^(unknown|none)\s*(?::\s*(.*))?$/i;
const PART = "[-+]?[\\d.,]*[\\d.]\\s*(?:[^\\d\\s,.+-][^\\s\\d]*)?"; // a number and perhaps its unit, inside a row of them
const EXAMPLE = "0 310, 5 340";

/** Why an answer cannot be used. */
class NotAnAnswer extends Error {}

/**
 * Read an answer to the question about a fact or a list.
 * @param {Opened} opened
 * @param {Job} job
 * @param {string} path
 * @param {string} typed
 * @returns {Answer}
 */
export function answer(opened, job, path, typed) {
  const text = typed.trim();
  try {
    const facts = factsOf(opened, job, path, text);
    const before = path.slice(0, path.length - nameOf(path).length);
    const several = Object.entries(facts).map(([at, value]) => {
      const name = at === path ? "" : `${opened.vocabulary.title(before + nameOf(at))} `;
      return name + shown(value);
    });
    return { facts, understood: several.join(", ") };
  } catch (error) {
    if (error instanceof Unclear)
      return { asks: error.what, candidates: error.candidates.map((one) => one.replaceAll("_", " ")) };
    if (error instanceof LeafError)
      return { refused: `${error.what[0].toUpperCase()}${error.what.slice(1)} ${error.hint}`.trim() };
    if (error instanceof NotAnAnswer) return { refused: error.message };
    throw error;
  }
}

/** A value as it is told back. @param {any} value @returns {string} */
function shown(value) {
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (value === null || typeof value !== "object") return String(value).replaceAll("_", " ");
  if (Array.isArray(value.between)) return `between ${value.between.join(" and ")}`;
  if (typeof value.not_known === "string") return "not known";
  return typeof value.none === "string" ? "none" : "";
}

/** @param {Opened} opened @param {Job} job @param {string} path @param {string} text @returns {Record<string, any>} */
function factsOf(opened, job, path, text) {
  const { vocabulary } = opened;
  const entry = vocabulary.list(path);
  if (entry) return { [path]: text.toLowerCase() === "none" ? [] : itemsOf(vocabulary, entry, text) };
  const leaf = /** @type {Leaf} */ (vocabulary.leaf(path));
  const without = WITHOUT.exec(text);
  const listed = question(opened, job, path).choices.some((one) => one.word.toLowerCase() === text.toLowerCase());
  if (without && !listed) return withoutValue(path, leaf, without[1].toLowerCase(), (without[2] ?? "").trim());
  if (unknownWhy(text)) return { [path]: { not_known: text } };
  const { choices } = question(opened, job, path);
  const said = saidOf(leaf);
  const words = choices.map((one) => one.word);
  const spoken = Object.fromEntries(
    Object.entries(said).map(([word, values]) => [word, values.map((one) => one.replaceAll("_", " "))]),
  );
  try {
    const word = choices.length ? meant(text, words, spoken) : "";
    const value = choices.find((one) => one.word === word)?.value ?? text;
    return beside(vocabulary, job, path, valuesOf(vocabulary.units, leaf, value));
  } catch (error) {
    // Others of its group may be said with it, such as poles and amperes in 2p40.
    const group = error instanceof LeafError ? inOneGroup(vocabulary, leaf, text) : {};
    if (!Object.keys(group).length) throw error;
    return beside(vocabulary, job, path, group);
  }
}

/** @param {string} path @param {Leaf} leaf @param {string} word @param {string} why */
function withoutValue(path, leaf, word, why) {
  if (word === "none" && !leaf.may_be_none) {
    throw new NotAnAnswer("None is not an answer here. If you couldn't find out, write unknown: and why.");
  }
  if (!why) throw new NotAnAnswer(`Say why as well, such as: ${word}: the plate does not show it.`);
  return { [path]: { [word === "unknown" ? "not_known" : "none"]: why } };
}

/** Values by the full paths of their facts. @param {Vocabulary} vocabulary @param {Job} job @param {string} path @param {Record<string, any>} values */
function beside(vocabulary, job, path, values) {
  const before = path.slice(0, path.length - nameOf(path).length);
  const found = Object.fromEntries(Object.entries(values).map(([name, value]) => [before + name, value]));
  const other = Object.keys(found).find((one) => one !== path && Object.hasOwn(job.readings, one));
  if (!other) return found;
  throw new NotAnAnswer(
    `${vocabulary.title(other)} is recorded already: ${job.readings[other].written}. Write one value here.`,
  );
}

// --- lists ---

/** @param {Vocabulary} vocabulary @param {import("./vocabulary.js").ListOf} entry @param {string} text */
function itemsOf(vocabulary, entry, text) {
  const inside = [...vocabulary.leaves.values()].filter((leaf) => around(leaf.path) === entry.path);
  const parts = text
    .split(",")
    .map((one) => one.trim())
    .filter(Boolean);
  if (!entry.keyed) return parts.map((part) => reading(vocabulary, entry, inside, part));
  if (new Set(parts).size < parts.length) throw new NotAnAnswer("Give each a name of its own.");
  if (!parts.length || parts.some((one) => one.includes("/"))) {
    throw new NotAnAnswer("Write short names with commas between them, without a '/'.");
  }
  const says = vocabulary.leaves.get(`${entry.path}.${entry.key_says}`);
  return parts.map((key) => ({ key, ...saidBy(vocabulary, says, key) }));
}

/** What the name of an item says, where it is a value of a fact. @param {Vocabulary} vocabulary @param {Leaf|undefined} says @param {string} name */
function saidBy(vocabulary, says, name) {
  try {
    return says ? valuesOf(vocabulary.units, says, name) : {};
  } catch (error) {
    if (error instanceof LeafError) return {}; // a name of the contractor's own
    throw error;
  }
}

/** One of a row of readings, such as "5 320". @param {Vocabulary} vocabulary @param {import("./vocabulary.js").ListOf} entry @param {Leaf[]} inside @param {string} part */
function reading(vocabulary, entry, inside, part) {
  const last = inside[inside.length - 1];
  const one = (/** @type {Leaf} */ leaf, /** @type {string} */ text) => valuesOf(vocabulary.units, leaf, text);
  if (entry.untimed && new RegExp(`^${PART}$`).test(part)) return one(last, part);
  const found = new RegExp(`^${inside.map(() => `(${PART})`).join("\\s+")}$`).exec(part);
  if (!found) throw new NotAnAnswer(`'${part}' is not ${inside.length} numbers; write them such as ${EXAMPLE}.`);
  return Object.assign({}, ...inside.map((leaf, n) => one(leaf, found[n + 1].trim())));
}
