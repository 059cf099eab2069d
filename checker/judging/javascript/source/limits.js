/** The limits that a finding rests on: the value of each on this job, and what it was before. */

import { shownLimit } from "./amounts.js";
import { NONE, Range, Unknown } from "./kleene.js";
import { walkThrough } from "./references.js";
import { evaluate } from "./values.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */

/**
 * Every limit that a rule names, in the order in which it names them, with who set it.
 * @param {Node} rule
 * @param {Scope} scope
 */
export function limitsOf(rule, scope) {
  return rule.limits.map((/** @type {Node} */ held) => {
    const { name, title, below, set_by } = held;
    const own = set_by.ruleset === rule.ruleset && below === null;
    const before = below && {
      name: below.name,
      title: below.title,
      value: shownOf(below, held, rule, scope),
      set_by: below.set_by.source,
    };
    return { name, title, value: shownOf(held, held, rule, scope), own, set_by: set_by.source, instead_of: before };
  });
}

/**
 * The value of a limit, of a table the row that is looked up (under the name of `upper`); nothing where not known.
 * @param {Node} held
 * @param {Node} upper
 * @param {Node} rule
 * @param {Scope} scope
 */
function shownOf(held, upper, rule, scope) {
  const program = scope.facts.program;
  if (!held.rows.length) return shownLimit(program, held.value, held.kind, held.unit);
  const parts = [rule.require, rule.applies, ...rule.verify, ...Object.values(rule.where)];
  const tables = [...walkThrough(parts, rule.where)].filter((one) => one.is === "lookup" && one.table === upper.name);
  const rows = tables.map((table) => evaluate(held === upper ? table : { ...table, rows: held.rows }, scope));
  const known = rows.filter((row) => !(row instanceof Unknown || row instanceof Range));
  return [
    ...new Set(known.map((row) => (row === NONE ? "none" : shownLimit(program, row, held.kind, held.unit)))),
  ].join("; ");
}
