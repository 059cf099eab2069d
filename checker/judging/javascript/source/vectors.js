/** Worked cases as vectors: each rule under every edition and day that could hold, at every place of the job. */

import { Acceptances, findingId } from "./acceptances.js";
import { answer } from "./answers.js";
import { judge as judgeJob, newJob, readJob, words, writeJob } from "./opened.js";
import { citedOf } from "./telling.js";
import { valuesOf } from "./typedinput.js";
import { lineOf, readLine } from "./typedline.js";
import { LeafError } from "./units.js";
import { DOES_NOT_APPLY, VERIFY, agreed, judge, reasonOf } from "./judge.js";
import { ruleOn } from "./program.js";
import { Facts } from "./scope.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./judge.js").Judged} Judged */
/**
 * @typedef {object} Vector
 * @property {string} rule
 * @property {{editions: Record<string, string|null>, day: number}[]} versions The editions and days that could hold.
 * @property {Record<string, any>} values
 * @property {Record<string, string[]>} lists
 * @property {Record<string, any>} accuracies
 * @property {Record<string, string>} doubts
 */

/**
 * How accurate the readings of a vector are.
 * @param {Pick<Vector, "accuracies">} vector
 * @returns {import("./uncertainty.js").AccuracyOf}
 */
export function accuracyOf({ accuracies }) {
  return (path) => (Object.hasOwn(accuracies, path) ? accuracies[path] : false);
}

/**
 * At each place what the rule says under each edition and day that could hold.
 * @param {Program} program
 * @param {Vector} vector
 * @returns {Map<string, (Judged|null)[]>}
 */
export function verdicts(program, vector) {
  const facts = new Facts(program, vector.values, vector.lists, vector.doubts);
  const rules = vector.versions.map(({ editions, day }) => ruleOn(program, vector.rule, editions, day));
  /** @type {Map<string, (Judged|null)[]>} */
  const found = new Map();
  rules.forEach((rule, number) => {
    for (const one of rule ? judge(rule, facts, accuracyOf(vector)) : []) {
      const place = JSON.stringify(one.place);
      if (!found.has(place))
        found.set(
          place,
          rules.map(() => null),
        );
      /** @type {(Judged|null)[]} */ (found.get(place))[number] = one;
    }
  });
  return found;
}

/**
 * What a vector comes to, as plain data: the outcome at each place where the rule applies, and of each version why, and what it
 * needs.
 * @param {Program} program
 * @param {Vector} vector
 */
export function told(program, vector) {
  const places = [...verdicts(program, vector).values()];
  const outcomes = places.map((each) => [...new Set(each.map((one) => one?.verdict.outcome ?? DOES_NOT_APPLY))]);
  const applying = outcomes.filter((said) => said.length > 1 || said[0] !== DOES_NOT_APPLY);
  return {
    outcomes: applying.length ? applying.map((said) => agreed(said) || VERIFY) : [DOES_NOT_APPLY],
    verdicts: places.map((each) => each.map((one) => one && plain(one))),
  };
}

/** A verdict as plain data. @param {Judged} judged */
function plain({ place, verdict }) {
  const causes = [...verdict.causes.keys()].sort();
  const { outcome, needs, exact, question } = verdict;
  return {
    place: [place.item, place.outer, place.key, place.missing],
    outcome,
    reason: reasonOf(verdict),
    needs,
    exact,
    question,
    causes,
  };
}

/**
 * What texts that somebody typed are of some facts: the values, or what is wrong with a text and what to do.
 * @param {import("./opened.js").Opened} opened
 * @param {[string, string][]} rows Paths of facts, each with a text.
 */
export function typed({ vocabulary }, rows) {
  return rows.map(([path, text]) => {
    const leaf = /** @type {import("./vocabulary.js").Leaf} */ (vocabulary.leaf(path));
    try {
      return { values: valuesOf(vocabulary.units, leaf, text) };
    } catch (error) {
      if (error instanceof LeafError) return { what: error.what, hint: error.hint };
      throw error;
    }
  });
}

/**
 * What is read of a job: each reading, what is not known, the keys of lists, notes and the text of the job; or its problems.
 * @param {import("./opened.js").Opened} opened
 * @param {string} text
 * @param {import("./photographs.js").Pictures|null} [pictures]
 */
export function read(opened, text, pictures = null) {
  const found = readJob({ ...opened, pictures }, text);
  return "problems" in found ? found : { ...found.job, data: undefined, written: writeJob(found.job) };
}

/**
 * The report of a job out of its text: every finding in words, with the digests that an acceptance binds it by.
 * @param {import("./opened.js").Opened} opened
 * @param {string} text
 * @param {string} day
 */
export function reportOf(opened, text, day) {
  const found = readJob(opened, text);
  if ("problems" in found) return found;
  const report = judgeJob(opened, found.job, day);
  const bound = new Acceptances(opened.program, opened.vocabulary, found.job, report.inWords.doubts, 0);
  const findings = report.findings.map((one) => {
    const whole = report.all[one.number];
    const { alternatives, exact } = whole;
    const evidence = bound.evidenceDigest(whole);
    return {
      ...one,
      alternatives,
      cited: citedOf(report, one),
      exact,
      id: findingId(found.job.id, one.rule, one.item),
      evidence,
      ...words(report, one),
    };
  });
  return { headline: report.headline, notJudged: report.notJudged, findings };
}

/**
 * What is said of some jobs out of their texts, without words: a row a finding.
 * @param {import("./opened.js").Opened} opened
 * @param {string[]} texts
 * @param {string} day
 */
export function outcomesOf(opened, texts, day) {
  return texts.map((text) => {
    const found = readJob(opened, text);
    if ("problems" in found) return found;
    const { all, findings } = judgeJob(opened, found.job, day);
    return findings.map(({ number, rule, item, outcome, reason, needs, accepted }) => {
      return [rule, item, outcome, reason, needs, all[number].exact, accepted];
    });
  });
}

/**
 * What texts record as answers to the questions about some facts of a job in which nothing is answered; null where they cannot.
 * @param {import("./opened.js").Opened} opened
 * @param {[string, string][]} rows Paths of facts, each with a text.
 */
export function answered(opened, rows) {
  const job = newJob(opened, "new");
  return rows.map(([path, text]) => {
    const found = answer(opened, job, path, text);
    return "facts" in found ? found.facts : null;
  });
}

/**
 * What texts say as lines about the thing that a fact is of.
 * @param {import("./opened.js").Opened} opened
 * @param {[string, string][]} rows Paths of facts, each with a text.
 */
export function typedLines({ vocabulary }, rows) {
  return rows.map(([path, text]) => {
    const line = lineOf(vocabulary, [path]);
    return line ? readLine(line, text, vocabulary) : null;
  });
}
