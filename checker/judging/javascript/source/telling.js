/** Of a finding what a page shows beside its words: its sections on one line, and its cautions by name. */

import { applyingOf, citationsOf, section } from "./citations.js";
import { FAIL } from "./judge.js";

/** @typedef {import("./opened.js").Report} Report */
/** @typedef {import("./opened.js").Told} Told */
/** @typedef {import("./program.js").Node} Node */

const UNCHECKED = "†";

/**
 * The sections of a finding on one line, each marked that nobody has checked in the book. The first section of a document
 * whose edition is only the published one says so.
 * @param {Report} report
 * @param {Told} finding
 * @returns {string}
 */
export function citedOf(report, { number }) {
  const { program } = report.inWords;
  const toSay = publishedIn(program, report.all[number]);
  const all = citationsOf(report.all[number]).map((/** @type {Node} */ one) => {
    const aside =
      one.edition && toSay.delete(one.document) ? ` (as published for ${program.state}, ask the office)` : "";
    return section(one, aside) + (isDoubted(one) ? UNCHECKED : "");
  });
  return all.join("; ");
}

/**
 * The documents whose edition is the one published for the state, under every version that is told.
 * @param {import("./program.js").Program} program
 * @param {import("./findings.js").Finding} finding
 * @returns {Set<string>}
 */
function publishedIn(program, finding) {
  const told = finding.same ? applyingOf(finding) : finding.versions.filter((one) => one.judged === finding.judged);
  const each = told.map(({ setting }) => setting.published ?? []);
  const codes = (each[0] ?? []).filter((code) => each.every((some) => some.includes(code)));
  return new Set(program.sources.filter(({ id }) => codes.includes(id)).flatMap(({ documents }) => documents));
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
