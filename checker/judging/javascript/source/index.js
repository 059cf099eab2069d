/** What a page and the tests call. */

import { findings } from "./findings.js";
import { asFixed, asFloat, asGeneral, erfc } from "./numbers.js";
import { Facts } from "./scope.js";
import { accuracyOf } from "./vectors.js";

export { result } from "./functions.js";
export { loaded, notKnown } from "./program.js";
export { told } from "./vectors.js";

/**
 * A job as it is handed over: what is recorded, in base units, and how accurate it is.
 * @typedef {{values: Record<string, any>, lists: Record<string, string[]>, accuracies: Record<string, any>}} Job
 */

/**
 * The findings of a job as plain data.
 * @param {import("./program.js").Program} program
 * @param {Job} job
 */
export function judged(program, job) {
  return findings(program, new Facts(program, job.values, job.lists), accuracyOf(job)).map((one) => ({
    rule: one.rule.id,
    item: one.item,
    outcome: one.outcome,
    reason: one.reason,
    alternatives: one.alternatives,
    needs: one.needs,
    exact: one.exact,
  }));
}

/**
 * Numbers as they are written in details: general, fixed and whole.
 * @param {number[]} numbers
 * @param {number} figures
 * @param {number} places
 */
export function written(numbers, figures, places) {
  return numbers.map((number) => [asGeneral(number, figures), asFixed(number, places), asFloat(number)]);
}

/** @param {number[]} numbers */
export const errors = (numbers) => numbers.map(erfc);
