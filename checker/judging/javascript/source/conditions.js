/** Whether a condition holds on one job, with every value tried that unrecorded facts could have. */

import { NONE, Range, Unknown, allOf, anyOf, cause, compared, negated } from "./kleene.js";
import { factsRead, walkThrough } from "./references.js";
import { evaluate } from "./values.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./kleene.js").Truth} Truth */
/** @typedef {import("./kleene.js").Value} Value */

const MOST_COMBINATIONS = 64;

/**
 * Whether a condition holds.
 * @param {Node} node
 * @param {Scope} scope
 * @returns {Truth}
 */
export function truth(node, scope) {
  switch (node.is) {
    case "compare":
      return compare(node, scope);
    case "member":
      return member(node, scope);
    case "truth":
      return truthOf(node, scope);
    case "given":
      return given(node, scope);
    case "not":
      return negated(truth(node.condition, scope));
    case "all":
      return allOf(node.conditions.map((/** @type {Node} */ part) => truth(part, scope)));
    case "any_of":
      return anyOf(node.branches.map((/** @type {Node} */ branch) => truth(branch.condition, scope)));
    case "none_of":
      return negated(anyOf(node.conditions.map((/** @type {Node} */ part) => truth(part, scope))));
    case "constantly":
      return node.value;
    default:
      return unsettled(node);
  }
}

/** @param {Node} node */
function unsettled(node) {
  return new Unknown(
    cause("not_adopted", "", `which edition of ${node.code} is in force`),
    `edition(${node.code},${node.text})`,
  );
}

/** @param {Node} node @param {Scope} scope @returns {Truth} */
function compare(node, scope) {
  const found = comparePlainly(node, scope);
  if (found instanceof Unknown) return overEveryValue(node, scope, found, comparePlainly);
  return (scope.guard && scope.guard(node, scope)) ?? found;
}

/** @param {Node} node @param {Scope} scope @returns {Truth} */
function comparePlainly(node, scope) {
  const values = node.operands.map((/** @type {Node} */ one) => evaluate(one, scope));
  return allOf(
    node.operators.map((/** @type {string} */ operator, /** @type {number} */ index) =>
      compared(operator, values[index], values[index + 1], node.grain),
    ),
  );
}

/** @param {Node} node @param {Scope} scope @returns {Truth} */
function member(node, scope) {
  const found = memberPlainly(node, scope);
  return found instanceof Unknown ? overEveryValue(node, scope, found, memberPlainly) : found;
}

/** @param {Node} node @param {Scope} scope @returns {Truth} */
function memberPlainly(node, scope) {
  const value = evaluate(node.value, scope);
  if (value instanceof Unknown)
    return new Unknown(value.causes, `in(${node.words.join()},${node.negated},${value.trace})`);
  return node.words.includes(value) !== node.negated;
}

/** @param {Node} node @param {Scope} scope @returns {Truth} */
function truthOf(node, scope) {
  const value = evaluate(node.value, scope);
  return value instanceof Unknown ? new Unknown(value.causes, `flag(${value.trace})`) : value === true;
}

/** @param {Node} node @param {Scope} scope @returns {Truth} */
function given(node, scope) {
  const path = scope.path(node.fact);
  const value = scope.read(path);
  if (value instanceof Unknown || value instanceof Range) {
    const trace = value instanceof Unknown ? value.trace : `fact(${path})`;
    return new Unknown(value.causes, `given(${node.none},${trace})`);
  }
  return (value === NONE) === node.none;
}

/**
 * True if true for every value the unrecorded facts could have, false if false for all, else unknown.
 * @param {Node} node
 * @param {Scope} scope
 * @param {Unknown} found
 * @param {(node: Node, scope: Scope) => Truth} plainly
 * @returns {Truth}
 */
function overEveryValue(node, scope, found, plainly) {
  const choices = openChoices([node], scope);
  if (!choices.size) return found;
  /** @type {boolean|null} */
  let answer = null;
  for (const world of combinations(choices)) {
    const one = plainly(node, scope.assuming(world));
    if (one instanceof Unknown || (answer !== null && one !== answer)) return found;
    answer = one;
  }
  return answer ?? found;
}

/**
 * The facts in these nodes that are open and have a closed list of values; none where they are too many to try.
 *
 * A day known to lie between two days stands for one day of each piece that the dates it is compared with cut.
 * @param {Node[]} nodes
 * @param {Scope} scope
 * @returns {Map<string, Value[]>}
 */
export function openChoices(nodes, scope) {
  /** @type {Map<string, Value[]>} */
  const found = new Map();
  let size = 1;
  for (const path of factsRead(nodes, scope)) {
    if (scope.assumed.has(path)) continue;
    const value = scope.facts.value(path);
    const possible = value === undefined ? scope.facts.possible(path) : days(path, value, nodes, scope);
    if (Array.isArray(possible)) {
      found.set(path, possible);
      size *= possible.length;
    }
  }
  return size <= MOST_COMBINATIONS ? found : new Map();
}

/**
 * A day for each piece that the days it is compared with cut; undefined where not all of those are known.
 * @param {string} path
 * @param {Value} value
 * @param {Node[]} nodes
 * @param {Scope} scope
 * @returns {number[]|undefined}
 */
function days(path, value, nodes, scope) {
  if (!(value instanceof Range) || ![...value.causes.values()].some((one) => one.reason === "date_unknown"))
    return undefined;
  const parts = nodes.flatMap((node) => [...walkThrough(node, scope.where)]);
  if (parts.some((part) => part.is === "call" || part.is === "fold" || movesDays(part))) return undefined;
  const others = new Set(
    parts.filter((part) => part.is === "fact" && part.kind === "date").map((part) => scope.path(part)),
  );
  others.delete(path);
  const limits = parts.filter((part) => part.is === "constant" && part.kind === "date").map((part) => part.value);
  const all = [...limits, ...[...others].map((other) => scope.facts.value(other))];
  if (all.some((day) => typeof day !== "number")) return undefined;
  const cut = [value.low, value.high, ...all.flatMap((day) => [day - 1, day, day + 1])];
  return [...new Set(cut)].filter((day) => value.low <= day && day <= value.high).sort((a, b) => a - b);
}

/** @param {Node} part */
function movesDays(part) {
  return part.is === "arithmetic" && (part.kind === "date" || part.kind === "duration");
}

/**
 * Every way of filling in these facts.
 * @param {Map<string, Value[]>} choices
 * @returns {Map<string, Value>[]}
 */
export function combinations(choices) {
  let worlds = [/** @type {[string, Value][]} */ ([])];
  for (const [path, values] of choices)
    worlds = worlds.flatMap((world) =>
      values.map((value) => [...world, /** @type {[string, Value]} */ ([path, value])]),
    );
  return worlds.map((world) => new Map(world));
}
