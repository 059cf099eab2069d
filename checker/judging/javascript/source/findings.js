/** What every rule of a program says of a job: a finding at each place where it applies, the worst of its versions told. */

import {
  DOES_NOT_APPLY,
  FAIL,
  PASS,
  REASONS,
  VERIFY,
  agreed,
  judgedAt,
  ordered,
  outcomeOf,
  places,
  reasonOf,
  worstFirst,
} from "./judge.js";
import { Refused } from "./program.js";
import { Scope } from "./scope.js";
import { spokenOf } from "./spoken.js";
import { Versions, pathOf } from "./versions.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./judge.js").Judged} Judged */
/** @typedef {import("./judge.js").Place} Place */
/** @typedef {import("./scope.js").Facts} Facts */
/** @typedef {import("./uncertainty.js").AccuracyOf} AccuracyOf */
/** @typedef {import("./versions.js").Variant} Variant */
/** @typedef {Variant & {judged: Judged|null}} Version What a variant says at one place. */

/**
 * @typedef {object} Finding
 * @property {Node} rule The version that is told.
 * @property {string} item
 * @property {string} outcome
 * @property {string} reason
 * @property {{label: string, outcome: string}[]} alternatives
 * @property {string[]} needs
 * @property {boolean} exact
 * @property {boolean} same Whether all versions come to the same.
 * @property {Judged} judged What the version says that is told.
 * @property {Version[]} versions
 */

/** @typedef {(rule: string, judge: () => Finding[]) => Finding[]} Remembering */

const ANSWERS =
  "The answers of the authority that a job records are not read here: judge this job with changeout check.";

/**
 * Every finding of a job, rule by rule in the order of the program.
 * @param {Program} program
 * @param {Facts} facts
 * @param {AccuracyOf} accuracy
 * @param {Remembering} [remembered] What a rule said before of the same facts; without it every rule is judged.
 * @returns {Finding[]}
 * @throws {import("./versions.js").WronglyTold|Refused} The job says of its editions what cannot be, or it records answers.
 */
export function findings(program, facts, accuracy, remembered = (_, judge) => judge()) {
  if (facts.items(pathOf(program, "authority_answers"))?.length) throw new Refused(ANSWERS);
  const versions = new Versions(program, facts.asRecorded);
  const spoken = spokenOf(program, new Scope(facts, {}));
  return Object.keys(program.rules)
    .filter((name) => !spoken.why(program.hangs_on[name].home, name).length)
    .flatMap((name) => remembered(name, () => ofRule(versions.variants(name), facts, accuracy)));
}

/**
 * The rulesets that are not written for a job, with their rules that were therefore left out.
 * @param {Program} program
 * @param {Facts} facts
 * @returns {{ruleset: string, title: string, why: string[], rules: string[]}[]}
 */
export function notJudged(program, facts) {
  const { outside, why } = spokenOf(program, new Scope(facts, {}));
  if (!outside.size) return [];
  const versions = new Versions(program, facts.asRecorded);
  const out = Object.keys(program.rules).filter(
    (name) => why(program.hangs_on[name].home, name).length && versions.variants(name).some(({ rule }) => rule),
  );
  return [...outside].flatMap(([ruleset, lines]) => {
    const rules = out.filter((name) => program.hangs_on[name].home === ruleset);
    const title = program.sources.find(({ id }) => id === ruleset)?.title ?? ruleset;
    return rules.length ? [{ ruleset, title, why: [...new Set(lines.map((line) => line.otherwise))], rules }] : [];
  });
}

/**
 * The findings of one rule.
 * @param {Variant[]} variants
 * @param {Facts} facts
 * @param {AccuracyOf} accuracy
 * @returns {Finding[]}
 */
export function ofRule(variants, facts, accuracy) {
  /** @type {Map<string, Place>} */
  const all = new Map();
  const own = variants.map(
    ({ rule }) => new Map((rule ? places(rule.for_each, facts) : []).map((place) => [named(place), place])),
  );
  for (const some of own) for (const [name, place] of some) all.set(name, place);
  return [...all].flatMap(([name, place]) => {
    const versions = variants.map((variant, index) => ({
      ...variant,
      judged: variant.rule && own[index].has(name) ? judgedAt(variant.rule, facts, place, accuracy) : null,
    }));
    return foundAt(versions) ?? [];
  });
}

/** @param {Place} place */
const named = ({ item, outer, missing }) => `${item} ${outer} ${missing}`;

/**
 * What versions of a rule say at one place; null where it does not apply. Where they differ, it is what the worst of them says.
 * @param {Version[]} versions
 * @returns {Finding|null}
 */
function foundAt(versions) {
  const applying = versions.filter((one) => outcomeOf(one) !== DOES_NOT_APPLY);
  if (!applying.length) return null;
  const together = agreed(versions.map(outcomeOf));
  const same = versions.length === 1 || together !== "";
  const worst = [...applying].sort(
    (a, b) => ordered(a) - ordered(b) || b.setting.label.length - a.setting.label.length,
  )[0];
  const told = same ? applying[applying.length - 1] : worst;
  const judged = /** @type {Judged} */ (told.judged);
  return {
    rule: /** @type {Node} */ (told.rule),
    item: judged.place.key,
    outcome: same ? judged.verdict.outcome : VERIFY,
    reason: same ? reasonOf(judged.verdict) : reasonWhereTheyDiffer(versions, judged),
    alternatives: same ? [] : alternativesOf(versions),
    needs: judged.verdict.needs,
    exact: judged.verdict.exact,
    same,
    judged,
    versions,
  };
}

/** @param {Version[]} versions @param {Judged} judged */
function reasonWhereTheyDiffer(versions, judged) {
  const present = [
    versions[0].setting.doubt || "not_adopted",
    ...[...judged.verdict.causes.values()].map((one) => one.reason),
  ];
  return /** @type {string} */ (REASONS.find((reason) => present.includes(reason)));
}

/** @param {Version[]} versions */
function alternativesOf(versions) {
  return [...versions].sort(worstFirst).map((one) => ({ label: one.setting.label, outcome: outcomeOf(one) }));
}

/**
 * Which rules on the same item to settle before the remedy of a finding, in words: those it names that fail or are unknown.
 * @param {Finding} finding
 * @param {Finding[]} all
 */
export function settleFirst(finding, all) {
  const after = finding.outcome === FAIL ? finding.rule.remedy_after : [];
  const open = all.filter(
    (other) => after.includes(other.rule.id) && other.outcome !== PASS && onOneItem(finding.item, other.item),
  );
  return open.length ? `Settle first: ${[...new Set(open.map((other) => other.rule.title))].join("; ")}.` : "";
}

/**
 * Whether two findings are of the same item, or of one and of an item inside it; the whole job holds every item.
 * @param {string} one
 * @param {string} other
 */
function onOneItem(one, other) {
  if (!one || !other) return true;
  const [a, b] = [one.split("/"), other.split("/")];
  return a.every((part, index) => index >= b.length || part === b[index]);
}
