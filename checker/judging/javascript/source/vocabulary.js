/** The facts that a job may record, as `checker/reading/vocabulary_document.py` hands them over. */

import { Units } from "./units.js";
import { pattern } from "./scope.js";
import { around, byCode } from "./texts.js";

/**
 * One fact. What is not told of it is as usual: no unit, no closed list, no bounds.
 * @typedef {object} Leaf
 * @property {string} path Without list positions.
 * @property {string} form
 * @property {string} kind
 * @property {string} title
 * @property {string} ask
 * @property {string} unit
 * @property {number|null} digits
 * @property {string} measured
 * @property {string[]} possible
 * @property {boolean} may_be_none
 * @property {string} names
 * @property {number} stage
 * @property {Record<string, string[]>} said
 * @property {string} beside
 * @property {string[]} labels
 * @property {boolean} either_way
 * @property {(string|boolean)[]} alarming
 * @property {(number|null)[]|null} bounds The least, the most, and what is usual between them.
 * @property {boolean} ahead
 */

/**
 * @typedef {object} ListOf
 * @property {string} path
 * @property {string} title
 * @property {string} ask
 * @property {boolean} keyed
 * @property {string} key_says
 * @property {string[]} item_line
 * @property {boolean} untimed
 * @property {string} clock
 */

/**
 * What may stand at one place of a job, and under it.
 * @typedef {{leaf?: Leaf, list?: ListOf, free: boolean, under: Map<string, Place>}} Place
 */

/** @type {Omit<Leaf, "path">} */
const LEAF = {
  form: "", kind: "", title: "", ask: "", unit: "", digits: null, measured: "", possible: [], may_be_none: false, names: "",
  stage: 0, said: {}, beside: "", labels: [], either_way: false, alarming: [], bounds: null, ahead: false,
}; // prettier-ignore
const LIST = { title: "", ask: "", keyed: false, key_says: "", item_line: [], untimed: false, clock: "" };

const MOST_KNOWN = 100; // values of one fact of which the reading is kept

/** @returns {Place} */
const place = () => ({ free: false, under: new Map() });

export class Vocabulary {
  /** @param {any} told */
  constructor(told) {
    this.told = told;
    this.units = new Units(told.units);
    /** @type {Map<string, string>} */
    this.paths = new Map();
    /** @type {Map<string, Map<any, import("./factreader.js").Reading>>} */
    this.readBefore = new Map();
    /** @type {Map<string, Leaf>} */
    this.leaves = new Map();
    /** @type {Map<string, ListOf>} */
    this.lists = new Map();
    /** @type {Map<string, number>} */
    this.stations = new Map(told.stations.map((/** @type {any} */ one, /** @type {number} */ n) => [one.name, n]));
    /** @type {Place} */
    this.top = place();
    for (const [path, one] of Object.entries(told.facts)) {
      const leaf = { ...LEAF, path, .../** @type {any} */ (one) };
      this.leaves.set(path, leaf);
      this.placeOf(path).leaf = leaf;
    }
    for (const [path, one] of Object.entries(told.lists)) {
      const entry = { ...LIST, path, .../** @type {any} */ (one) };
      this.lists.set(path, entry);
      this.placeOf(path).list = entry;
    }
    for (const path of told.free) this.placeOf(path).free = true;
  }

  /**
   * What was read of a fact before, where the same was written: most of a job is as it was before the last answer.
   * @param {Leaf} leaf
   * @param {any} value
   * @param {() => import("./factreader.js").Reading} read
   */
  known(leaf, value, read) {
    if (value !== null && typeof value === "object") return read();
    const known = this.readBefore.get(leaf.path) ?? new Map();
    let found = known.get(value);
    if (found === undefined) {
      found = read();
      if (known.size > MOST_KNOWN) known.clear();
      this.readBefore.set(leaf.path, known.set(value, found));
    }
    return found;
  }

  /** @param {string} path */
  placeOf(path) {
    let found = this.top;
    for (const name of path.split(".")) {
      if (!found.under.has(name)) found.under.set(name, place());
      found = /** @type {Place} */ (found.under.get(name));
    }
    return found;
  }

  /** What may stand at a path without list positions; undefined where nothing may. @param {string} path */
  placeAt(path) {
    /** @type {Place|undefined} */
    let found = this.top;
    for (const name of path.split(".")) found = found?.under.get(name);
    return found;
  }

  /** Every path there is, of facts, lists and the sections around them. @returns {string[]} */
  get places() {
    /** @type {string[]} */
    const found = [];
    /** @type {(at: Place, path: string) => void} */
    const gone = (at, path) => {
      for (const [name, one] of at.under) {
        const full = path ? `${path}.${name}` : name;
        found.push(full);
        gone(one, full);
      }
    };
    gone(this.top, "");
    return found;
  }

  /** The names that may stand directly under a section. @param {string} path */
  children(path) {
    const found = path ? this.placeAt(path) : this.top;
    return found ? [...found.under.keys()].sort(byCode) : [];
  }

  /** @param {string} path It may hold list positions. */
  leaf(path) {
    return this.leaves.get(pattern(path));
  }

  /** @param {string} path */
  list(path) {
    return this.lists.get(pattern(path));
  }

  /** A person's name for a path. @param {string} path */
  title(path) {
    return (this.leaf(path) ?? this.list(path))?.title ?? path;
  }

  /** The title of the section or item that a fact stands in. @param {string} path @returns {string} */
  sectionTitle(path) {
    return this.told.sections[around(pattern(path))] ?? "";
  }

  /** The place of a fact's station among the stations; the last where it names none. @param {string} path @returns {number} */
  station(path) {
    return this.stations.get(this.told.station_of[pattern(path)] ?? "") ?? this.told.stations.length - 1;
  }

  /** Whether a path is in a section that holds facts of this sort. @param {string} path @param {string} what */
  holds(path, what) {
    const steps = pattern(path).split(".");
    return steps.some((_, n) => this.told.holds[steps.slice(0, n + 1).join(".")]?.includes(what));
  }

  /**
   * The path of what has a role, with the positions of the lists around it; empty where nothing has it.
   * @param {string} role
   * @param {number[]} positions
   */
  at(role, ...positions) {
    const key = positions.length ? `${role} ${positions.join(" ")}` : role;
    let found = this.paths.get(key);
    if (found === undefined) {
      found = this.pathOf(role, positions);
      this.paths.set(key, found);
    }
    return found;
  }

  /** @param {string} role @param {number[]} positions */
  pathOf(role, positions) {
    const left = [...positions];
    let path = "";
    for (const step of (this.told.roles[role] ?? "").split(".").filter(Boolean)) {
      path += path ? `.${step}` : step;
      if (left.length && this.lists.has(pattern(path))) path += `.${left.shift()}`;
    }
    return path;
  }
}
