/** The first line of a report. */

import { FAIL, VERIFY } from "./judge.js";

/**
 * What was answered, what was not, and what was not judged, counted, and nothing claimed beyond it.
 * @param {import("./opened.js").Told[]} findings
 * @param {{ruleset: string, rules: string[]}[]} left
 */
export function headlineOf(findings, left) {
  const said = left.map(({ ruleset, rules }) => `${rules.length} rule${rules.length > 1 ? "s" : ""} of ${ruleset}`);
  const notHere = said.length ? [`Not judged here: ${said.join(", ")}; not written for a job like this.`] : [];
  return [answered(findings), ...notHere].join(" ");
}

/** @param {import("./opened.js").Told[]} findings */
function answered(findings) {
  if (!findings.length) return "Nothing was judged.";
  const failed = findings.filter(({ outcome }) => outcome === FAIL);
  const open = findings.filter(({ outcome }) => outcome === VERIFY);
  const standing = failed.filter(({ accepted }) => !accepted);
  const practice = standing.filter((one) => one.practice && !one.lifeSafety).length;
  const accepted = failed.length - standing.length;
  const missing = open.filter(({ reason }) => reason === "not_recorded").length;
  const parts = [`${standing.length - practice} failed`];
  if (accepted) parts.push(`${accepted} accepted by the authority in writing`);
  if (practice) parts.push(`${practice} good practice not followed`);
  if (missing) parts.push(`${missing} not recorded`);
  if (open.length > missing) parts.push(`${open.length - missing} to verify locally`);
  return `${findings.length - open.length} of ${findings.length} requirements answered: ${parts.join(", ")}.`;
}
