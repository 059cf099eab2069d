/** Lists taken together: how many items there are, the first, the highest, the average, what was read at a time. */

import { NONE, Range, Unknown, allOf, asSet, cause, compared, joined, missing, together, traced } from "./kleene.js";
import { asGeneral, mean, total } from "./numbers.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./kleene.js").Value} Value */
/** @typedef {(node: Node, scope: Scope) => Value} Evaluate */

const SAME_TIME = 1e-6; // minutes

/**
 * What a fold comes to.
 * @param {Node} node
 * @param {Scope} scope
 * @param {Evaluate} evaluate What any other value comes to.
 * @returns {Value}
 */
export function fold(node, scope, evaluate) {
  const base = scope.path(node.items);
  const keys = scope.facts.items(base);
  if (keys === undefined) return missing(base);
  /** @type {number[]} */
  const chosen = [];
  /** @type {Unknown[]} */
  const doubts = [];
  keys.forEach((_, index) => {
    const belongs = allOf(
      node.where.map((/** @type {Node} */ part) =>
        compared(
          part.operator || (part.negated ? "!=" : "=="),
          scope.read(`${base}.${index}.${part.field}`),
          evaluate(part.value, scope),
          part.grain,
        ),
      ),
    );
    if (belongs instanceof Unknown) doubts.push(belongs);
    else if (belongs) chosen.push(index);
  });
  if (!doubts.length) return FOLDED[node.name](node, scope, base, chosen, evaluate);
  const causes = together(doubts.map((doubt) => doubt.causes));
  if (node.name === "count") return new Range(chosen.length, chosen.length + doubts.length, causes);
  if (node.name === "count_so_far") return new Range(chosen.length, Infinity, together([causes, more(base)]));
  return new Unknown(causes, `fold(${node.name},${base},${asSet(doubts.map((doubt) => doubt.trace))})`);
}

/** @typedef {(node: Node, scope: Scope, base: string, chosen: number[], evaluate: Evaluate) => Value} Folding */

/** @param {Value[]} values @returns {Unknown[]} */
function unknownOf(values) {
  return values.flatMap((value) =>
    value instanceof Unknown ? [value] : value instanceof Range ? [new Unknown(value.causes, traced(value))] : [],
  );
}

/**
 * A fold over known values; where some are unknown, the known ones bound it on one side (`ends`), or not at all.
 * @param {(known: number[]) => number} pick
 * @param {((found: number) => [number, number])|null} ends
 * @returns {Folding}
 */
function picked(pick, ends) {
  return (node, scope, base, chosen) => {
    const values = chosen.map((index) => scope.read(`${base}.${index}.${node.field}`));
    const known = values.filter((value) => !(value === NONE || value instanceof Unknown || value instanceof Range));
    const unknown = unknownOf(values);
    if (!unknown.length) return known.length ? pick(known) : NONE;
    const left = joined(unknown, `fold(${node.name},${base})`);
    return known.length && ends ? new Range(...ends(pick(known)), left.causes) : left;
  };
}

/** The total of known values. One that is known to be none leaves it open: nobody knows what to add. @type {Folding} */
function totalOf(node, scope, base, chosen) {
  const values = chosen.map((index) => {
    const path = `${base}.${index}.${node.field}`;
    const value = scope.read(path);
    return value === NONE ? missing(path, "none is noted; a total needs it") : value;
  });
  const unknown = unknownOf(values);
  if (unknown.length) return joined(unknown, `fold(${node.name},${base})`);
  return values.length ? total(values.filter((value) => typeof value === "number")) : NONE;
}

/** @param {boolean} last @returns {Folding} */
function ended(last) {
  return (node, scope, base, chosen) =>
    chosen.length ? scope.read(`${base}.${chosen[last ? chosen.length - 1 : 0]}.${node.field}`) : NONE;
}

/**
 * Clock and value of each reading in order of the clock, or why they are not all known.
 * @param {Node} node
 * @param {Scope} scope
 * @param {string} base
 * @param {number[]} chosen
 * @returns {[number, number][]|Unknown}
 */
function timed(node, scope, base, chosen) {
  /** @type {[number, number][]} */
  const pairs = [];
  /** @type {Unknown[]} */
  const unknown = [];
  for (const index of chosen) {
    const [clock, value] = [node.clock, node.field].map((field) => scope.read(`${base}.${index}.${field}`));
    unknown.push(...[clock, value].filter((part) => part instanceof Unknown));
    if (typeof clock === "number" && typeof value === "number") pairs.push([clock, value]);
  }
  if (unknown.length) return joined(unknown, `fold(${node.name},${base})`);
  return pairs.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
}

/** The highest value up to a time. Readings that stop too early leave open how high it went after them. @type {Folding} */
function highestUntil(node, scope, base, chosen, evaluate) {
  const pairs = timed(node, scope, base, chosen);
  const until = evaluate(node.until, scope);
  if (pairs instanceof Unknown) return pairs;
  if (until instanceof Unknown || until === NONE) return until;
  if (until instanceof Range) return new Unknown(until.causes, `until(${base})`);
  const within = pairs.filter(([clock]) => clock <= until + SAME_TIME).map(([, value]) => value);
  if (!within.length) return missing(base);
  const reached =
    pairs[pairs.length - 1][0] >= until - SAME_TIME && pairs.some(([clock]) => Math.abs(clock - until) <= SAME_TIME);
  if (reached) return Math.max(...within);
  const after = pairs.filter(([clock]) => clock > until).map(([, value]) => value);
  const minutes = `${asGeneral(until, 6)} minutes`;
  const why = cause(
    "not_recorded",
    base,
    after.length ? `no reading at ${minutes}` : `the readings stop short of ${minutes}`,
  );
  return new Range(Math.max(...within), after.length ? Math.max(...within, after[0]) : Infinity, why);
}

/** @type {Folding} */
function at(node, scope, base, chosen, evaluate) {
  const pairs = timed(node, scope, base, chosen);
  const until = evaluate(node.until, scope);
  if (pairs instanceof Unknown) return pairs;
  if (until instanceof Unknown || until === NONE) return until;
  const found = pairs.find(([clock]) => typeof until === "number" && Math.abs(clock - until) <= SAME_TIME);
  return found ? found[1] : missing(base);
}

/** Why nobody knows how many there will be: the list may get more items. @param {string} base */
function more(base) {
  return missing(base).causes;
}

/** @type {Record<string, Folding>} */
const FOLDED = {
  count: (_, __, ___, chosen) => chosen.length,
  count_so_far: (_, __, base, chosen) => new Range(chosen.length, Infinity, more(base)),
  first: ended(false),
  last: ended(true),
  lowest: picked(
    (known) => Math.min(...known),
    (found) => [-Infinity, found],
  ),
  highest: picked(
    (known) => Math.max(...known),
    (found) => [found, Infinity],
  ),
  average: picked(mean, null),
  total: totalOf,
  at,
  highest_until: highestUntil,
};
