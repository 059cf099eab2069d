/**
 * One rule looked at on one job: which item, what is assumed for a trial, which readings are moved, and names worked out.
 */

import { NONE, Range, Unknown, cause, missing } from "./kleene.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./kleene.js").Value} Value */
/** @typedef {(node: Node, scope: Scope) => Unknown|null} Guard */

const POSITION = /\.\d+(?=\.|$)/g;
/** @type {Map<string, any>} */
const NOTHING = new Map();

/** @type {Map<string, string>} */
const PATTERNS = new Map();
const MOST_PATTERNS = 20_000;

/** A path without list positions. @param {string} path */
export function pattern(path) {
  let found = PATTERNS.get(path);
  if (found === undefined) {
    found = path.replace(POSITION, "");
    if (PATTERNS.size > MOST_PATTERNS) PATTERNS.clear();
    PATTERNS.set(path, found);
  }
  return found;
}

/** The facts of a job, with what the program says that the others can be. */
export class Facts {
  /**
   * @param {import("./program.js").Program} program
   * @param {Record<string, any>} values By full path, in base units: null for a known none, two ends for a day between two days.
   * @param {Record<string, string[]>} lists The keys of each recorded list.
   * @param {Record<string, string>} [doubts] The readings of which nobody knows whether they are right, with why: not known.
   */
  constructor(program, values, lists, doubts = {}) {
    this.handed = values;
    this.doubts = doubts;
    /** What is asked for is noted here while somebody wants to know it. @type {{asked: Set<string>|null}} */
    this.watch = { asked: null };
    /** @type {Facts|null} The same without doubts, once it was asked for. */
    this.undoubted = null;
    this.doubtless = false;
    this.program = program;
    this.lists = lists;
    /** @type {Map<string, Value>} */
    this.values = new Map();
    /** @type {Map<object, Map<string, Map<any, string[]>>>} */
    this.read = new Map();
    for (const [path, value] of Object.entries(values)) this.values.set(path, asValue(path, value));
    for (const [path, why] of Object.entries(doubts)) {
      this.values.set(path, new Unknown(cause("implausible", path, why), `fact(${path})`));
    }
  }

  /** The same, each reading taken as it is recorded. */
  get asRecorded() {
    if (!this.undoubted) {
      this.undoubted = new Facts(this.program, this.handed, this.lists);
      this.undoubted.watch = this.watch;
      this.undoubted.doubtless = true;
    }
    return this.undoubted;
  }

  /** What is recorded at a full path; undefined where nothing is. @param {string} path */
  value(path) {
    this.watch.asked?.add(path);
    return this.values.get(path);
  }

  /**
   * Where what nodes read of this job is kept, of one rule at one place: it is asked for again with each value that is tried.
   * @param {object} rule The names of the rule.
   * @param {string} place
   * @returns {Map<any, string[]>}
   */
  readBy(rule, place) {
    const places = this.read.get(rule) ?? new Map();
    if (!places.size) this.read.set(rule, places);
    const found = places.get(place) ?? new Map();
    if (!found.size) places.set(place, found);
    return found;
  }

  /** Ask for what nodes read as if it were the first time. */
  forgetReads() {
    this.read.clear();
    this.undoubted?.read.clear();
  }

  /** The keys of a recorded list, in order; undefined where it is not recorded. @param {string} path */
  items(path) {
    this.watch.asked?.add(path);
    return Object.hasOwn(this.lists, path) ? this.lists[path] : undefined;
  }

  /**
   * What is known of a fact before any job; undefined where the program has no such fact.
   * @param {string} path
   */
  domain(path) {
    const at = pattern(path);
    return Object.hasOwn(this.program.facts, at) ? this.program.facts[at] : undefined;
  }

  /**
   * Every value that an unrecorded fact could have, where that is a closed list or a range.
   * @param {string} path
   * @returns {Value[]|Range|undefined}
   */
  possible(path) {
    const domain = this.domain(path);
    if (!domain) return undefined;
    const at = pattern(path);
    const ends = Object.hasOwn(this.program.ranges, at) ? this.program.ranges[at] : domain.range;
    if (ends) return new Range(ends[0], ends[1], cause("not_recorded", path));
    if (!domain.values.length) return undefined;
    return domain.may_be_none ? [...domain.values, NONE] : domain.values;
  }
}

/**
 * @param {string} path
 * @param {any} value
 * @returns {Value}
 */
function asValue(path, value) {
  if (value === null) return NONE;
  return typeof value === "object" ? new Range(value.low, value.high, cause("date_unknown", path)) : value;
}

export class Scope {
  /**
   * @param {Facts} facts
   * @param {Record<string, Node>} where
   * @param {string} [item]
   * @param {string} [outer]
   * @param {Map<string, Value>} [assumed]
   * @param {Map<string, number>} [moved]
   * @param {Guard|null} [guard]
   */
  constructor(facts, where, item = "", outer = "", assumed = NOTHING, moved = NOTHING, guard = null) {
    this.facts = facts;
    this.where = where;
    this.item = item;
    this.outer = outer;
    this.assumed = assumed;
    this.moved = moved;
    this.guard = guard;
    /** @type {Map<string, Value>} */
    this.named = new Map();
  }

  /** The same look with some unrecorded facts taken to have these values. @param {Map<string, Value>} assumed */
  assuming(assumed) {
    const all = new Map([...this.assumed, ...assumed]);
    return new Scope(this.facts, this.where, this.item, this.outer, all, this.moved, this.guard);
  }

  /** The same look at other facts, of which those that it read say the same. @param {Facts} facts */
  on(facts) {
    return new Scope(facts, this.where, this.item, this.outer, this.assumed, this.moved, this.guard);
  }

  /** The same look with some readings moved by so much, in base units. @param {Map<string, number>} moved */
  moving(moved) {
    return new Scope(this.facts, this.where, this.item, this.outer, this.assumed, moved);
  }

  /** The full path of a fact. @param {Node} fact */
  path(fact) {
    const before = fact.frame === "item" ? this.item : fact.frame === "outer" ? this.outer : "";
    return before && fact.path ? `${before}.${fact.path}` : before || fact.path;
  }

  /** What is known at a full path. @param {string} path @returns {Value} */
  read(path) {
    const assumed = this.assumed.get(path);
    if (assumed !== undefined) return assumed;
    const found = this.facts.value(path);
    if (found === undefined) {
      const possible = this.facts.possible(path);
      return possible instanceof Range ? possible : missing(path);
    }
    const step = this.moved.get(path);
    return step !== undefined && typeof found === "number" ? found + step : found;
  }
}
