/**
 * A program as it came in JSON, made ready: nodes that hold each other, units and functions by name.
 *
 * `schemas/program.schema.json` describes the document.
 */

import { parsed } from "./formulas.js";
import { FOLDS, FORMS, KINDS, OPERATORS } from "./kinds.js";

/** @typedef {Record<string, any>} Node */
/**
 * A rule as it stands under an edition of each code it hangs on, from `day` until the day before `until`.
 * @typedef {object} Version
 * @property {[string, string|null][]} editions
 * @property {number} day
 * @property {number|null} until
 * @property {string} label
 * @property {string} doubt
 * @property {Node|null} rule
 */

/**
 * What a fact can be.
 * @typedef {object} Domain
 * @property {string} form
 * @property {string} kind
 * @property {string} unit
 * @property {number|null} digits
 * @property {any[]} values
 * @property {[number, number]|null} range
 * @property {boolean} may_be_none
 * @property {string} measured
 * @property {string} title
 * @property {string} ask
 */

/** @typedef {{code: string, edition: string, day: number, until: number|null, counts: string, by_report?: boolean}} Adoption */

/**
 * A ruleset that the program was made of.
 * @typedef {object} Source
 * @property {string} id
 * @property {string} title
 * @property {string} version
 * @property {string} digest
 * @property {string[]} editions
 * @property {string} owner_kind
 * @property {string[]} uses
 * @property {string[]} instead_of
 * @property {string[]} documents The titles of the documents that have its editions.
 */

/**
 * What decides which version of a rule holds for a job.
 * @typedef {{home: string, codes: string[], laws: string[], days: number[]}} HangsOn
 */

/** @typedef {{kind: string, name: string, shown: string, scale: number, offset: number, also: string[]}} Unit */

/**
 * A function that rules call, as `checker.trade.function.Definition` tells it.
 * @typedef {object} FunctionUsed
 * @property {[string, string, number][]} arguments Name, kind, and how the result moves when it grows.
 * @property {string} result
 * @property {string[]} tables
 * @property {number} version
 * @property {string} form
 * @property {string} says
 * @property {any} data
 * @property {[string, string][]} serves
 */

/**
 * @typedef {object} Program
 * @property {string} place
 * @property {boolean} covered
 * @property {Source[]} sources
 * @property {Adoption[]} calendar
 * @property {Record<string, string>} dates The path of the date that counts, by rule.
 * @property {Record<string, string>} roles
 * @property {Record<string, [string, string]>} listed
 * @property {Record<string, HangsOn>} hangs_on
 * @property {string[]} either The codes of which one holds, and nobody has said which.
 * @property {string[]} set_aside The codes that do not govern here.
 * @property {Record<string, Node[]>} written_for
 * @property {Record<string, string>} parts The titles of things to bring.
 * @property {string} state What people call the state for which the editions `by_report` are published.
 * @property {Unit[]} units
 * @property {Record<string, Domain>} facts
 * @property {Record<string, boolean>} lists
 * @property {Record<string, [number, number]>} ranges
 * @property {Record<string, [number, number]>} accuracies Of readings whose job names none, by kind: an amount, and a share.
 * @property {Record<string, FunctionUsed>} functions
 * @property {Record<string, any>} curves
 * @property {Record<string, Version[]>} rules
 */

const FORMAT = 1;

/** What this reader cannot judge by. */
export class Refused extends Error {}

/**
 * The program of a document.
 * @param {any} document
 * @returns {Program}
 * @throws {Refused} It is of another format, or it has a kind of node, a fold or a function that this reader does not know.
 */
export function loaded(document) {
  if (!document || document.program !== FORMAT) throw new Refused(`This is not a program of format ${FORMAT}.`);
  const unknown = notKnown(document);
  if (unknown.length) throw new Refused(`This reader does not know ${unknown.join(", ")}.`);
  const nodes = linked(document.nodes);
  /** @type {Record<string, Version[]>} */
  const rules = {};
  for (const [name, versions] of Object.entries(document.rules)) {
    rules[name] = /** @type {any[]} */ (versions).map((one) => ({
      ...one,
      rule: one.rule === null ? null : nodes[one.rule],
    }));
  }
  /** @type {Record<string, Node[]>} */
  const lines = {};
  for (const [name, places] of Object.entries(document.written_for)) {
    lines[name] = /** @type {number[]} */ (places).map((at) => nodes[at]);
  }
  return { ...document, nodes: undefined, rules, written_for: lines };
}

/**
 * What a program uses and this reader does not know, each by its name.
 * @param {any} document
 * @returns {string[]}
 */
export function notKnown(document) {
  /** @type {Set<string>} */
  const found = new Set();
  for (const node of document.nodes) {
    if (!Object.hasOwn(KINDS, node.is)) found.add(`the node '${node.is}'`);
    else if (node.is === "arithmetic" && !OPERATORS.includes(node.operator))
      found.add(`the operator '${node.operator}'`);
    else if (node.is === "fold" && !FOLDS.includes(node.name)) found.add(`the fold '${node.name}'`);
  }
  for (const [name, one] of Object.entries(/** @type {Record<string, FunctionUsed>} */ (document.functions))) {
    if (!FORMS.includes(one.form) || !readable(one, document.functions)) found.add(`the function '${name}'`);
  }
  return [...found].sort();
}

/**
 * Whether every formula of a function can be read, and asks for nothing that is not there.
 * @param {FunctionUsed} used
 * @param {Record<string, FunctionUsed>} functions
 */
function readable(used, functions) {
  const names = new Set([...used.arguments.map(([name]) => name), ...Object.keys(used.data ?? {})]);
  const formulas = [
    ...(used.form === "formula" ? [used.says] : []),
    ...(used.serves ?? []).map(([condition]) => condition),
  ];
  try {
    return formulas
      .map(parsed)
      .every(
        ({ names: asked, calls }) =>
          [...asked].every((name) => names.has(name)) && [...calls].every((name) => Object.hasOwn(functions, name)),
      );
  } catch {
    return false;
  }
}

/**
 * The nodes of a list, each holding those that its fields name by their place.
 * @param {any[]} items
 * @returns {Node[]}
 */
function linked(items) {
  /** @type {Node[]} */
  const made = [];
  /** @type {(part: any) => any} */
  const part = (data) => {
    if (typeof data === "number") return made[data];
    if (Array.isArray(data)) return data.map(part);
    if (data !== null && typeof data === "object") {
      return Object.fromEntries(Object.entries(data).map(([name, one]) => [name, part(one)]));
    }
    return data;
  };
  for (const item of items) {
    const kind = KINDS[item.is];
    /** @type {Node} */
    const node = { ...kind.usual, ...item };
    for (const field of kind.holds) node[field] = part(node[field]);
    if (item.is === "row") node.keys = item.keys.map(ends);
    made.push(node);
  }
  return made;
}

/**
 * The key of a row: a word, or the two ends of a range of which an open one is infinite.
 * @param {string|[number|null, number|null]} key
 */
function ends(key) {
  return typeof key === "string" ? key : [key[0] === null ? -Infinity : key[0], key[1] === null ? Infinity : key[1]];
}

/**
 * A rule as it stands on a day under these editions; of several versions the one that hangs on most of them.
 * @param {Program} program
 * @param {string} name
 * @param {Record<string, string|null>} editions
 * @param {number} day
 * @returns {Node|null}
 * @throws {Refused} The program was not made for them.
 */
export function ruleOn(program, name, editions, day) {
  /** @type {Version|null} */
  let found = null;
  for (const one of program.rules[name]) {
    const holds = one.day <= day && (one.until === null || day < one.until);
    if (holds && one.editions.every(([code, edition]) => (editions[code] ?? null) === edition)) {
      if (found === null || one.editions.length > found.editions.length) found = one;
    }
  }
  if (found === null) throw new Refused(`${name} on day ${day} under ${JSON.stringify(editions)}`);
  return found.rule;
}
