/**
 * One bound rule on one job → what it says. What is unknown is tried for every value it could have, up to 64 combinations,
 * before anyone is asked for it.
 */

import { combinations, openChoices, truth } from "./conditions.js";
import { NO_CAUSES, Unknown, allOf, anyOf, cause, factsOf, missing, together, traced } from "./kleene.js";
import { reads, walkThrough } from "./references.js";
import { Scope } from "./scope.js";
import { margin } from "./uncertainty.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Facts} Facts */
/** @typedef {import("./kleene.js").Causes} Causes */
/** @typedef {import("./kleene.js").Truth} Truth */
/** @typedef {import("./kleene.js").Value} Value */
/** @typedef {import("./uncertainty.js").AccuracyOf} AccuracyOf */
/** @typedef {{outcome: string, causes: Causes, needs: string[], exact: boolean, question: number, trace: string}} Verdict */
/** @typedef {{item: string, outer: string, key: string, missing: string}} Place */
/** @typedef {{place: Place, verdict: Verdict, scope: Scope}} Judged */

export const [PASS, FAIL, VERIFY, DOES_NOT_APPLY] = ["pass", "fail", "verify_locally", "does_not_apply"];
export const REASONS = ["implausible", "not_recorded", "date_unknown", "not_adopted", "too_close", "authority_decides"];
/** The outcomes from the worst to where nothing is asked. */
const ORDER = [FAIL, VERIFY, PASS, DOES_NOT_APPLY];
const FINE = [PASS, DOES_NOT_APPLY]; // nobody is asked which of the two it is
const NOWHERE = { item: "", outer: "", key: "", missing: "" };

/**
 * @param {string} outcome
 * @param {Partial<Verdict>} [more]
 * @returns {Verdict}
 */
function said(outcome, more = {}) {
  return { outcome, causes: NO_CAUSES, needs: [], exact: true, question: -1, trace: "", ...more };
}

/** The first remaining reason of the closed list; empty unless it must be verified. @param {Verdict} verdict */
export function reasonOf(verdict) {
  if (verdict.outcome !== VERIFY) return "";
  const present = new Set([...verdict.causes.values()].map((one) => one.reason));
  return REASONS.find((reason) => present.has(reason)) ?? "authority_decides";
}

/** What a version of a rule says at one place. @param {{judged: Judged|null}} version */
export const outcomeOf = ({ judged }) => judged?.verdict.outcome ?? DOES_NOT_APPLY;

/** The place of what it says, the worst first. @param {{judged: Judged|null}} version */
export const ordered = (version) => ORDER.indexOf(outcomeOf(version));

/**
 * The order of two versions: the worse first; of one outcome by their labels.
 * @param {{judged: Judged|null, setting: {label: string}}} a
 * @param {{judged: Judged|null, setting: {label: string}}} b
 */
export function worstFirst(a, b) {
  const [first, second] = [a.setting.label, b.setting.label];
  return ordered(a) - ordered(b) || (first < second ? -1 : first > second ? 1 : 0);
}

/**
 * Judge a rule on a job: one verdict for each list item it goes through, or one in all.
 * @param {Node} rule
 * @param {Facts} facts
 * @param {AccuracyOf} accuracy
 * @returns {Judged[]}
 */
export function judge(rule, facts, accuracy) {
  const found = places(rule.for_each, facts).map((place) => judgedAt(rule, facts, place, accuracy));
  return found.length
    ? found
    : [{ place: NOWHERE, verdict: said(DOES_NOT_APPLY), scope: new Scope(facts, rule.where) }];
}

/**
 * Judge a rule at one of the places it goes through. A doubted reading makes no pass. A failure by the readings as they are
 * recorded stays one.
 * @param {Node} rule
 * @param {Facts} facts
 * @param {Place} place
 * @param {AccuracyOf} accuracy
 * @returns {Judged}
 */
export function judgedAt(rule, facts, place, accuracy) {
  const found = judgeAt(rule, facts, place, accuracy);
  if (![...found.verdict.causes.values()].some((one) => Object.hasOwn(facts.doubts, one.fact))) return found;
  const asRecorded = judgeAt(rule, facts.asRecorded, place, accuracy);
  return asRecorded.verdict.outcome === FAIL ? asRecorded : found;
}

/**
 * The same, where a doubted reading is not known.
 * @param {Node} rule
 * @param {Facts} facts
 * @param {Place} place
 * @param {AccuracyOf} accuracy
 * @returns {Judged}
 */
export function judgeAt(rule, facts, place, accuracy) {
  if (place.missing) return ofTheList(rule, facts, place);
  const guard =
    rule.judged === "guarded"
      ? (/** @type {Node} */ node, /** @type {Scope} */ scope) => tooClose(node, scope, accuracy)
      : null;
  const scope = new Scope(facts, rule.where, place.item, place.outer, undefined, undefined, guard);
  return { place, verdict: settle(rule, scope), scope };
}

/**
 * The items a rule goes through, of one list or of a list inside each item of another; and each list that is missing.
 * @param {string[]} forEach
 * @param {Facts} facts
 * @returns {Place[]}
 */
export function places(forEach, facts) {
  if (!forEach.length) return [NOWHERE];
  const [list, inside] = forEach;
  const keys = facts.items(list);
  if (keys === undefined) return [{ ...NOWHERE, missing: list }];
  return keys.flatMap((key, index) => {
    const item = `${list}.${index}`;
    if (!inside) return [{ ...NOWHERE, item, key }];
    const inner = facts.items(`${item}.${inside}`);
    if (inner === undefined) return [{ item: "", outer: item, key, missing: `${item}.${inside}` }];
    return inner.map((innerKey, at) => ({
      item: `${item}.${inside}.${at}`,
      outer: item,
      key: `${key}/${innerKey}`,
      missing: "",
    }));
  });
}

/**
 * A list left out is unknown, not empty: one verdict that names it, unless the rule cannot apply whatever is in it.
 * @param {Node} rule
 * @param {Facts} facts
 * @param {Place} place
 * @returns {Judged}
 */
function ofTheList(rule, facts, place) {
  const scope = new Scope(facts, rule.where, "", place.outer);
  const applies = truth(outright(rule, Boolean(place.outer)), scope);
  if (applies === false) return { place, verdict: said(DOES_NOT_APPLY), scope };
  const causes = together([missing(place.missing).causes, applies instanceof Unknown ? applies.causes : NO_CAUSES]);
  return { place, verdict: said(VERIFY, { causes, needs: factsOf(causes) }), scope };
}

/**
 * The conditions on whether a rule applies that hold or not whatever is in the list it goes through.
 * @param {Node} rule
 * @param {boolean} outer Whether the item around that list is known.
 */
function outright(rule, outer) {
  const known = outer ? ["job", "outer"] : ["job"];
  const stands = (/** @type {Node} */ one) =>
    [...walkThrough(one, rule.where)].every((part) => part.is !== "fact" || known.includes(part.frame));
  return { is: "all", conditions: rule.applies.conditions.filter(stands) };
}

// --- one place ---

/**
 * All that the outcome of a rule hangs on: whether it applies, what it requires, and when the authority is asked.
 * @param {Node} rule
 * @returns {Node[]}
 */
export function conditionsOf(rule) {
  return [rule.applies, rule.require, ...rule.verify.map((/** @type {Node} */ ask) => ask.condition)];
}

/**
 * The verdict in one place, after trying every value that unrecorded facts could have.
 * @param {Node} rule
 * @param {Scope} scope
 * @returns {Verdict}
 */
export function settle(rule, scope) {
  const plain = plainly(rule, scope, new Map());
  if (plain.outcome !== VERIFY || plain.question >= 0) return doubted(rule, plain);
  const nodes = conditionsOf(rule);
  const choices = openChoices(nodes, scope);
  if (!choices.size) return { ...plain, needs: factsOf(plain.causes), exact: readOnce(nodes, scope, plain) };
  const same = sameInAll(rule, scope, choices);
  const worlds = combinations(choices).map((world) => {
    const inside = scope.assuming(world);
    return { values: [...world.values()], inside, verdict: plainly(rule, inside, same) };
  });
  const all = agreed(worlds.map(({ verdict }) => verdict.outcome));
  if (all !== "" && all !== VERIFY) return doubted(rule, said(all));
  const matter = thatMatter(
    [...choices.keys()],
    worlds.map(({ values, verdict }) => [values, marked(verdict)]),
  );
  const needs = [...new Set([...worlds.flatMap(({ verdict }) => factsOf(verdict.causes)), ...matter])].sort();
  const exact = worlds.every(({ inside, verdict }) => readOnce(nodes, inside, verdict));
  const open = needs
    .filter((fact) => choices.has(fact))
    .map((fact) => cause(scope.facts.value(fact) === undefined ? "not_recorded" : "date_unknown", fact));
  const causes = together([...open, ...worlds.map(({ verdict }) => verdict.causes)]);
  return said(VERIFY, { causes, needs, exact, question: Math.max(...worlds.map(({ verdict }) => verdict.question)) });
}

/**
 * The conditions that read none of the facts that are tried, each with its truth.
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Map<string, any>} open
 * @returns {Map<Node, Truth>}
 */
function sameInAll(rule, scope, open) {
  const parts = [
    ...rule.applies.conditions,
    ...rule.require.conditions,
    ...rule.verify.map((/** @type {Node} */ ask) => ask.condition),
  ];
  return new Map(
    parts
      .filter((part) => !reads(part, scope).some((path) => open.has(path)))
      .map((part) => [part, truth(part, scope)]),
  );
}

/**
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Map<Node, Truth>} known The conditions of which the truth is known already.
 * @returns {Verdict}
 */
function plainly(rule, scope, known) {
  const held = (/** @type {Node} */ part) => known.get(part) ?? truth(part, scope);
  const applies = allOf(rule.applies.conditions.map(held));
  if (applies === false) return said(DOES_NOT_APPLY);
  const asked = rule.verify.map((/** @type {Node} */ ask) => held(ask.condition));
  if (asked.includes(true)) return said(VERIFY, { question: asked.indexOf(true) });
  if (rule.stale) return said(VERIFY, { causes: cause("authority_decides", "", rule.stale) });
  const verify = anyOf(asked);
  if (verify instanceof Unknown) return said(VERIFY, { causes: verify.causes, trace: `verify(${verify.trace})` });
  const require = allOf(rule.require.conditions.map(held));
  if (require === true) return said(PASS);
  if (require === false && applies === true) return said(FAIL);
  const causes = together([applies, require].flatMap((part) => (part instanceof Unknown ? [part.causes] : [])));
  return said(VERIFY, { causes, trace: `${traced(applies)} ${traced(require)}` });
}

/**
 * The outcome that all come to, nothing where they differ; a pass and 'does not apply' together are a pass.
 * @param {string[]} outcomes
 */
export function agreed(outcomes) {
  const found = new Set(outcomes);
  if (found.size === 2 && FINE.every((one) => found.has(one))) return PASS;
  return found.size === 1 ? outcomes[0] : "";
}

/**
 * The facts of which two values, all else equal, leave different marks.
 * @param {string[]} paths
 * @param {[Value[], string][]} marks What each way of filling in the facts comes to.
 */
function thatMatter(paths, marks) {
  return paths.filter((_, index) => {
    /** @type {Map<string, string>} */
    const met = new Map();
    return marks.some(([values, mark]) => {
      const others = values.map((value, at) => (at === index ? "" : `${typeof value}${traced(value)}`)).join("\u0001");
      const before = met.get(others);
      if (before === undefined) met.set(others, mark);
      return before !== undefined && before !== mark;
    });
  });
}

/** What a verdict comes to. @param {Verdict} verdict */
function marked(verdict) {
  return `${FINE.includes(verdict.outcome) ? "fine" : verdict.outcome} ${verdict.question} ${verdict.trace}`;
}

/**
 * Whether no fact that is still unknown is read twice: then what is needed is exact.
 * @param {Node[]} nodes
 * @param {Scope} scope
 * @param {Verdict} verdict
 */
function readOnce(nodes, scope, verdict) {
  /** @type {Map<string, number>} */
  const times = new Map();
  for (const node of nodes) for (const path of reads(node, scope)) times.set(path, (times.get(path) ?? 0) + 1);
  return [...verdict.causes.values()].every((one) => one.reason !== "not_recorded" || (times.get(one.fact) ?? 0) <= 1);
}

/**
 * A requirement or limit nobody is sure of gives no firm outcome; a warning about life is never hidden by that.
 * @param {Node} rule
 * @param {Verdict} verdict
 */
function doubted(rule, verdict) {
  const firm = verdict.outcome === PASS || verdict.outcome === FAIL;
  if (!rule.doubtful.length || !firm || (rule.life_safety && verdict.outcome === FAIL)) return verdict;
  return said(VERIFY, {
    causes: cause("authority_decides", "", `${rule.doubtful.join(" and ")} to be confirmed in the adopted book`),
  });
}

/**
 * Under `judged: guarded`: unknown where the reading is nearer its limit than the meter can tell.
 * @param {Node} node
 * @param {Scope} scope
 * @param {AccuracyOf} accuracy
 * @returns {Unknown|null}
 */
function tooClose(node, scope, accuracy) {
  const found = margin(node, scope, accuracy);
  if (found === null) return null;
  if (found.unstated.length) {
    const causes = together(found.unstated.map((path) => cause("not_recorded", path, "accuracy of the instrument")));
    return new Unknown(causes, `unstated(${node.text},${scope.item})`);
  }
  if (found.expanded !== null && Math.abs(found.amount) >= found.expanded) return null;
  const paths = reads(node, scope).filter((path) => accuracy(path));
  return new Unknown(together(paths.map((path) => cause("too_close", path))), `close(${node.text},${scope.item})`);
}
