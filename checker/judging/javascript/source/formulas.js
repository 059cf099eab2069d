/**
 * Formulas of functions: arithmetic on arguments by name, comparisons of it, and texts with formulas in braces.
 *
 * Each text is read once, by a parser that knows no more than the definition of a function may use. No text becomes code.
 */

import { asFixed, asFloat, asGeneral } from "./numbers.js";

/** @typedef {Record<string, any>} Names */
/** @typedef {(name: string, values: number[]) => any} CallOther */
/** @typedef {(names: Names, call: CallOther) => any} Formula */

const TOKEN = /\s*(\*\*|<=|>=|==|!=|[-+*/%()[\],<>]|\d+(?:\.\d+)?(?:[eE][-+]?\d+)?|'[^']*'|[A-Za-z_]\w*)/y;
/** @type {Record<string, (...values: number[]) => number>} */
const BUILT_IN = { min: Math.min, max: Math.max, abs: Math.abs };
/** @type {Record<string, (a: any, b: any) => boolean>} */
const STANDS = {
  "<=": (a, b) => a <= b,
  "<": (a, b) => a < b,
  ">=": (a, b) => a >= b,
  ">": (a, b) => a > b,
  "==": (a, b) => a === b,
  "!=": (a, b) => a !== b,
};
/** @type {Record<string, (a: number, b: number) => number>} */
const WORKED = {
  "+": (a, b) => a + b,
  "-": (a, b) => a - b,
  "*": (a, b) => a * b,
  "/": (a, b) => a / b,
  "**": (a, b) => a ** b,
  "%": (a, b) => ((a % b) + b) % b,
};

/** @typedef {{work: Formula, names: Set<string>, calls: Set<string>}} Parsed */

/** @type {Map<string, Parsed>} */
const READ = new Map();

/**
 * A formula or a comparison of formulas, ready to be worked out.
 * @param {string} text
 * @returns {Formula}
 */
export const formula = (text) => parsed(text).work;

/**
 * A formula with the names and the other functions that it asks for.
 * @param {string} text
 * @returns {Parsed}
 */
export function parsed(text) {
  const known = READ.get(text);
  if (known) return known;
  const reader = new Reader(text);
  const made = { work: reader.whole(), names: reader.names, calls: reader.calls };
  READ.set(text, made);
  return made;
}

/** @param {string} text */
function tokens(text) {
  const found = [];
  TOKEN.lastIndex = 0;
  const end = text.trimEnd().length;
  while (TOKEN.lastIndex < end) {
    const at = TOKEN.lastIndex;
    const match = TOKEN.exec(text);
    if (!match) throw new Error(`'${text}' cannot be read at ${at}.`);
    found.push(match[1]);
  }
  return found;
}

class Reader {
  /** @param {string} text */
  constructor(text) {
    this.text = text;
    this.tokens = tokens(text);
    this.at = 0;
    /** @type {Set<string>} */
    this.names = new Set();
    /** @type {Set<string>} */
    this.calls = new Set();
  }

  whole() {
    const found = this.comparison();
    if (this.at < this.tokens.length) throw new Error(`'${this.text}' goes on after '${this.tokens[this.at - 1]}'.`);
    return found;
  }

  /** @param {string} wanted */
  take(wanted) {
    if (this.tokens[this.at] !== wanted) return false;
    this.at += 1;
    return true;
  }

  /** @param {string} wanted */
  need(wanted) {
    if (!this.take(wanted)) throw new Error(`'${wanted}' is missing in '${this.text}'.`);
  }

  /** @returns {Formula} */
  comparison() {
    const name = this.tokens[this.at];
    const parts = [this.sum()];
    const operators = /** @type {string[]} */ ([]);
    if (this.take("in")) {
      this.need("rows");
      return (names) => names.rows[name].includes(names[name]);
    }
    while (Object.hasOwn(STANDS, this.tokens[this.at] ?? "")) {
      operators.push(this.tokens[this.at]);
      this.at += 1;
      parts.push(this.sum());
    }
    if (!operators.length) return parts[0];
    return (names, call) => {
      const values = parts.map((part) => part(names, call));
      return operators.every((operator, index) => STANDS[operator](values[index], values[index + 1]));
    };
  }

  sum() {
    return this.chain(["+", "-"], () => this.product());
  }

  product() {
    return this.chain(["*", "/", "%"], () => this.signed());
  }

  /**
   * @param {string[]} operators
   * @param {() => Formula} next
   * @returns {Formula}
   */
  chain(operators, next) {
    let left = next();
    while (operators.includes(this.tokens[this.at])) {
      const work = WORKED[this.tokens[this.at]];
      this.at += 1;
      const [before, right] = [left, next()];
      left = (names, call) => work(before(names, call), right(names, call));
    }
    return left;
  }

  /** @returns {Formula} */
  signed() {
    if (this.take("-")) {
      const inside = this.signed();
      return (names, call) => -inside(names, call);
    }
    const base = this.single();
    if (!this.take("**")) return base;
    const power = this.signed();
    return (names, call) => WORKED["**"](base(names, call), power(names, call));
  }

  /** @returns {Formula} */
  single() {
    const token = this.tokens[this.at];
    this.at += 1;
    if (token === "(") {
      const inside = this.comparison();
      this.need(")");
      return inside;
    }
    if (token === undefined) throw new Error(`'${this.text}' breaks off.`);
    if (token.startsWith("'")) return () => token.slice(1, -1);
    if (/^\d/.test(token)) return () => Number(token);
    if (this.take("(")) return this.called(token);
    this.names.add(token);
    if (!this.take("[")) return (names) => names[token];
    const key = this.comparison();
    this.need("]");
    return (names, call) => names[token][key(names, call)];
  }

  /** @param {string} name @returns {Formula} */
  called(name) {
    if (!Object.hasOwn(BUILT_IN, name)) this.calls.add(name);
    const parts = [this.comparison()];
    while (this.take(",")) parts.push(this.comparison());
    this.need(")");
    return (names, call) => {
      const values = parts.map((part) => part(names, call));
      return Object.hasOwn(BUILT_IN, name) ? BUILT_IN[name](...values) : call(name, values);
    };
  }
}

/**
 * A text with its formulas filled in: `a voltage of {voltage:g} V`.
 * @param {string} text
 * @param {Names} names
 */
export function filledIn(text, names) {
  return text.replace(/\{([^{}:]+)(?::([^{}]+))?\}/g, (_, inside, how) =>
    asWritten(
      formula(inside)(names, () => NaN),
      how,
    ),
  );
}

/**
 * A value as Python's formats `g`, `.4g` and `.0f` write it.
 * @param {any} value
 * @param {string} [how]
 */
export function asWritten(value, how) {
  if (typeof value === "string") return value;
  if (!how) return Number.isInteger(value) ? String(value) : asFloat(value);
  const [, places, form] = /** @type {RegExpExecArray} */ (/^(?:\.(\d+))?([fg])$/.exec(how));
  return form === "f" ? asFixed(value, Number(places ?? 6)) : asGeneral(value, Number(places ?? 6));
}
