/** What a page and the tests call. */

import { bringOf } from "./brought.js";
import { citationsOf, section } from "./citations.js";
import { findings, settleFirst } from "./findings.js";
import { remark, result } from "./functions.js";
import { FAIL } from "./judge.js";
import { limitsOf } from "./limits.js";
import { notesOf } from "./notes.js";
import { asFixed, asFloat, asGeneral, erfc } from "./numbers.js";
import { OutOfRange } from "./outofrange.js";
import { Asker } from "./questions.js";
import { Facts } from "./scope.js";
import { accuracyOf } from "./vectors.js";
import { filled, needsOf, whatFailed } from "./words.js";
import { workings } from "./workings.js";

export { loaded, notKnown } from "./program.js";
export { told } from "./vectors.js";

/**
 * A job as it is handed over: what is recorded, in base units and as it was written, and how accurate it is.
 * @typedef {object} Handed
 * @property {Record<string, any>} values
 * @property {Record<string, string[]>} lists
 * @property {Record<string, any>} accuracies
 * @property {Record<string, string>} doubts
 * @property {Record<string, string>} [written]
 * @property {Record<string, string>} [not_known]
 * @property {Record<string, string>} [origins]
 */

/**
 * The findings of a job as plain data, in words where it says how it was written.
 * @param {import("./program.js").Program} program
 * @param {Handed} handed
 */
export function judged(program, handed) {
  const accuracy = accuracyOf(handed);
  const { written, doubts, not_known = {}, origins = {} } = handed;
  const all = findings(program, new Facts(program, handed.values, handed.lists, doubts), accuracy);
  return all.map((one) => ({
    rule: one.rule.id,
    item: one.item,
    outcome: one.outcome,
    reason: one.reason,
    alternatives: one.alternatives,
    needs: one.needs,
    exact: one.exact,
    ...(written ? inWords(one, { program, written, doubts, notKnown: not_known, origins }, accuracy, all) : {}),
  }));
}

/**
 * @param {import("./findings.js").Finding} finding
 * @param {import("./words.js").Job} job
 * @param {import("./uncertainty.js").AccuracyOf} accuracy
 * @param {import("./findings.js").Finding[]} all
 */
function inWords(finding, job, accuracy, all) {
  const { rule, judged: told } = finding;
  const asker = new Asker(job, accuracy);
  const { verdict, scope } = told;
  const made = workings(rule, scope, job, accuracy);
  const failed = verdict.outcome === FAIL ? whatFailed(rule, scope, job) : { headline: "", message: "", remedy: "" };
  return {
    title: rule.title,
    ...failed,
    remedy: [settleFirst(finding, all), failed.remedy].filter(Boolean).join(" "),
    ...asker.put(finding),
    bring: bringOf(rule, scope, job),
    photograph: filled(rule.photograph, scope, job),
    sections: citationsOf(finding).map(section),
    record: needsOf(verdict, job),
    workings: made,
    limits: limitsOf(rule, scope),
    notes: notesOf(rule, told, job, made),
  };
}

/**
 * A function on several rows of arguments: each result with what it says of itself, or what is said where it serves them not.
 * @param {import("./program.js").Program} program
 * @param {string} name
 * @param {any[][]} rows
 * @param {Record<string, any>} tables
 */
export function workedOut(program, name, rows, tables) {
  return rows.map((values) => {
    try {
      return [result(program, name, values, tables), remark(program, name, values)];
    } catch (error) {
      if (error instanceof OutOfRange) return error.message;
      throw error;
    }
  });
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
