/** A finding on a card: what is wrong with reading and limit, its section, what to do, and the caution. */

import { engine } from "./engine.js";
import { el, line } from "./elements.js";

/** @typedef {import("./session.js").Session} Session */
/** @typedef {import("./engine.js").Finding} Finding */

export const FAIL = "fail";
export const VERIFY = "verify_locally";
export const PASS = "pass";

/** The failures that nobody accepted, life safety first, practice last. @param {Session} session @returns {Finding[]} */
export function failures(session) {
  const found = session.report.findings.filter((/** @type {Finding} */ one) => one.outcome === FAIL && !one.accepted);
  const weight = (/** @type {Finding} */ one) => (one.lifeSafety ? 0 : one.practice ? 2 : 1);
  return found.sort((/** @type {Finding} */ a, /** @type {Finding} */ b) => weight(a) - weight(b));
}

/** Those of the code, or on which life hangs. @param {Session} session */
export const toFix = (session) => failures(session).filter((one) => one.lifeSafety || !one.practice);

/** @param {Session} session @returns {Finding[]} */
export const stillOpen = (session) =>
  session.report.findings.filter((/** @type {Finding} */ one) => one.outcome === VERIFY);

/** The title of a finding, with the name of the list item that it is about. @param {Finding} finding @param {string} title */
export const named = (finding, title) => (finding.item ? `${title} [${finding.item.replaceAll("/", ", ")}]` : title);

/**
 * @param {Session} session
 * @param {Finding} finding
 */
export function card(session, finding) {
  const said = engine.words(session.report, finding);
  const practice = finding.practice && !finding.lifeSafety;
  const word = finding.accepted ? "Accepted in writing" : practice ? "Practice" : "Fix";
  const headline = said.headline || finding.title;
  return el(
    "article",
    { className: practice || finding.accepted ? "card practice" : "card fail" },
    el(
      "h3",
      {},
      el("b", { className: "word" }, word),
      finding.lifeSafety ? el("b", { className: "word" }, "life safety") : null,
      " ",
      named(finding, headline),
    ),
    headline === finding.title ? null : line(`Required: ${finding.title}.`, "small"),
    said.message ? line(said.message) : null,
    line(engine.citedOf(session.report, finding), "small"),
    said.remedy ? el("p", {}, el("b", {}, "Do: "), said.remedy) : null,
    ...engine
      .cautionsOf(session.report, finding)
      .map((/** @type {{name: string, text: string}} */ one) => caution(one)),
    ...said.notes.map((/** @type {string} */ note) => line(note, "small")),
  );
}

/** @param {{name: string, text: string}} one */
const caution = (one) => el("p", { className: "caution" }, el("b", {}, `Caution, ${one.name}: `), one.text);

/**
 * What is open, in a line: what it waits for, or what to ask.
 * @param {Session} session
 * @param {Finding} finding
 */
export function openLine(session, finding) {
  const said = engine.words(session.report, finding);
  const what =
    said.question || said.record.map((/** @type {any} */ need) => need.ask || need.title).join(" · ") || finding.reason;
  return el(
    "li",
    {},
    el("b", {}, `${finding.lifeSafety ? "● " : ""}${named(finding, finding.title)}`),
    el("span", { className: "small" }, ` ${engine.citedOf(session.report, finding)}`),
    line(what),
    ...said.notes.map((/** @type {string} */ note) => line(note, "small")),
  );
}
