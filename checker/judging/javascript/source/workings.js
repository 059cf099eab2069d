/** Each comparison that a rule requires, as it was made: its values, its margin and how sure it is. */

import { DIFFERENCE_OF, fromBase, isKind, unitOf, writtenAmount } from "./amounts.js";
import { truth } from "./conditions.js";
import { Unknown } from "./kleene.js";
import { asFixed } from "./numbers.js";
import { singleConditions } from "./references.js";
import { margin } from "./uncertainty.js";
import { evaluate } from "./values.js";
import { lowTitle, shown } from "./words.js";

/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */
/** @typedef {import("./words.js").Job} Job */
/** @typedef {import("./uncertainty.js").AccuracyOf} AccuracyOf */
/** @typedef {[string, number|null]} UnitAndDigits */

/**
 * @typedef {object} Working
 * @property {string} text
 * @property {string[]} values
 * @property {string[]} operators
 * @property {string} holds
 * @property {string} margin
 * @property {string} uncertainty
 * @property {string} probability
 * @property {string} note
 * @property {(number|null)[]} amounts
 * @property {string} unit
 * @property {number|null} spread
 */

const UNSTATED = "accuracy unstated: ";
const BEYOND = "how sure the reading is cannot be told: its accuracy reaches beyond what the rule can work out";
/** @type {Record<string, string>} */
const DIFFERENCE_UNIT = {
  degF: "delta_degF",
  degC: "delta_degC",
  K: "delta_degC",
  psig: "psi",
  kPag: "kPa",
  micron: "micron_rise",
};

/**
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Job} job
 * @param {AccuracyOf} accuracy
 * @returns {Working[]}
 */
export function workings(rule, scope, job, accuracy) {
  return singleConditions(rule.require).map((node) => working(node, rule, scope, job, accuracy));
}

/**
 * One comparison or other condition as it was made.
 * @param {Node} node
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Job} job
 * @param {AccuracyOf} accuracy
 * @returns {Working}
 */
function working(node, rule, scope, job, accuracy) {
  const held = truth(node, scope);
  const holds = held instanceof Unknown ? "not known" : held ? "holds" : "does not hold";
  const nothing = { margin: "", uncertainty: "", probability: "", note: "", amounts: [], unit: "", spread: null };
  const made = { text: node.text, values: [], operators: [], holds, ...nothing };
  if (node.is !== "compare") {
    const fact = node.fact ?? (node.is === "truth" || node.is === "member" ? node.value : null);
    return fact
      ? { ...made, values: [shown(fact, ...unitAndDigits(fact, rule, job, scope), scope, job) || "not recorded"] }
      : made;
  }
  const [unit, digits] = ofAll(node, rule, job, scope);
  const values = node.operands.map(
    (/** @type {Node} */ part) => amountShown(part, node, rule, scope, job) || "not recorded",
  );
  const compared = { ...made, values, operators: node.operators };
  if (!isKind(job.program, node.kind)) return compared;
  const of = unitOf(job.program, node.kind, unit);
  const amounts = node.operands.map((/** @type {Node} */ part) => {
    const value = evaluate(part, scope);
    return typeof value === "number" ? fromBase(value, of) : null;
  });
  return withMargin({ ...compared, amounts, unit }, node, margin(node, scope, accuracy), unit, digits, job);
}

/**
 * @param {Working} made
 * @param {Node} node
 * @param {import("./uncertainty.js").Margin|null} found
 * @param {string} unit
 * @param {number|null} digits
 * @param {Job} job
 * @returns {Working}
 */
function withMargin(made, node, found, unit, digits, job) {
  if (!found) return made;
  const program = job.program;
  const kind = DIFFERENCE_OF[node.kind] ?? node.kind;
  const its = kind === node.kind ? unit : differenceUnit(program, kind, unit);
  const said = writtenAmount(program, found.amount, kind, its, digits);
  if (found.standard === 0) return { ...made, margin: said };
  if (found.unstated.length) {
    return { ...made, margin: said, note: UNSTATED + found.unstated.map((path) => lowTitle(program, path)).join(", ") };
  }
  if (found.expanded === null) return { ...made, margin: said, note: BEYOND };
  const spread = fromBase(found.expanded, unitOf(program, kind, its));
  const figures = spread !== 0 ? Math.max(0, 1 - Math.floor(Math.log10(Math.abs(spread)))) : 0;
  const near = Math.abs(found.amount) < found.expanded;
  return {
    ...made,
    margin: said,
    uncertainty: `±${writtenAmount(program, found.expanded, kind, its, figures)} (k = 2)`,
    probability: found.probability === null ? "" : asFixed(found.probability, 3),
    note: near ? `margin ${said} is closer to the limit than the instruments can tell` : "",
    spread,
  };
}

/**
 * @param {import("./program.js").Program} program
 * @param {string} kind
 * @param {string} unit
 */
function differenceUnit(program, kind, unit) {
  return DIFFERENCE_UNIT[unit] ?? (isKind(program, kind) ? unitOf(program, kind, "").name : "day");
}

/**
 * One side of a comparison as a person reads it, in its own unit or that of the other side; null if not known.
 * @param {Node} part
 * @param {Node} node
 * @param {Node} rule
 * @param {Scope} scope
 * @param {Job} job
 */
function amountShown(part, node, rule, scope, job) {
  const own = unitAndDigits(part, rule, job, scope);
  return shown(part, ...(own[0] ? own : ofAll(node, rule, job, scope)), scope, job);
}

/**
 * @param {Node} value
 * @param {Node} rule
 * @param {Job} job
 * @param {Scope} scope
 * @returns {UnitAndDigits}
 */
function unitAndDigits(value, rule, job, scope) {
  if (value.is === "named") return rule.units[value.name] ?? ["", null];
  if (value.is === "constant") return [value.unit, null];
  const domain = value.is === "fact" ? scope.facts.domain(scope.path(value)) : undefined;
  return domain ? [domain.unit, domain.measured ? domain.digits : null] : ["", null];
}

/**
 * @param {Node} node
 * @param {Node} rule
 * @param {Job} job
 * @param {Scope} scope
 * @returns {UnitAndDigits}
 */
function ofAll(node, rule, job, scope) {
  /** @type {UnitAndDigits[]} */
  const found = node.operands.map((/** @type {Node} */ part) => unitAndDigits(part, rule, job, scope));
  const digits = found.flatMap(([, one]) => (one === null ? [] : [one]));
  return [found.map(([unit]) => unit).find(Boolean) ?? "", digits.length ? Math.max(...digits) : null];
}

/**
 * What the comparisons say of their own readings, the unstated accuracies in one line.
 * @param {Working[]} made
 */
export function measurementNotes(made) {
  const notes = made.map((one) => one.note).filter(Boolean);
  const unstated = notes
    .filter((note) => note.startsWith(UNSTATED))
    .flatMap((note) => note.slice(UNSTATED.length).split(", "));
  const rest = notes.filter((note) => !note.startsWith(UNSTATED));
  return unstated.length ? [...rest, UNSTATED + [...new Set(unstated)].join(", ")] : rest;
}

/**
 * Why a reading has to be taken again: how near its limit it is, and how far off the instrument may be.
 * @param {Working[]} made
 */
export function tooCloseNotes(made) {
  return made
    .filter(isNear)
    .map(
      (one) =>
        `${one.values.join(" against ")} is too close to tell: the reading may be off by ${one.uncertainty}. ` +
        "Get farther inside the limit, or measure with a better instrument.",
    );
}

/** Whether the reading is nearer its limit than the instruments can tell. @param {Working} working */
function isNear({ amounts, spread }) {
  const known = amounts.filter((amount) => amount !== null);
  if (spread === null || known.length !== amounts.length) return false;
  return known.slice(1).some((amount, index) => Math.abs(known[index] - amount) < spread);
}
