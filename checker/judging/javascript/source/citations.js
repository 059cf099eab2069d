/** Citations of the versions of a rule that apply, each section once with the editions it holds in. */

import { DOES_NOT_APPLY } from "./judge.js";

/** @typedef {import("./program.js").Node} Node */

/** Document, edition and section: `NEC 2020, 440.22(A)`. @param {Node} citation @param {string} [aside] Said of the edition. */
export const section = ({ document, edition, section: its }, aside = "") =>
  `${document}${edition ? ` ${edition}` : ""}${aside}, ${its}`;

/**
 * The citations of a finding: those of every version that applies where all come to the same, else of the one that is told.
 * @param {import("./findings.js").Finding} finding
 */
export const citationsOf = (finding) => (finding.same ? allCitations(finding) : finding.rule.citations);

/** The versions that apply. @param {import("./findings.js").Finding} finding */
export const applyingOf = ({ versions }) =>
  versions.filter((one) => one.rule && one.judged && one.judged.verdict.outcome !== DOES_NOT_APPLY);

/** The citations of every version that applies. @param {import("./findings.js").Finding} finding */
export const allCitations = (finding) =>
  mergedCitations(applyingOf(finding).map((one) => /** @type {Node} */ (one.rule).citations));

/**
 * The citations of several editions that say the same, each section once with the editions it holds in.
 * @param {Node[][]} each
 * @returns {Node[]}
 */
function mergedCitations(each) {
  /** @type {Map<string, {citation: Node, editions: Set<string>}>} */
  const found = new Map();
  for (const citation of each.flat()) {
    const { document, section: its, section_sure, requirement_sure, note, read } = citation;
    const key = JSON.stringify([document, its, section_sure, requirement_sure, note, read]);
    const known = found.get(key) ?? { citation, editions: new Set() };
    found.set(key, known);
    known.editions.add(citation.edition);
  }
  return [...found.values()].map(({ citation, editions }) => ({ ...citation, edition: span([...editions]) }));
}

/** @param {string[]} editions */
const span = (editions) => (editions.length === 1 ? editions[0] : `${editions[0]} to ${editions[editions.length - 1]}`);
