/**
 * What is typed on one line about one thing: values in any order, with or without their labels. Of all ways to read a text the
 * plainest counts: labels first, then what only one fact can be, then the order of the line. Where two ways are as plain and
 * say different things, what they differ in is not taken: it is told, and asked after.
 */

import { around, nameOf } from "./texts.js";
import { Finder, LOST, alikeValues } from "./typeditems.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {import("./typeditems.js").Line} Line */
/** @typedef {import("./typeditems.js").Item} Item */
/** @typedef {import("./typeditems.js").Facts} Facts */
/** @typedef {{text: string, meanings: string[]}} UnclearPart */
/**
 * What was read off one line.
 * @typedef {object} LineRead
 * @property {Facts} facts By their paths without list positions.
 * @property {string[]} notUnderstood
 * @property {UnclearPart[]} unclear
 * @property {string[]} aside What was understood and is kept by no fact.
 * @property {string[]} byLabel The facts whose label stands there.
 */

const MOST_LETTERS = 400;
const MOST_WAYS = 24; // ways to read one line that are as plain as each other; more are not looked at

/**
 * The line that holds most of some facts; undefined where none holds any.
 * @param {Vocabulary} vocabulary
 * @param {string[]} paths Without list positions.
 * @returns {Line|undefined}
 */
export function lineOf(vocabulary, paths) {
  /** @type {any[]} */
  const told = vocabulary.told.commands.lines ?? [];
  const held = told.map((line) => paths.filter((path) => path in line.labels || path === line.rows).length);
  const most = Math.max(0, ...held);
  return most ? { phrases: {}, plain: [], aside: [], rows: "", ...told[held.indexOf(most)] } : undefined;
}

/**
 * Read what was typed about one thing.
 * @param {Line} line
 * @param {string} text
 * @param {Vocabulary} vocabulary
 * @returns {LineRead}
 */
export function readLine(line, text, vocabulary) {
  if (text.length > MOST_LETTERS)
    return { facts: {}, notUnderstood: [`${text.slice(0, 40)} …`], unclear: [], aside: [], byLabel: [] };
  const finder = new Finder(line, vocabulary, text);
  const ways = plainest(finder).map((way) => said(finder, way));
  const [first] = ways;
  const atOdds = new Set(
    ways.flatMap(({ facts }) =>
      Object.keys(facts).filter((path) => ways.some((one) => !alikeValues(facts[path], one.facts[path]))),
    ),
  );
  if (!atOdds.size) return first;
  const kept = Object.fromEntries(Object.entries(first.facts).filter(([path]) => !atOdds.has(path)));
  const meanings = [...new Set(ways.map(({ facts }) => inWords(facts, atOdds, vocabulary)))];
  return { ...first, facts: kept, unclear: [...first.unclear, { text, meanings }] };
}

/**
 * What a text says as a line, where it is understood whole and says this fact and others of its group alone.
 * @param {Vocabulary} vocabulary
 * @param {Leaf} leaf
 * @param {string} text
 * @returns {Facts} By their last names.
 */
export function inOneGroup(vocabulary, leaf, text) {
  const line = lineOf(vocabulary, [leaf.path]);
  if (!line) return {};
  const { facts, notUnderstood, unclear, aside } = readLine(line, text, vocabulary);
  const paths = Object.keys(facts);
  const whole = !notUnderstood.length && !unclear.length && !aside.length;
  const there = leaf.path in facts && paths.length > 1 && paths.every((path) => around(path) === around(leaf.path));
  return whole && there ? Object.fromEntries(paths.map((path) => [nameOf(path), facts[path]])) : {};
}

/** @param {Facts} facts @param {Set<string>} paths @param {Vocabulary} vocabulary */
function inWords(facts, paths, vocabulary) {
  const told = Object.entries(facts).filter(([path]) => paths.has(path));
  return told.map(([path, value]) => `${vocabulary.title(path)} ${written(value)}`).join(", ") || "nothing";
}

/** A value as it is told back. @param {any} value @returns {string} */
export function written(value) {
  if (Array.isArray(value)) return value.map(written).join(", ");
  if (value !== null && typeof value === "object") return Object.values(value).map(written).join(" ");
  return typeof value === "boolean" ? (value ? "yes" : "no") : String(value).replaceAll("_", " ");
}

/** Every way to read a text that is as plain as the plainest. @param {Finder} finder @returns {Item[][]} */
function plainest(finder) {
  const count = finder.pieces.length;
  /** @type {{cost: number, ways: Item[][]}[]} */
  const best = Array.from({ length: count + 1 }, () => ({ cost: 0, ways: [[]] }));
  for (let at = count - 1; at >= 0; at -= 1) {
    const items = [...finder.itemsAt(at)];
    const costs = items.map((item) => Math.round((item.cost + best[item.end].cost) * 1e6) / 1e6);
    const least = Math.min(...costs);
    const plain = items.filter((_, index) => costs[index] === least);
    const ways = plain.flatMap((item) => best[item.end].ways.map((rest) => [item, ...rest]));
    best[at] = { cost: least, ways: ways.slice(0, MOST_WAYS) };
  }
  return best[0].ways;
}

/** What one way to read a text says of each fact. @param {Finder} finder @param {Item[]} way @returns {LineRead} */
function said(finder, way) {
  /** @type {Facts} */
  const facts = {};
  /** @type {UnclearPart[]} */
  const unclear = [];
  const twice = new Set();
  for (const item of way) {
    for (const [path, value] of Object.entries(item.facts)) {
      if (path === finder.line.rows) facts[path] = [...(facts[path] ?? []), value];
      else if (!(path in facts)) facts[path] = value;
      else if (!alikeValues(facts[path], value)) {
        unclear.push({ text: item.text, meanings: [written(facts[path]), written(value)] });
        twice.add(path);
      }
    }
  }
  const byLabel = Object.keys(facts);
  for (const item of way) {
    if (Object.keys(item.mayBe).length) {
      const found = room(finder, item, way, byLabel) ? meant(finder, item, facts) : only(item, facts);
      Object.assign(facts, item.mayBe[found] ?? {});
      const titles = Object.keys(item.mayBe)
        .filter((path) => !(path in facts))
        .map((path) => finder.vocabulary.title(path));
      if (!found) unclear.push({ text: item.text, meanings: titles });
    } else if (item.meanings.length && !Object.values(facts).some((value) => item.meanings.includes(written(value)))) {
      unclear.push({ text: item.text, meanings: item.meanings });
    }
  }
  const kept = Object.fromEntries(Object.entries(facts).filter(([path]) => !twice.has(path)));
  const aside = way.filter((item) => item.aside).map((item) => item.text);
  return { facts: kept, notUnderstood: lost(finder, way), unclear, aside, byLabel };
}

/** Whether the line has a place in its order for an amount or a word without a label, and for all like it. @param {Finder} finder @param {Item} item @param {Item[]} way @param {string[]} byLabel */
function room(finder, item, way, byLabel) {
  const places = finder.line.plain.filter((path) => !byLabel.includes(path));
  const alike = way.filter((one) => Object.keys(one.mayBe).some((path) => path in item.mayBe && places.includes(path)));
  const open = new Set(alike.flatMap((one) => Object.keys(one.mayBe).filter((path) => places.includes(path))));
  return alike.length > 0 && alike.length <= open.size;
}

/** The next fact in the order of the line that it may say, else the only one. @param {Finder} finder @param {Item} item @param {Facts} facts */
const meant = (finder, item, facts) =>
  finder.line.plain.find((path) => path in item.mayBe && !(path in facts)) ?? only(item, facts);

/** The one fact that an amount or a word can be; a number without a unit says none. @param {Item} item @param {Facts} facts */
function only(item, facts) {
  const open = Object.keys(item.mayBe).filter((path) => !(path in facts));
  return open.length === 1 && !item.bare ? open[0] : "";
}

/** What was not understood, as it was typed; pieces beside each other together. @param {Finder} finder @param {Item[]} way */
function lost(finder, way) {
  let begin = 0;
  return way.flatMap((item, index) => {
    if (item.cost !== LOST) begin = item.end;
    return item.cost === LOST && way[index + 1]?.cost !== LOST ? [finder.slice(begin, item.end)] : [];
  });
}
