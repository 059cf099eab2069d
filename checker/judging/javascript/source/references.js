/** Which facts a node names: through names under `where`, and through the items of recorded lists. */

import { KINDS } from "./kinds.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */

/** @type {WeakMap<object, Node[]>} */
const INSIDE = new WeakMap();
/** @type {WeakMap<object, Node[]>} */
const READING = new WeakMap();

/** @param {any} part */
const isNode = (part) => part !== null && typeof part === "object" && typeof part.is === "string";

/**
 * The nodes directly inside a part, in the order of its fields.
 * @param {any} part
 * @returns {Node[]}
 */
export function children(part) {
  if (part === null || typeof part !== "object") return [];
  const known = INSIDE.get(part);
  if (known) return known;
  const held = isNode(part) ? KINDS[part.is].holds.map((field) => part[field]) : Object.values(part);
  const found = held.flatMap((one) => (isNode(one) ? [one] : children(one)));
  INSIDE.set(part, found);
  return found;
}

/**
 * A part, where it is a node, and every node inside it: each before what it holds.
 * @param {any} part
 * @returns {Generator<Node>}
 */
export function* walk(part) {
  if (isNode(part)) yield part;
  for (const one of children(part)) yield* walk(one);
}

/**
 * The same, and behind each name, once, the value that it stands for.
 * @param {any} part
 * @param {Record<string, Node>} where
 * @param {Set<string>} [met]
 * @returns {Generator<Node>}
 */
export function* walkThrough(part, where, met = new Set()) {
  for (const one of walk(part)) {
    yield one;
    if (one.is === "named" && !met.has(one.name)) {
      met.add(one.name);
      yield* walkThrough(where[one.name], where, met);
    }
  }
}

/**
 * The single conditions inside a condition, or the condition itself where it is one.
 * @param {Node} node
 * @returns {Node[]}
 */
export function singleConditions(node) {
  if (node.is === "all" || node.is === "none_of") return node.conditions.flatMap(singleConditions);
  if (node.is === "any_of")
    return node.branches.flatMap((/** @type {Node} */ branch) => singleConditions(branch.condition));
  return node.is === "not" ? singleConditions(node.condition) : [node];
}

/**
 * The facts, names and folds in a part: what it reads of any job.
 * @param {any} part
 * @returns {Node[]}
 */
export function partsThatRead(part) {
  if (isNode(part) && ["fact", "named", "fold"].includes(part.is)) return [part];
  const known = READING.get(part);
  if (known) return known;
  const found = children(part).flatMap(partsThatRead);
  READING.set(part, found);
  return found;
}

/**
 * The full paths of the facts that a node names, a path as often as it is read.
 * @param {any} node
 * @param {Scope} scope
 * @returns {string[]}
 */
export function reads(node, scope) {
  const known = scope.facts.readBy(scope.where, `${scope.item} ${scope.outer}`);
  const before = known.get(node);
  if (before) return before;
  const found = partsThatRead(node).flatMap((part) => {
    if (part.is === "fact") return [scope.path(part)];
    return part.is === "named" ? reads(scope.where[part.name], scope) : foldReads(part, scope);
  });
  known.set(node, found);
  return found;
}

/**
 * The same of several nodes, each once, in order.
 * @param {Node[]} nodes
 * @param {Scope} scope
 */
export function factsRead(nodes, scope) {
  return [...new Set(nodes.flatMap((node) => reads(node, scope)))].sort();
}

/**
 * @param {Node} node
 * @param {Scope} scope
 * @returns {string[]}
 */
function foldReads(node, scope) {
  const base = scope.path(node.items);
  const keys = scope.facts.items(base);
  if (keys === undefined) return [base];
  const fields = [node.field, node.clock, ...node.where.map((/** @type {Node} */ one) => one.field)].filter(Boolean);
  const values = [...node.where.map((/** @type {Node} */ one) => one.value), ...(node.until ? [node.until] : [])];
  return [
    ...fields.flatMap((field) => keys.map((_, index) => `${base}.${index}.${field}`)),
    ...values.flatMap((value) => reads(value, scope)),
  ];
}
