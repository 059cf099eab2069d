/** The walk over a job along the vocabulary: what is recorded where, and what is wrong with it. */

import { called, readLeaf, reading } from "./factreader.js";
import { ProblemsFound } from "./jsontext.js";
import { mistakes } from "./knownby.js";
import { pattern } from "./scope.js";
import { Float, didYouMean, isGroup, nameOf } from "./texts.js";
import { LeafError } from "./units.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {import("./vocabulary.js").Place} Place */
/** @typedef {import("./factreader.js").Reading} Reading */
/** @typedef {import("./jsontext.js").JsonDocument} JsonDocument */
/** @typedef {import("./jsontext.js").At} At */
/** @typedef {Pick<JsonDocument, "data"|"problem"|"inOrder">} Document */

export const SCHEMA_VERSION = 1;
const MOST_ITEMS = 500;
const MOST_TOLD = 100;
const WITHOUT = ["not_known", "none"];

export class Reader {
  /** @param {Document} document @param {Vocabulary} vocabulary @param {string[]} [listed] Instruments that are listed elsewhere. */
  constructor(document, vocabulary, listed = []) {
    this.listed = listed;
    this.document = document;
    this.vocabulary = vocabulary;
    /** @type {Record<string, Reading>} */
    this.readings = {};
    /** @type {Record<string, string>} */
    this.notKnown = {};
    /** @type {Record<string, string[]>} */
    this.lists = {};
    /** @type {import("./jsontext.js").Problem[]} */
    this.problems = [];
    /** @type {string[]} */
    this.withInstrument = [];
    /** @type {At} */
    this.at = [];
  }

  /** Read all that stands in the document. @throws {ProblemsFound} */
  everything() {
    const { data } = this.document;
    if (!isGroup(data)) {
      const hint = 'Begin with {"job_id": "…", "schema_version": 1, … }.';
      throw new ProblemsFound([this.document.problem([], "A job is a group of facts.", hint)]);
    }
    this.group(data, [], "", this.vocabulary.top);
    this.jobId();
    this.version();
    this.unlistedInstruments();
    for (const { at, what, hint } of mistakes(data, this.vocabulary)) {
      this.at = at;
      this.wrong(what, hint);
    }
    if (this.problems.length) throw new ProblemsFound(this.document.inOrder(this.problems));
  }

  /** @param {Record<string, any>} data @param {At} at @param {string} path @param {Place} place */
  group(data, at, path, place) {
    for (const [name, value] of Object.entries(data)) {
      const one = place.under.get(name);
      const full = path ? `${path}.${name}` : name;
      if (one?.leaf && value !== null) this.leaf(one.leaf, value, full, at, name);
      else this.part(value, [...at, name], full, one);
    }
  }

  /** @param {any} value @param {At} at @param {string} path @param {Place|undefined} place */
  part(value, at, path, place) {
    if (path === "$schema") return;
    this.at = at;
    if (value === null) {
      const named = place?.leaf ? `${place.leaf.title}: null` : "null";
      const orNone = place?.leaf?.may_be_none ? ', or {"none": "why"} where there is none.' : ".";
      this.wrong(`${named} says nothing.`, `Leave it out, or write {"not_known": "why"}${orNone}`);
    } else if (!place) this.unknownFact(at, path);
    else if (place.list) this.list(value, at, path, place);
    else if (isGroup(value)) this.group(value, at, path, place);
    else {
      const hint = `It may have: ${some(this.vocabulary.children(pattern(path)))}.`;
      this.wrong(`'${path}' groups facts and cannot be ${called(value)}.`, hint);
    }
  }

  /** @param {At} at @param {string} path */
  unknownFact(at, path) {
    if (this.isFree(pattern(path))) return;
    const siblings = this.vocabulary.children(path.includes(".") ? pattern(path.slice(0, path.lastIndexOf("."))) : "");
    const hint = this.elsewhere(nameOf(path), path) || didYouMean(nameOf(path), siblings);
    this.at = [...at, "="];
    const known = siblings.length ? `Known here: ${some(siblings)}.` : "Take it out.";
    this.wrong(`'${path}' is not a fact of a job.`, hint || known);
  }

  /** Whether anything may stand at a path. @param {string} path */
  isFree(path) {
    return this.vocabulary.told.free.some((/** @type {string} */ free) => path.startsWith(`${free}.`));
  }

  /** Where a fact of this name does stand: in the same group if there, else wherever it is. @param {string} name @param {string} path */
  elsewhere(name, path) {
    const found = [...this.vocabulary.leaves.keys()].filter((one) => nameOf(one) === name);
    const near = found.filter((one) => one.split(".")[0] === path.split(".")[0]);
    const close = near.length ? near : found;
    return close.length && close.length <= 3 ? `There is ${close.map((one) => `'${one}'`).join(" and ")}.` : "";
  }

  /** @param {any} value @param {At} at @param {string} path @param {Place} place */
  list(value, at, path, place) {
    if (!Array.isArray(value)) {
      this.wrong(`'${path}' is a list and cannot be ${called(value)}.`, "Write [ … ], and [] where there are none.");
      return;
    }
    if (value.length > MOST_ITEMS) {
      this.wrong(`'${path}' holds more than ${MOST_ITEMS} items.`, "A job is one replacement at one address.");
      return;
    }
    /** @type {string[]} */
    const keys = [];
    const keyed = Boolean(place.list?.keyed);
    value.forEach((item, index) => {
      this.at = [...at, index];
      if (!isGroup(item)) {
        this.wrong(`Each item of '${path}' is a group of facts, not ${called(item)}.`, "Write { … }.");
        return;
      }
      const key = keyed ? keyOf(item.key) : String(index);
      if (keyed) this.key(key, keys, path);
      keys.push(key);
      this.group(item, [...at, index], `${path}.${index}`, place);
    });
    this.lists[path] = keys;
  }

  /** @param {string} key @param {string[]} keys @param {string} path */
  key(key, keys, path) {
    if (!key) {
      this.wrong(`This item of '${path}' has no 'key'.`, 'Give it a short name of its own, such as "first".');
    } else if (key.includes("/")) {
      this.at = [...this.at, "key"];
      this.wrong(`The key '${key}' holds a '/'.`, "A '/' separates a key from a key inside it; use another character.");
    } else if (keys.includes(key)) {
      this.at = [...this.at, "key"];
      this.wrong(`Two items of '${path}' have the key '${key}'.`, "Give each a name of its own.");
    }
  }

  /** @param {Leaf} leaf @param {any} value @param {string} path @param {At} around @param {string} name */
  leaf(leaf, value, path, around, name) {
    if (isGroup(value) && Object.keys(value).length === 1 && WITHOUT.includes(Object.keys(value)[0])) {
      this.at = [...around, name];
      this.withoutValue(leaf, value, path);
      return;
    }
    try {
      const found = this.vocabulary.known(leaf, value, () => readLeaf(this.vocabulary.units, leaf, value));
      this.readings[path] = found;
      if (found.instrument) this.withInstrument.push(path);
    } catch (error) {
      if (!(error instanceof LeafError)) throw error;
      this.at = [...around, name];
      this.wrong(`${leaf.title}: ${error.what}`, error.hint);
    }
  }

  /** @param {Leaf} leaf @param {Record<string, any>} value @param {string} path */
  withoutValue(leaf, value, path) {
    const [word, why] = Object.entries(value)[0];
    if (typeof why !== "string" || !why.trim()) {
      this.wrong(`${leaf.title}: '${word}' needs its reason.`, `Write {"${word}": "why"}.`);
    } else if (word === "not_known") this.notKnown[path] = why;
    else if (leaf.may_be_none) this.readings[path] = reading(null, `none (${why})`);
    else this.wrong(`${leaf.title}: this cannot be none.`, 'If it could not be found out, write {"not_known": "why"}.');
  }

  /** @param {string} what @param {string} hint @throws {ProblemsFound} As many are told as are told of. */
  wrong(what, hint) {
    this.problems.push(this.document.problem(this.at, what, hint));
    if (this.problems.length < MOST_TOLD) return;
    const more = `${MOST_TOLD} mistakes were found here, and what comes after them was not looked at.`;
    const last = { at: [], line: 0, what: more, hint: "Fix these, then try again." };
    throw new ProblemsFound([last, ...this.document.inOrder(this.problems)]);
  }

  jobId() {
    this.at = [];
    if (!Object.hasOwn(this.document.data, "job_id")) {
      this.wrong("The job has no 'job_id'.", 'Write "job_id": "a name of its own".');
    }
  }

  version() {
    this.at = [];
    const version = this.document.data.schema_version ?? null;
    if (version === null) this.wrong("The job has no 'schema_version'.", `Write "schema_version": ${SCHEMA_VERSION}.`);
    else if (version !== SCHEMA_VERSION && !(version instanceof Float && version.value === SCHEMA_VERSION)) {
      this.at = ["schema_version"];
      const hint = `Write "schema_version": ${SCHEMA_VERSION}, or use the program that the job was made for.`;
      this.wrong(`This program reads jobs of schema version ${SCHEMA_VERSION}.`, hint);
    }
  }

  /** Readings that name an instrument which nothing lists. */
  unlistedInstruments() {
    const listed = this.vocabulary.at("instruments");
    const keys = [...(this.lists[listed] ?? []), ...this.listed];
    for (const path of this.withInstrument) {
      const { instrument } = this.readings[path];
      if (keys.includes(instrument)) continue;
      this.at = [...path.split(".").map((step) => (/^\d+$/.test(step) ? Number(step) : step)), "instrument"];
      const hint = didYouMean(instrument, keys) || `List it under '${listed}' with this key.`;
      this.wrong(`${this.vocabulary.title(path)}: '${instrument}' is not among the job's instruments.`, hint);
    }
  }
}

/** The key of an item as Python makes a text of it. @param {any} key */
function keyOf(key) {
  if (typeof key === "string") return key;
  return key === undefined ? "" : String(key instanceof Float ? key.value : key);
}

/** @param {string[]} names */
const some = (names) => names.slice(0, 8).join(", ") + (names.length > 8 ? " and more" : "");
