/** What to bring, by part: the size that a rule needs, as far as the facts allow it. */

import { writtenAmount } from "./amounts.js";
import { truth } from "./conditions.js";
import { evaluate } from "./values.js";
import { chosen, filled } from "./words.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./words.js").Job} Job */

const BLANK = "____"; // what a list of things to bring does not know yet is filled in by hand

/**
 * What a rule wants brought, in one line.
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Job} job
 */
export function bringOf(rule, scope, job) {
  const parts = rule.parts.flatMap((/** @type {Node} */ one) => wanted(one, scope, job));
  return parts.join("; ") || chosen(rule.bring, scope, scope, job, BLANK);
}

/**
 * A part in one line: `Rope, 20 ft to 25 ft, of hemp`; nothing where it is not wanted.
 * @param {Node} one
 * @param {Scope} scope
 * @param {Job} job
 * @returns {string[]}
 */
function wanted(one, scope, job) {
  const held = truth(one.condition, scope);
  if (held === false) return [];
  const hole = one.least ?? one.most;
  const [low, high] = [one.least, one.most].map((end) => {
    const value = end && evaluate(end.value, scope);
    return typeof value === "number" ? writtenAmount(job.program, value, hole.value.kind, hole.unit, hole.digits) : "";
  });
  const words = [job.program.parts[one.part] ?? one.part, filled(one.size, scope, job), ends(low, high), one.note]
    .filter(Boolean)
    .join(", ");
  return [held === true || !one.words ? words : `${words} (if ${one.words})`];
}

/** @param {string} low @param {string} high */
function ends(low, high) {
  if (low && high) return low === high ? low : `${low} to ${high}`;
  return low ? `${low} or more` : high ? `${high} at most` : "";
}
