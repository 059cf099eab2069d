/** Of a finding what a page shows beside its words: its sections on one line, and its cautions by name. */

import { citationsOf, section } from "./citations.js";
import { FAIL } from "./judge.js";

/** @typedef {import("./opened.js").Report} Report */
/** @typedef {import("./opened.js").Told} Told */
/** @typedef {import("./program.js").Node} Node */

const UNCHECKED = "†";

/**
 * The sections of a finding on one line, each marked that nobody has checked in the book.
 * @param {Report} report
 * @param {Told} finding
 * @returns {string}
 */
export function citedOf(report, { number }) {
  const all = citationsOf(report.all[number]);
  return all.map((/** @type {Node} */ one) => section(one) + (isDoubted(one) ? UNCHECKED : "")).join("; ");
}

/** @param {Node} citation */
const isDoubted = ({ section_sure, requirement_sure }) => section_sure !== "checked" || requirement_sure !== "checked";

/**
 * The cautions to know before acting on a finding: where something is to be done, or life hangs on it.
 * @param {Report} report
 * @param {Told} finding
 * @returns {{name: string, text: string}[]}
 */
export function cautionsOf(report, finding) {
  if (finding.outcome !== FAIL && !finding.lifeSafety) return [];
  return report.all[finding.number].rule.cautions.map((/** @type {Node} */ one) => ({
    name: one.key.slice(one.key.lastIndexOf("/") + 1).replaceAll("_", " "),
    text: one.text,
  }));
}
