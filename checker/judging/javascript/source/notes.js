/** What is to be said of a finding beside what failed: answers of the authority, what is not settled, where facts come from. */

import { low } from "./amounts.js";
import { truth } from "./conditions.js";
import { hasRemark, remark } from "./functions.js";
import { NONE, Range, Unknown, sorted } from "./kleene.js";
import { OutOfRange } from "./outofrange.js";
import { factsRead, walk } from "./references.js";
import { FAIL, PASS, VERIFY, conditionsOf, reasonOf } from "./judge.js";
import { OPEN, evaluate } from "./values.js";
import { limitTitle, lowTitle } from "./words.js";
import { measurementNotes, tooCloseNotes } from "./workings.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./words.js").Job} Job */

const SETTLED = "Settled by ";
const THE_WORDS = / \([^()]*\)$/; // at the end of a limit's title: the words that it may be

/**
 * @param {Node} rule
 * @param {import("./judge.js").Judged} judged
 * @param {Job} job
 * @param {import("./workings.js").Working[]} made
 */
export function notesOf(rule, { verdict, scope }, job, made) {
  const paths = factsRead(conditionsOf(rule), scope);
  const unsettled = sorted(verdict.causes).filter((one) => one.detail && !one.fact);
  const found = [
    ...answersOf(rule, scope, verdict.outcome),
    ...unsettled.map((one) => inWords(one.detail, rule)),
    ...inherited(paths, job),
    ...(verdict.outcome === FAIL ? doubted(paths, job) : []),
    ...remarks(rule, scope),
    ...(verdict.outcome === VERIFY ? [] : measurementNotes(made)),
    ...(reasonOf(verdict) === "too_close" ? tooCloseNotes(made) : []),
  ];
  return [...new Set(found)];
}

/**
 * Whose answer settled what was asked here, and which answer no longer counts where that leaves something open.
 * @param {Node} rule
 * @param {Scope} scope
 * @param {string} outcome
 * @returns {string[]}
 */
function answersOf(rule, scope, outcome) {
  const arising = rule.settled.filter((/** @type {Node} */ one) => truth(one.condition, scope) !== false);
  return arising.flatMap((/** @type {Node} */ one) =>
    one.answer ? [`${SETTLED}${one.words}`] : outcome === PASS ? [] : [one.words],
  );
}

/**
 * Why something is not known, where no fact is missing.
 * @param {string} detail
 * @param {Node} rule
 */
function inWords(detail, rule) {
  if (!detail.startsWith(OPEN)) return detail;
  const title = limitTitle(rule, detail.slice(OPEN.length));
  return `Nothing here settles this: ${low(title.replace(THE_WORDS, ""))}.`;
}

/**
 * Which of the facts that a rule names stand elsewhere than in the job, by where they stand.
 * @param {string[]} paths
 * @param {Job} job
 */
function inherited(paths, job) {
  /** @type {Map<string, string[]>} */
  const found = new Map();
  for (const path of paths) {
    const origin = job.origins[path];
    if (origin) found.set(origin, [...(found.get(origin) ?? []), lowTitle(job.program, path)]);
  }
  return [...found].map(([origin, titles]) => `inherited ${origin}: ${titles.join(", ")}`);
}

/**
 * Why some of the readings that a rule names may not be right.
 * @param {string[]} paths
 * @param {Job} job
 */
function doubted(paths, job) {
  return paths
    .filter((path) => Object.hasOwn(job.doubts, path))
    .map((path) => `Look at the readings first: ${job.doubts[path]}.`);
}

/**
 * What functions say of their own results, such as that a value was interpolated.
 * @param {Node} rule
 * @param {Scope} scope
 * @returns {string[]}
 */
function remarks(rule, scope) {
  const program = scope.facts.program;
  const parts = [rule.applies, rule.require, ...Object.values(rule.where)];
  const calls = parts
    .flatMap((part) => [...walk(part)])
    .filter((one) => one.is === "call" && hasRemark(program.functions[one.function]));
  return calls.flatMap((call) => {
    const values = call.arguments.map((/** @type {Node} */ one) => evaluate(one, scope));
    if (values.some((/** @type {any} */ value) => value === NONE || value instanceof Unknown || value instanceof Range))
      return [];
    try {
      return [remark(program, call.function, values)].filter(Boolean);
    } catch (error) {
      if (error instanceof OutOfRange) return []; // the value itself is unknown then, and says why
      throw error;
    }
  });
}
