/** Lists: things with a name each, such as circuits; and rows of readings, such as a gauge that is read every few minutes. */

import { engine } from "./engine.js";
import { button, el, fill } from "./elements.js";

/** @typedef {import("./session.js").Session} Session */

const ROWS = 4;

/**
 * @param {Session} session
 * @param {any} question
 * @returns {HTMLElement}
 */
export function listField(session, question) {
  return question.keyed ? named(session, question) : readings(session, question);
}

/** The names of the items that a list has. @param {Session} session @param {string} path @returns {string[]|undefined} */
export const itemsOf = (session, path) => engine.itemsOf(session.opened, session.job, path);

/** @param {Session} session @param {any} question */
function named(session, question) {
  const said = el("p", { className: "said", role: "status" });
  const box = el("div", { className: "field list", "data-path": question.path });
  const id = `at-${question.path}`;
  const name = el("input", { id, type: "text", autocomplete: "off", autocapitalize: "off", enterkeyhint: "done" });
  const add = (/** @type {string} */ typed) => {
    if (!typed.trim()) return;
    const why = more(session, question.path, typed.trim());
    said.className = why ? "said wrong" : "said";
    fill(said, why);
    if (!why) name.value = "";
    there();
  };
  name.addEventListener("keydown", (event) => event.key === "Enter" && add(name.value));
  const listed = el("p", { className: "listed" });
  const chips = el("div", { className: "choices" });
  const there = () => {
    const items = itemsOf(session, question.path);
    fill(listed, items ? (items.length ? `There: ${items.join(", ")}.` : "None.") : "");
    const left = question.choices.filter((/** @type {any} */ one) => !items?.includes(one.word));
    const none = items === undefined ? button("none", () => add("none")) : null;
    fill(chips, ...left.map((/** @type {any} */ one) => button(one.word, () => add(one.word))), none);
  };
  there();
  const ask = el("label", { className: "ask", htmlFor: id }, question.title ?? question.text);
  box.append(
    ask,
    listed,
    chips,
    el(
      "div",
      { className: "typed" },
      name,
      button("Add", () => add(name.value)),
    ),
    said,
  );
  return box;
}

/**
 * Put one more item into a list, or begin it.
 * @param {Session} session
 * @param {string} path
 * @param {string} typed
 * @returns {string} Why that cannot be; empty where it is done.
 */
function more(session, path, typed) {
  const found = engine.answer(session.opened, session.job, path, typed);
  if (!found.facts) return found.refused ?? found.asks ?? "";
  const items = itemsOf(session, path);
  if (items === undefined || !items.length) return session.record(found.facts);
  if (items.includes(typed)) return `There is one called ${typed} already.`;
  const added = found.facts[path].map((/** @type {any} */ item, /** @type {number} */ n) => [
    `${path}.${items.length + n}`,
    item,
  ]);
  return session.record(Object.fromEntries(added));
}

/** @param {Session} session @param {any} question */
function readings(session, question) {
  const said = el("p", { className: "said", role: "status" });
  const rows = el("tbody");
  /** @type {any[]} */
  const columns = question.columns;
  const give = () => {
    const typed = [...rows.rows].map((row) => [...row.querySelectorAll("input")].map((one) => one.value.trim()));
    const whole = typed.filter((row) => row.every(Boolean));
    if (!whole.length) return;
    const found = engine.answer(
      session.opened,
      session.job,
      question.path,
      whole.map((row) => row.join(" ")).join(", "),
    );
    const why = found.facts ? session.record(found.facts) : (found.refused ?? found.asks ?? "");
    said.className = why ? "said wrong" : "said";
    const short = typed.some((row) => row.some(Boolean) && !row.every(Boolean));
    fill(said, why || (short ? "A row with a gap does not count yet." : `${whole.length} recorded.`));
  };
  /** @type {string[][]} */
  const before = engine.rowsOf(session.opened, session.job, question.path) ?? [];
  const add = (/** @type {string[]} */ values) => {
    const number = rows.rows.length + 1;
    const cells = columns.map((column, n) => el("td", {}, cell(question, column, number, values[n] ?? "", give)));
    rows.append(el("tr", {}, el("th", { scope: "row" }, String(number)), ...cells));
  };
  for (let n = 0; n < Math.max(ROWS, before.length); n++) add(before[n] ?? []);
  const heads = columns.map((one) => el("th", { scope: "col" }, one.unit ? `${one.title} (${one.unit})` : one.title));
  const table = el(
    "table",
    { className: "readings" },
    el("thead", {}, el("tr", {}, el("th", {}, "No."), ...heads)),
    rows,
  );
  return el(
    "div",
    { className: "field list", "data-path": question.path },
    el("p", { className: "ask" }, question.title ?? question.text),
    table,
    button("One more row", () => add([])),
    said,
  );
}

/** @param {any} question @param {any} column @param {number} number @param {string} value @param {() => void} give */
function cell(question, column, number, value, give) {
  return el("input", {
    type: "text",
    inputmode: "decimal",
    autocomplete: "off",
    "aria-label": `${question.title ?? ""} ${number}: ${column.title}`,
    value,
    onchange: give,
  });
}
