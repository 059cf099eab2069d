/** What a value node comes to on one job: facts, limits, arithmetic, functions and tables. */

import { truth } from "./conditions.js";
import { fold } from "./folds.js";
import { result } from "./functions.js";
import { NONE, Range, Unknown, cause, together, traced } from "./kleene.js";
import { asFloat } from "./numbers.js";
import { OutOfRange } from "./outofrange.js";
import { factsRead } from "./references.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./kleene.js").Value} Value */

const MINUTES_A_DAY = 1440;
export const OPEN = "left open: "; // before the name of a limit that no ruleset of the place sets
const TOO_LARGE = "a result too large for a number";
/** @type {Record<string, (a: number, b: number) => number>} */
const ARITHMETIC = {
  "+": (a, b) => a + b,
  "-": (a, b) => a - b,
  "*": (a, b) => a * b,
  "/": (a, b) => a / b,
};
/** @type {Record<string, (a: number, b: number) => number>} */
const EXTREMES = {
  larger_of: (a, b) => (a >= b ? a : b),
  smaller_of: (a, b) => (a <= b ? a : b),
};
/** @type {Record<string, number[]>} */
const MOVES = { "+": [1, 1], "-": [1, -1] };

/**
 * What a value node comes to.
 * @param {Node} node
 * @param {Scope} scope
 * @returns {Value}
 */
export function evaluate(node, scope) {
  switch (node.is) {
    case "fact":
      return scope.read(scope.path(node));
    case "constant":
      return constant(node);
    case "named":
      return named(node, scope);
    case "arithmetic":
      return arithmetic(node, scope);
    case "call":
      return call(node, scope);
    case "first_given":
      return firstGiven(node, scope);
    case "choice":
      return choice(node, scope);
    case "lookup":
      return lookup(node, scope);
    default:
      return fold(node, scope, evaluate);
  }
}

/** @param {Node} node @returns {Value} */
function constant(node) {
  return node.value === null
    ? new Unknown(cause("not_adopted", "", `${OPEN}${node.name}`), `open(${node.name})`)
    : node.value;
}

/** @param {Node} node @param {Scope} scope */
function named(node, scope) {
  if (!scope.named.has(node.name)) scope.named.set(node.name, evaluate(scope.where[node.name], scope));
  return scope.named.get(node.name);
}

/** @param {Node} node @param {Scope} scope */
function firstGiven(node, scope) {
  const first = evaluate(node.first, scope);
  return first === NONE ? evaluate(node.second, scope) : first;
}

/**
 * The value that a condition picks. Where it is not known: every amount between the two, or what both values are.
 * @param {Node} node
 * @param {Scope} scope
 * @returns {Value}
 */
function choice(node, scope) {
  const held = truth(node.condition, scope);
  if (!(held instanceof Unknown)) return evaluate(held ? node.value : node.otherwise, scope);
  const values = [evaluate(node.value, scope), evaluate(node.otherwise, scope)];
  const open = values.filter((value) => value instanceof Unknown || value instanceof Range);
  if (!open.length && values[0] === values[1]) return values[0];
  const causes = together([held.causes, ...open.map((value) => value.causes)]);
  if (values.every((value) => typeof value === "number" || value instanceof Range)) {
    const [one, other] = values.map(lowAndHigh);
    return new Range(Math.min(one[0], other[0]), Math.max(one[1], other[1]), causes);
  }
  return new Unknown(causes, `choice(${held.trace},${values.map(traced).join()})`);
}

/** @param {Node} node @param {Scope} scope */
function arithmetic(node, scope) {
  const values = [evaluate(node.left, scope), evaluate(node.right, scope)];
  if (node.operator in EXTREMES) return extreme(node.operator, values);
  const work = node.kind === "date" ? movedDay(node.operator) : worked(node.operator);
  const found = apply(work, values, MOVES[node.operator] ?? [0, 0], `sum ${node.operator}`);
  return node.operator === "-" && node.kind === "duration" && node.left.kind === "date"
    ? scaled(found, MINUTES_A_DAY)
    : found;
}

/**
 * The larger or smaller of two values. A known none is passed over; one that is not known is bounded by the other.
 * @param {string} name
 * @param {Value[]} values
 * @returns {Value}
 */
function extreme(name, values) {
  const there = values.filter((value) => value !== NONE);
  if (there.length < 2) return there.length ? there[0] : NONE;
  const pick = EXTREMES[name];
  const open = there.filter((value) => value instanceof Unknown || value instanceof Range);
  if (!open.length) return pick(there[0], there[1]);
  const causes = together(open.map((value) => value.causes));
  if (there.every((value) => value instanceof Unknown))
    return new Unknown(causes, `sum ${name}(${values.map(traced).join()})`);
  const [one, other] = there.map(lowAndHigh);
  return new Range(pick(one[0], other[0]), pick(one[1], other[1]), causes);
}

/** The least and the most that a value can be. @param {Value} value @returns {[number, number]} */
function lowAndHigh(value) {
  if (value instanceof Range) return [value.low, value.high];
  return value instanceof Unknown ? [-Infinity, Infinity] : [value, value];
}

/** @param {string} operator @returns {(a: number, b: number) => number} */
function worked(operator) {
  return (a, b) => {
    if (operator === "/" && b === 0) throw new OutOfRange("a division by zero");
    return ARITHMETIC[operator](Number(a), Number(b));
  };
}

/** A day so many minutes on or back. @param {string} operator @returns {(a: number, b: number) => number} */
function movedDay(operator) {
  return (day, minutes) => {
    const moved = ARITHMETIC[operator](day, minutes / MINUTES_A_DAY);
    return Number.isFinite(moved) ? Math.trunc(moved) : moved;
  };
}

/** @param {Value} value @param {number} by */
function scaled(value, by) {
  if (value instanceof Range) return new Range(value.low * by, value.high * by, value.causes);
  return typeof value === "number" ? value * by : value;
}

/** @param {Node} node @param {Scope} scope */
function call(node, scope) {
  const program = scope.facts.program;
  const used = program.functions[node.function];
  const values = node.arguments.map((/** @type {Node} */ one) => evaluate(one, scope));
  const open = node.tables.find((/** @type {Node} */ table) => table.value === null);
  if (open) return constant(open);
  /** @type {Record<string, any>} */
  const tables = {};
  node.tables.forEach((/** @type {Node} */ table, /** @type {number} */ index) => {
    tables[used.tables[index]] = table.value;
  });
  const work = (/** @type {any[]} */ ...given) => result(program, node.function, given, tables);
  const found = apply(
    work,
    values,
    used.arguments.map(([, , moves]) => moves),
    `call ${node.function}`,
  );
  return found instanceof Unknown ? blamed(found, factsRead([node], scope)) : found;
}

/**
 * Name the first fact that went into an implausible result.
 * @param {Unknown} found
 * @param {string[]} facts
 */
function blamed(found, facts) {
  const causes = [...found.causes.values()].map((one) =>
    one.fact || one.reason !== "implausible"
      ? cause(one.reason, one.fact, one.detail)
      : cause(one.reason, facts[0] ?? "", one.detail),
  );
  return new Unknown(together(causes), found.trace);
}

/**
 * Work on values of which some may be unknown, none, or a range that the work is monotone in.
 * @param {(...values: any[]) => any} work
 * @param {Value[]} values
 * @param {number[]} moves
 * @param {string} name
 * @returns {Value}
 */
function apply(work, values, moves, name) {
  if (values.includes(NONE)) return NONE;
  const open = values.some((value, index) => value instanceof Unknown || (value instanceof Range && !moves[index]));
  const ranged = values.some((value) => value instanceof Range);
  if (!open && !ranged) return tried(() => work(...values), values, name);
  const causes = together(
    values.flatMap((value) => (value instanceof Unknown || value instanceof Range ? [value.causes] : [])),
  );
  const left = () => new Unknown(causes, `${name}(${values.map(traced).join()})`);
  if (open) return left();
  const end = (/** @type {boolean} */ high) =>
    work(
      ...values.map((value, index) =>
        value instanceof Range ? (moves[index] > 0 === high ? value.high : value.low) : value,
      ),
    );
  const ends = tried(() => [end(false), end(true)], values, name, causes);
  if (ends instanceof Unknown) return ends;
  return ends.some(Number.isNaN) ? left() : new Range(ends[0], ends[1], causes);
}

/**
 * A result, or why it is implausible.
 * @param {() => any} work
 * @param {Value[]} values
 * @param {string} name
 * @param {import("./kleene.js").Causes} [causes] Of a range; without them, a number that is not finite is refused.
 */
function tried(work, values, name, causes) {
  try {
    const found = work();
    if (!causes && typeof found === "number" && !Number.isFinite(found)) throw new OutOfRange(TOO_LARGE);
    return found;
  } catch (error) {
    if (!(error instanceof OutOfRange)) throw error;
    const why = cause("implausible", "", error.message);
    return new Unknown(causes ? together([why, causes]) : why, `${name}(${values.map(traced).join()})`);
  }
}

// --- tables ---

/** @param {Node} node @param {Scope} scope */
function lookup(node, scope) {
  const keys = node.keys.map((/** @type {Node} */ key) => evaluate(key, scope));
  if (keys.includes(NONE)) return NONE;
  const trace = () => `table(${node.table},${keys.map(traced).join()})`;
  const unknown = keys.filter((/** @type {Value} */ key) => key instanceof Unknown || key instanceof Range);
  if (unknown.length) return new Unknown(together(unknown.map((/** @type {Unknown} */ key) => key.causes)), trace());
  const row = node.rows.find((/** @type {Node} */ one) =>
    one.keys.every((/** @type {any} */ part, /** @type {number} */ index) => hit(part, keys[index])),
  );
  if (row) return row.value === null ? NONE : row.value;
  const said = keys.map((/** @type {Value} */ key, /** @type {number} */ index) => asText(key, node.keys[index].kind));
  const detail = `no row of '${node.table}' serves ${said.join(", ")}`;
  return blamed(new Unknown(cause("implausible", "", detail), trace()), factsRead([node], scope));
}

/** @param {string|[number, number]} part @param {Value} key */
function hit(part, key) {
  return typeof part === "string"
    ? part === key
    : typeof key !== "string" && part[0] <= Number(key) && Number(key) < part[1];
}

/**
 * A value as Python's `str` writes it.
 * @param {Value} value
 * @param {string} kind
 */
function asText(value, kind) {
  if (typeof value === "boolean") return value ? "True" : "False";
  if (typeof value !== "number") return String(value);
  return kind === "date" ? String(value) : asFloat(value);
}
