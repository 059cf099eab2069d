/**
 * What a person typed as a job would write it. Nothing is guessed: a word that is no value of its list is asked about, with the
 * values that it may mean; what cannot be read is refused with its reason and one example.
 */

import { BY_THE_THOUSAND, CODE, DIFFERENCE, few, plainAmount, withoutDegrees } from "./amounttext.js";
import { readLeaf } from "./factreader.js";
import { didYouMean, folded, nameOf } from "./texts.js";
import { between, day } from "./typeddates.js";
import { LeafError } from "./units.js";

/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {import("./units.js").Units} Units */
/** @typedef {Record<string, string[]>} Meanings */

export const YES_NO = ["yes", "no"];
/** @type {Meanings} */
export const YES_NO_SAID = {
  ...Object.fromEntries(["y", "yep", "yup", "yeah", "true"].map((word) => [word, ["yes"]])),
  ...Object.fromEntries(["n", "nope", "nah", "false"].map((word) => [word, ["no"]])),
};
const FINE = ["ok", "okay", "good", "fine"]; // a yes, unless the question is one whose yes is bad or whose no is as good
const NOT_KNOWN = [
  "don't know", "dont know", "do not know", "idk", "don't know yet", "no idea", "not sure", "can't see it", "cant see it",
  "cannot see it", "can't tell", "cant tell",
]; // prettier-ignore
const NUMBER = "[-+]?(?:\\d[\\d,]*)?(?:\\.\\d+)?(?:[eE][-+]?\\d+)?";
export const BARE = new RegExp(`^(?:(?=[-+]?[.\\d])${NUMBER}|(?:\\d+[ -])?\\d+/\\d+)$`);
const TWO = /^\s*([\d.,]+)\s*[/+]\s*([\d.,]+)\s*([^\d\s/+][^\d/+]*)?$/;
const BETWEEN = /^(?:between (\S+) and|(\S+) to) (\S+)$/i;
const SIZE = /^\s*(?:#|no\.?)\s*|\s*(?:awg|ga(?:uge)?)\.?\s*$/gi;
const WIRES = /^\s*#?(\d\d?)\s*[-/]\s*[2-4](?:\s*(?:w\s*\/?\s*g|with ground|g))?\s*$/i;
const COUNTED = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]; // prettier-ignore
/** @type {Record<string, number>} */
const NUMBERS = { ...Object.fromEntries(COUNTED.map((word, number) => [word, number])), once: 1, twice: 2 };
const TIMES = /^(\d{1,3})\s*(?:x|times)$/i;

/** A word that may mean several values of a list, or part of one. */
export class Unclear extends LeafError {
  /** @param {string} word @param {string[]} candidates */
  constructor(word, candidates) {
    super(`'${word}' may mean ${candidates.join(" or ")}.`, "Write the one you mean.");
    this.candidates = candidates;
  }
}

/**
 * A value as it stands in a job.
 * @param {Units} units
 * @param {Leaf} leaf
 * @param {string} text
 * @param {string} [unit] The unit of a number without one; the fact's own where nothing is said.
 * @returns {any}
 * @throws {LeafError}
 */
export function valueOf(units, leaf, text, unit = "") {
  const value = written(units, leaf, unlabeled(leaf, text), unit);
  readLeaf(units, leaf, value);
  return value;
}

/**
 * The values by the last name of their facts: two where a slash parts this fact's amount from the one beside it.
 * @param {Units} units
 * @param {Leaf} leaf
 * @param {string} text
 * @param {string} [unit]
 * @returns {Record<string, any>}
 * @throws {LeafError}
 */
export function valuesOf(units, leaf, text, unit = "") {
  const two = leaf.beside ? TWO.exec(unlabeled(leaf, text)) : null;
  if (!two) return { [nameOf(leaf.path)]: valueOf(units, leaf, text, unit) };
  const label = (two[3] || unit || units.shown(leaf.unit)).trim();
  const names = [leaf.path, leaf.beside].map(nameOf);
  return Object.fromEntries(names.map((name, index) => [name, valueOf(units, leaf, `${two[index + 1]} ${label}`)]));
}

/** A value without the words that people write beside it. @param {Leaf} leaf @param {string} text */
export function unlabeled(leaf, text) {
  if (leaf.form === "text" || leaf.form === "flag") return text;
  for (const label of leaf.labels) {
    const word = label.replace(/[.*+?^${}()|[\]\\/-]/g, "\\$&");
    const found = new RegExp(`^(?:${word}\\b[\\s:=]*(\\S.*)|(.*\\S)\\s*\\b${word})$`, "i").exec(text);
    if (found) return found[1] || found[2];
  }
  return text;
}

/** Other words for the values of a fact, each with the values that it may mean. @param {Leaf} leaf @returns {Meanings} */
export function saidOf(leaf) {
  if (leaf.form !== "flag") return leaf.said;
  const fine = leaf.alarming.includes(false) && !leaf.alarming.includes(true) ? ["yes"] : YES_NO;
  return { ...YES_NO_SAID, ...Object.fromEntries(FINE.map((word) => [word, fine])) };
}

/**
 * The value that is meant, blanks, hyphens and capitals apart.
 * @param {string} text
 * @param {string[]} choices
 * @param {Meanings} said
 * @returns {string}
 * @throws {Unclear|LeafError}
 */
export function meant(text, choices, said) {
  const word = alike(choices.some((choice) => /^\d/.test(choice)) ? size(text, choices) : text);
  const exact = choices.filter((choice) => alike(choice) === word);
  /** @type {Map<string, string[]>} */
  const other = new Map(Object.entries(said).map(([key, values]) => [alike(key), values]));
  const found = exact.length ? exact : (other.get(word) ?? []);
  if (found.length === 1) return found[0];
  const candidates = found.length ? found : partly(word, choices, other);
  if (candidates.length) throw new Unclear(text, candidates);
  const hint = `${didYouMean(text, choices)} One of: ${choices.join(", ")}.`.trim();
  throw new LeafError(`${JSON.stringify(text)} is not one of its values.`, hint);
}

/** A size without what is written around its number; 4/0 is a size, 10/2 is size 10. @param {string} text @param {string[]} choices */
function size(text, choices) {
  const plain = text.replace(SIZE, "");
  const wires = WIRES.exec(plain);
  return wires && !choices.includes(plain.trim()) ? wires[1] : plain;
}

/**
 * The values that a word is a part of: the beginning of one, or three letters and more anywhere in it.
 * @param {string} word
 * @param {string[]} choices
 * @param {Map<string, string[]>} said
 */
function partly(word, choices, said) {
  const fits = (/** @type {string} */ one) => one.startsWith(word) || (word.length > 2 && one.includes(word));
  return choices.filter((choice) => {
    const others = [...said].filter(([, values]) => values.includes(choice)).map(([key]) => key);
    return word && [alike(choice), ...others].some(fits);
  });
}

/** A word without what people write in different ways. @param {string} text */
export function alike(text) {
  const plain = folded(text).replaceAll("_", " ").split(/\s+/).filter(Boolean).join(" ");
  return /\p{L}/u.test(plain) ? plain.replace(/[ -]|(?<=[\p{L}_])\./gu, "") : plain;
}

/** The words that say that something is not known, as the reason; nothing where they say something else. @param {string} text */
export const unknownWhy = (text) => (NOT_KNOWN.includes(folded(text).replace(/[.!]+$/, "")) ? text : "");

/** @param {Units} units @param {Leaf} leaf @param {string} text @param {string} unit @returns {any} */
function written(units, leaf, text, unit) {
  if (leaf.form === "quantity") return quantity(units, leaf, text, unit);
  if (leaf.form === "flag") return flag(leaf, text);
  if (leaf.form === "choice") return meant(text, leaf.possible, saidOf(leaf));
  if (leaf.form === "count" || leaf.form === "constant") return count(text);
  if (leaf.form !== "date") return text;
  const days = BETWEEN.exec(text);
  return days ? between(days[1] || days[2], days[3]) : day(text);
}

/** @param {Leaf} leaf @param {string} text */
function flag(leaf, text) {
  try {
    return meant(text, YES_NO, saidOf(leaf)) === "yes";
  } catch (error) {
    if (error instanceof Unclear) throw new LeafError(error.what, "Write yes or no.");
    if (error instanceof LeafError)
      throw new LeafError(`the answer is yes or no, not '${text.slice(0, 60)}'.`, "Write yes or no.");
    throw error;
  }
}

/** @param {string} text */
function count(text) {
  const number = TIMES.exec(text)?.[1] ?? text;
  if (/^[0-9]{1,9}$/.test(number)) return Number(number);
  const word = folded(text);
  return Object.hasOwn(NUMBERS, word) ? NUMBERS[word] : text;
}

/** The amount with its unit, the number as it was typed. @param {Units} units @param {Leaf} leaf @param {string} typed @param {string} unit */
function quantity(units, leaf, typed, unit) {
  const label = unit || units.shown(leaf.unit);
  let text = withoutDegrees(typed, leaf.kind);
  if (leaf.either_way) text = text.replace(DIFFERENCE, ""); // a job file has no sign there
  if (!BARE.test(text)) return text;
  if (BY_THE_THOUSAND.includes(leaf.unit) && label === units.shown(leaf.unit)) {
    if (few(text))
      throw new LeafError(
        `'${text}' may be ${text} ${label} or ${text} thousand.`,
        `Write it as ${text}k, or with its unit.`,
      );
    return CODE.test(text) ? plainAmount(text, leaf.kind, leaf.unit) : `${text} ${label}`;
  }
  return `${text} ${label}`.trimEnd();
}
