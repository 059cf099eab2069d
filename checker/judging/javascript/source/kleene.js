/**
 * What is known, what is not and why: the values of the three-valued logic, and how they combine.
 *
 * A value is known (a number, a word, yes or no, a day number), `NONE` (looked for, there is none), a `Range` of possible values,
 * or `Unknown`. A condition is true, false or `Unknown`: strong Kleene logic. `Unknown` says why it is unknown (`causes`) and
 * what is left to settle (`trace`, a text: two that are equal leave the same).
 */

/** @typedef {{reason: string, fact: string, detail: string}} Cause */
/** @typedef {Map<string, Cause>} Causes */
/** @typedef {number|string|boolean|typeof NONE} Known */
/** @typedef {Known|Range|Unknown|any} Value */
/** @typedef {boolean|Unknown} Truth */

/** A known none. */
export const NONE = Object.freeze({ none: true });

/** @type {Causes} */
export const NO_CAUSES = new Map();

export class Unknown {
  /**
   * @param {Causes} causes
   * @param {string} trace
   */
  constructor(causes, trace) {
    this.causes = causes;
    this.trace = trace;
  }
}

/** Every value between two, both included. */
export class Range {
  /**
   * @param {number} low
   * @param {number} high
   * @param {Causes} causes
   */
  constructor(low, high, causes) {
    this.low = low;
    this.high = high;
    this.causes = causes;
  }
}

/**
 * One cause by itself.
 * @param {string} reason
 * @param {string} fact
 * @param {string} [detail]
 * @returns {Causes}
 */
export function cause(reason, fact, detail = "") {
  return new Map([[`${reason}\u0000${fact}\u0000${detail}`, { reason, fact, detail }]]);
}

/**
 * @param {Causes[]} several
 * @returns {Causes}
 */
export function together(several) {
  const held = several.filter((one) => one.size);
  if (held.length <= 1) return held[0] ?? NO_CAUSES;
  const found = new Map(held[0]);
  for (const one of held.slice(1)) for (const [key, value] of one) found.set(key, value);
  return found;
}

/**
 * The causes in the order of their reasons, facts and details.
 * @param {Causes} causes
 * @returns {Cause[]}
 */
export function sorted(causes) {
  return [...causes.keys()].sort().map((key) => /** @type {Cause} */ (causes.get(key)));
}

/**
 * The facts that causes name, each once, in order.
 * @param {Causes} causes
 * @returns {string[]}
 */
export function factsOf(causes) {
  return [...new Set([...causes.values()].map((one) => one.fact).filter(Boolean))].sort();
}

/**
 * @param {string} path
 * @param {string} [detail]
 */
export function missing(path, detail = "") {
  return new Unknown(cause("not_recorded", path, detail), `fact(${path})`);
}

/**
 * A value as part of a trace.
 * @param {Value} value
 * @returns {string}
 */
export function traced(value) {
  if (value instanceof Unknown) return value.trace;
  if (value instanceof Range) return `[${value.low} ${value.high} ${[...value.causes.keys()].sort().join("\u0001")}]`;
  if (value === NONE) return "none";
  return typeof value === "string" ? JSON.stringify(value) : String(Number(value));
}

/** @param {string[]} traces */
export function asSet(traces) {
  return `{${[...new Set(traces)].sort().join(";")}}`;
}

/**
 * @param {Truth} value
 * @returns {Truth}
 */
export function negated(value) {
  return value instanceof Unknown ? new Unknown(value.causes, `not(${value.trace})`) : !value;
}

/** True if all are, false if any is false, else unknown with what is left to settle. @param {Truth[]} values */
export const allOf = (values) => settledBy(values, false, "all");

/** True if any is, false if all are false, else unknown with what is left to settle. @param {Truth[]} values */
export const anyOf = (values) => settledBy(values, true, "any");

/**
 * @param {Truth[]} values
 * @param {boolean} deciding
 * @param {string} name
 * @returns {Truth}
 */
function settledBy(values, deciding, name) {
  if (values.includes(deciding)) return deciding;
  const unknown = /** @type {Unknown[]} */ (values.filter((value) => value instanceof Unknown));
  if (!unknown.length) return !deciding;
  return unknown.length === 1 ? unknown[0] : joined(unknown, name);
}

/**
 * @param {Unknown[]} unknown
 * @param {string} name
 */
export function joined(unknown, name) {
  return new Unknown(together(unknown.map((one) => one.causes)), `${name}${asSet(unknown.map((one) => one.trace))}`);
}

/** @type {Record<string, (a: number, b: number, grain: number) => boolean>} */
const COMPARED = {
  "<=": (a, b, grain) => a <= b + grain,
  "<": (a, b, grain) => a < b - grain,
  ">=": (a, b, grain) => a >= b - grain,
  ">": (a, b, grain) => a > b + grain,
  "==": (a, b, grain) => Math.abs(a - b) <= grain,
  "!=": (a, b, grain) => Math.abs(a - b) > grain,
};

/**
 * One comparison. A known none is equal to nothing and on no side of anything.
 * @param {string} operator
 * @param {Value} left
 * @param {Value} right
 * @param {number} grain
 * @returns {Truth}
 */
export function compared(operator, left, right, grain) {
  if (left === NONE || right === NONE) return operator === "!=";
  if (left instanceof Unknown || right instanceof Unknown) {
    const causes = [left, right].flatMap((one) => (one instanceof Unknown || one instanceof Range ? [one.causes] : []));
    return new Unknown(together(causes), `${operator}(${traced(left)},${traced(right)})`);
  }
  if (left instanceof Range || right instanceof Range)
    return comparedRanges(operator, asRange(left), asRange(right), grain);
  if (typeof left === "string" || typeof right === "string") return (left === right) === (operator === "==");
  return COMPARED[operator](Number(left), Number(right), grain);
}

/** @param {Value} value */
function asRange(value) {
  return value instanceof Range ? value : new Range(Number(value), Number(value), NO_CAUSES);
}

/**
 * @param {string} operator
 * @param {Range} left
 * @param {Range} right
 * @param {number} grain
 * @returns {Truth}
 */
function comparedRanges(operator, left, right, grain) {
  const open = () =>
    new Unknown(together([left.causes, right.causes]), `${operator}(${traced(left)},${traced(right)})`);
  if (operator === "==" || operator === "!=") {
    if (left.high < right.low - grain || left.low > right.high + grain) return operator === "!=";
    const same = left.low === left.high && left.high === right.low && right.low === right.high;
    return same ? operator === "==" : open();
  }
  const ends = [left.low, left.high].flatMap((a) =>
    [right.low, right.high].map((b) => COMPARED[operator](a, b, grain)),
  );
  return ends.every((one) => one === ends[0]) ? ends[0] : open();
}
