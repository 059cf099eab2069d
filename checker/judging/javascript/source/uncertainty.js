/**
 * How sure a comparison of measured values is: standard and expanded uncertainty, probability of conformity (JCGM 100 and 106).
 */

import { deviation, erfc, total } from "./numbers.js";
import { factsRead, partsThatRead } from "./references.js";
import { evaluate } from "./values.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {{half_width: number, instrument: string}} Accuracy */
/** @typedef {(path: string) => Accuracy|null|false} AccuracyOf Null: measured, but unstated; false: not measured. */
/**
 * @typedef {object} Margin
 * @property {number} amount How far inside (positive) or outside its limits a comparison is, in base units.
 * @property {number[]} sides
 * @property {number|null} standard
 * @property {number|null} expanded
 * @property {number|null} probability
 * @property {string[]} unstated
 */

const COVERAGE = 2;

/**
 * The margin of a comparison of known amounts, and how sure it is; null where the operands are not known amounts or it has no
 * side.
 * @param {Node} node
 * @param {Scope} scope
 * @param {AccuracyOf} accuracy
 * @returns {Margin|null}
 */
export function margin(node, scope, accuracy) {
  const sides = sidesOf(node, scope);
  if (sides === null) return null;
  /** @type {Map<string, Accuracy>} */
  const stated = new Map();
  const unstated = [];
  for (const path of factsRead([node], scope)) {
    const found = accuracy(path);
    if (found) stated.set(path, found);
    else if (found === null) unstated.push(path);
  }
  if (!stated.size && !unstated.length) return made(sides, 0, []);
  return made(sides, unstated.length ? null : standardOf(node, scope, stated), unstated);
}

/**
 * @param {number[]} sides
 * @param {number|null} standard
 * @param {string[]} unstated
 * @returns {Margin}
 */
function made(sides, standard, unstated) {
  const expanded = standard === null ? null : COVERAGE * standard;
  const probability = standard === null ? null : conformity(sides, standard);
  return { amount: Math.min(...sides), sides, standard, expanded, probability, unstated };
}

/**
 * The chance that the true value is inside, from the distances to one limit or to both (JCGM 106, 7.2 to 7.4).
 * @param {number[]} sides
 * @param {number} standard
 */
function conformity(sides, standard) {
  if (standard === 0) return Math.min(...sides) >= 0 ? 1 : 0;
  return total(sides.map((side) => 0.5 * erfc(-(side / standard) / Math.sqrt(2)))) - (sides.length - 1);
}

/**
 * The standard uncertainty of the margin: of the less certain side, where there are two.
 * @param {Node} node
 * @param {Scope} scope
 * @param {Map<string, Accuracy>} stated
 * @returns {number|null}
 */
function standardOf(node, scope, stated) {
  /** @type {[string, Map<string, number>][]} */
  const steps = [...stated].map(([path, { half_width, instrument }]) => [
    instrument,
    new Map([[path, half_width / Math.sqrt(3)]]),
  ]);
  scatters(node, scope).forEach(([paths, scatter], at) =>
    steps.push([`scatter ${at}`, new Map(paths.map((path) => [path, scatter]))]),
  );
  /** @type {[string, number[]][]} */
  const moved = [];
  for (const [instrument, step] of steps) {
    const [up, down] = [1, -1].map((sign) =>
      sidesOf(node, scope.moving(new Map([...step].map(([path, by]) => [path, sign * by])))),
    );
    if (up === null || down === null) return null;
    moved.push([instrument, up.map((a, index) => (a - down[index]) / 2)]);
  }
  return Math.max(
    ...node.operators.map((/** @type {string} */ _, /** @type {number} */ side) =>
      combined(moved.map(([name, changes]) => [name, changes[side]])),
    ),
  );
}

/**
 * Root-sum-square of changes; the larger of moving an instrument's readings together or apart.
 * @param {[string, number][]} changes
 */
export function combined(changes) {
  /** @type {Map<string, number>} */
  const byInstrument = new Map();
  for (const [instrument, change] of changes)
    byInstrument.set(instrument, (byInstrument.get(instrument) ?? 0) + change);
  const squares = (/** @type {number[]} */ several) => Math.sqrt(total(several.map((change) => change ** 2)));
  return Math.max(squares(changes.map(([, change]) => change)), squares([...byInstrument.values()]));
}

/**
 * The readings of each average in a node, and the standard deviation of their mean.
 * @param {Node} node
 * @param {Scope} scope
 * @returns {[string[], number][]}
 */
function scatters(node, scope) {
  return partsThatRead(node).flatMap((part) => {
    if (part.is === "named") return scatters(scope.where[part.name], scope);
    if (part.is !== "fold" || part.name !== "average") return [];
    const base = scope.path(part.items);
    const paths = (scope.facts.items(base) ?? []).map((_, index) => `${base}.${index}.${part.field}`);
    const values = paths.map((path) => scope.facts.value(path)).filter((value) => typeof value === "number");
    return values.length > 1
      ? [/** @type {[string[], number]} */ ([paths, deviation(values) / Math.sqrt(values.length)])]
      : [];
  });
}

/**
 * @param {Node} node
 * @param {Scope} scope
 * @returns {number[]|null}
 */
function sidesOf(node, scope) {
  const values = node.operands.map((/** @type {Node} */ one) => evaluate(one, scope));
  if (values.some((/** @type {any} */ value) => typeof value !== "number")) return null;
  if (node.operators.some((/** @type {string} */ operator) => operator === "==" || operator === "!=")) return null;
  return node.operators.map((/** @type {string} */ operator, /** @type {number} */ index) =>
    operator.startsWith("<") ? values[index + 1] - values[index] : values[index] - values[index + 1],
  );
}
