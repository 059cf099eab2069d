/** A verdict in words: messages and remedies filled in, and what to record. */

import { low, writtenValue } from "./amounts.js";
import { combinations, openChoices, truth } from "./conditions.js";
import { NONE, Unknown, sorted } from "./kleene.js";
import { pattern } from "./scope.js";
import { evaluate } from "./values.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./judge.js").Verdict} Verdict */

/**
 * A job with how it was written.
 * @typedef {object} Job
 * @property {Program} program
 * @property {Record<string, string>} written Each recorded fact as it was written, by full path.
 * @property {Record<string, string>} notKnown Why a fact could not be found out.
 * @property {Record<string, string>} doubts Why readings are doubted.
 * @property {Record<string, string>} origins Where an inherited fact comes from.
 */

/**
 * A person's name for a path: the title of its fact or list.
 * @param {Program} program
 * @param {string} path
 */
export function titleOf(program, path) {
  const at = pattern(path);
  return program.facts[at]?.title ?? program.listed[at]?.[0] ?? path;
}

/**
 * The title of a limit that a rule names; its name where it has none.
 * @param {Node} rule
 * @param {string} name
 * @returns {string}
 */
export function limitTitle(rule, name) {
  return rule.limits.filter((/** @type {Node} */ one) => one.name === name).pop()?.title ?? name;
}

/**
 * A message on one job. A sentence with a value in it that is not known, or is known to be none, is left out; if nothing else is
 * left, those with a none are said after all. With a `blank`, what is not known is left blank and the sentence stays.
 * @param {any[][]} sentences
 * @param {Scope} scope
 * @param {Job} job
 * @param {string} [blank]
 */
export function filled(sentences, scope, job, blank = "") {
  const full = sentences.filter((sentence) => !withNone(sentence, scope));
  const said = (full.length ? full : sentences).map((sentence) =>
    sentence.map((part) =>
      typeof part === "string" ? part : shown(part.value, part.unit, part.digits, scope, job) || blank || null,
    ),
  );
  return said
    .filter((parts) => !parts.includes(null))
    .map((parts) => parts.join(""))
    .join(" ");
}

/** @param {any[]} sentence @param {Scope} scope */
const withNone = (sentence, scope) =>
  sentence.some((part) => typeof part !== "string" && evaluate(part.value, scope) === NONE);

/**
 * A value as a person reads it: a recorded fact as it was written; null where it is not known, or only assumed.
 * @param {Node} value
 * @param {string} unit
 * @param {number|null} digits
 * @param {Scope} scope
 * @param {Job} job
 * @returns {string|null}
 */
export function shown(value, unit, digits, scope, job) {
  const found = evaluate(value, scope);
  if (value.is === "fact") {
    const path = scope.path(value);
    if (scope.assumed.has(path)) return null;
    if (Object.hasOwn(job.written, path) && !scope.moved.size) return job.written[path];
  }
  return writtenValue(job.program, found, value.kind, unit, digits);
}

/**
 * What the facts leave of a remedy's alternatives: the first that holds, each before it that is open with its condition.
 * @param {Node[]} ways
 * @param {Scope} scope By what is recorded the alternatives are chosen.
 * @param {Scope} told By it the sentences are filled in.
 * @param {Job} job
 * @param {string} [blank]
 */
export function chosen(ways, scope, told, job, blank = "") {
  /** @type {string[]} */
  const said = [];
  for (const way of ways) {
    const held = truth(way.condition, scope);
    const words = held === false ? "" : filled(way.say, told, job, blank);
    if (words) said.push(inCase(held === true ? "" : way.words, said.length > 0, words));
    if (held === true) break;
  }
  return said.join(" ");
}

/**
 * One of several things to do, with the words of its condition before it where that is not known.
 * @param {string} condition
 * @param {boolean} afterAnother
 * @param {string} what
 */
function inCase(condition, afterAnother, what) {
  return `${condition ? `If ${condition}: ` : afterAnother ? "Otherwise: " : ""}${what}`;
}

/**
 * What is wrong, in a few words: the first alternative that holds, without what stands behind its colon where a value there is
 * not known; the title of a rule that has none.
 * @param {Node} rule
 * @param {Scope} told
 * @param {Job} job
 * @returns {string}
 */
function headline(rule, told, job) {
  for (const way of rule.failed) {
    if (truth(way.condition, told) !== true) continue;
    const said = way.say.map((/** @type {any[]} */ end) => (withNone(end, told) ? "" : filled([end], told, job)));
    if (said[0]) return said.filter(Boolean).join(": ");
  }
  return rule.title;
}

/**
 * The headline, what is wrong and what to do, with what the branches of an `any_of` say of themselves.
 *
 * A failure that holds however something unrecorded is filled in is told as the filling-in that says most.
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Job} job
 */
export function whatFailed(rule, scope, job) {
  const worlds = [...combinations(openChoices([rule.applies, rule.require], scope))];
  let told = scope;
  let most = -1;
  for (const one of worlds.length > 1 ? worlds.map((world) => scope.assuming(world)) : []) {
    const says = sayable(rule.on_fail, one);
    if (says > most) [told, most] = [one, says];
  }
  const branches = branchWords(rule, scope, told, job);
  return {
    headline: headline(rule, told, job),
    message: [filled(rule.on_fail, told, job), branches.failed].filter(Boolean).join(" "),
    remedy: [chosen(rule.remedy, scope, told, job), branches.remedies].filter(Boolean).join(" "),
  };
}

/**
 * How many sentences have a value for every place in them, one that is recorded or worked out.
 * @param {any[][]} sentences
 * @param {Scope} scope
 */
function sayable(sentences, scope) {
  const known = (/** @type {any} */ part) => {
    if (typeof part === "string") return true;
    if (part.value.is === "fact" && scope.assumed.has(scope.path(part.value))) return false;
    const found = evaluate(part.value, scope);
    return found !== NONE && !(found instanceof Unknown);
  };
  return sentences.filter((sentence) => sentence.every(known)).length;
}

/**
 * The messages and remedies that the branches of a failing `any_of` carry.
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Scope} told
 * @param {Job} job
 */
function branchWords(rule, scope, told, job) {
  const failing = rule.require.conditions.filter(
    (/** @type {Node} */ node) => node.is === "any_of" && truth(node, told) === false,
  );
  const branches = failing.flatMap((/** @type {Node} */ node) => node.branches);
  const said = (/** @type {(branch: Node) => string} */ words) =>
    branches
      .map((/** @type {Node} */ branch) => [branch.option, words(branch)])
      .map((/** @type {[string, string]} */ [option, text]) => (option && text ? `${option}: ${text}` : text))
      .filter(Boolean)
      .join(" ");
  return {
    failed: said((branch) => filled(branch.on_fail, told, job)),
    remedies: said((branch) => chosen(branch.remedy, scope, told, job)),
  };
}

/**
 * What to record, with the question in trade words.
 * @param {Verdict} verdict
 * @param {Job} job
 */
export function needsOf(verdict, job) {
  /** @type {Record<string, string>} */
  const details = {};
  for (const one of sorted(verdict.causes)) if (one.detail) details[one.fact] = one.detail;
  return verdict.needs.map((fact) => {
    const at = pattern(fact);
    const noted = Object.hasOwn(job.notKnown, fact) ? `noted as not known: ${job.notKnown[fact]}` : "";
    return {
      fact,
      title: titleOf(job.program, fact),
      ask: job.program.facts[at]?.ask ?? job.program.listed[at]?.[1] ?? "",
      detail: details[fact] || noted,
    };
  });
}

/**
 * The first alternative of a title inside a sentence, as it stands with its first letter small.
 * @param {Program} program
 * @param {string} path
 */
export const lowTitle = (program, path) => low(titleOf(program, path));
