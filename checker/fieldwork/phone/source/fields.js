/** One thing to fill in: a question with the right keyboard, what was understood, and why an answer cannot be used. */

import { engine } from "./engine.js";
import { button, el, fill, plain } from "./elements.js";
import { listField } from "./lists.js";

/** @typedef {import("./session.js").Session} Session */
/** @typedef {import("./engine.js").Question} Question */

const FEW = 4; // as many choices as fit beside each other
const KEYBOARDS = /** @type {Record<string, string>} */ ({ quantity: "decimal", count: "numeric" });
const OTHER_SIGNS = "abc"; // the key that changes to letters, for units and words

/**
 * The field of a fact, or of a list.
 * @param {Session} session
 * @param {string} path
 * @returns {HTMLElement}
 */
export function field(session, path) {
  const question = engine.question(session.opened, session.job, path);
  if (question.form === "list") return listField(session, question);
  const said = el("p", { className: "said", role: "status", id: `said-${path}` });
  const answer = (/** @type {string} */ typed, ticked = false) => give(session, path, typed, said, ticked);
  const asked =
    question.form === "flag" || (question.choices.length && question.choices.length <= FEW)
      ? picked(session, question, answer)
      : question.choices.length
        ? selected(session, question, answer)
        : typedIn(session, question, answer);
  return el("div", { className: "field", "data-path": path }, ...asked, said, aside(question, answer));
}

/**
 * Give an answer, and say below the question what was understood.
 * @param {Session} session
 * @param {string} path
 * @param {string} typed
 * @param {HTMLElement} said
 * @param {boolean} ticked
 * @returns {boolean} Whether it is recorded.
 */
function give(session, path, typed, said, ticked) {
  said.className = "said";
  if (!typed.trim()) {
    if (written(session, path) !== undefined) session.forget(path);
    fill(said);
    return true;
  }
  const found = engine.answer(session.opened, session.job, path, typed);
  const why = found.facts ? session.record(found.facts, { ticked }) : (found.refused ?? found.asks ?? "");
  if (why) said.className = "said wrong";
  fill(said, why || understood(typed, found.understood ?? ""));
  if (why && found.candidates) {
    for (const one of found.candidates) said.append(button(one, () => give(session, path, one, said, ticked)));
  }
  return !why;
}

/** What was understood, where it is not what was typed. @param {string} typed @param {string} said */
function understood(typed, said) {
  return said && said.toLowerCase() !== typed.trim().toLowerCase() ? `Read as ${said}` : "";
}

/** What the job records of a fact, as it was written. @param {Session} session @param {string} path @returns {string|undefined} */
export function written(session, path) {
  return engine.writtenAt(session.opened, session.job, path);
}

/**
 * A few choices beside each other, by thumb.
 * @param {Session} session
 * @param {Question} question
 * @param {(typed: string, ticked?: boolean) => boolean} answer
 */
function picked(session, question, answer) {
  const flag = question.form === "flag";
  const words = flag ? ["yes", "no"] : question.choices.map((one) => one.word);
  const now = written(session, question.path)?.toLowerCase();
  const group = el("div", { className: "choices", role: "group", "aria-label": plain(question.text) });
  for (const word of words) {
    const one = button(word, () => {
      const again = one.getAttribute("aria-pressed") === "true";
      if (answer(again ? "" : word, flag)) press(group, again ? "" : word);
    });
    one.setAttribute("aria-pressed", String(word === now));
    group.append(one);
  }
  return [el("p", { className: "ask" }, question.text), group];
}

/** Show which choice is the one. @param {HTMLElement} group @param {string} word */
function press(group, word) {
  for (const one of group.querySelectorAll("button")) {
    one.setAttribute("aria-pressed", String(one.textContent === word));
  }
}

/** @param {Session} session @param {Question} question @param {(typed: string) => boolean} answer */
function selected(session, question, answer) {
  const id = `at-${question.path}`;
  const now = written(session, question.path)?.toLowerCase();
  const options = question.choices.map(({ word }) =>
    el("option", { value: word, selected: word.toLowerCase() === now }, word),
  );
  const list = el(
    "select",
    { id, onchange: () => answer(list.value) },
    el("option", { value: "" }, "choose"),
    ...options,
  );
  return [el("label", { className: "ask", htmlFor: id }, question.text), list];
}

/** @param {Session} session @param {Question} question @param {(typed: string) => boolean} answer */
function typedIn(session, question, answer) {
  const id = `at-${question.path}`;
  const input = el("input", {
    id,
    type: "text",
    inputmode: KEYBOARDS[question.form] ?? "text",
    autocomplete: "off",
    autocapitalize: "off",
    spellcheck: "false",
    enterkeyhint: "next",
    value: written(session, question.path) ?? "",
    "aria-describedby": `said-${question.path}`,
  });
  input.addEventListener("change", () => input.toggleAttribute("aria-invalid", !answer(input.value)));
  const letters = button(OTHER_SIGNS, () => swapKeys(input, letters), {
    className: "keys",
    "aria-label": "Letters on the keyboard",
  });
  const unit = question.unit ? el("span", { className: "unit" }, question.unit) : null;
  const swaps = question.form === "quantity" || question.form === "count" || question.form === "date";
  return [
    el("label", { className: "ask", htmlFor: id }, question.text),
    el("div", { className: "typed" }, input, unit, swaps && question.form !== "date" ? letters : null),
  ];
}

/** Change between the keyboard for numbers and that for letters. @param {HTMLInputElement} input @param {HTMLElement} key */
function swapKeys(input, key) {
  const letters = input.inputMode !== "text";
  input.inputMode = letters ? "text" : "decimal";
  key.textContent = letters ? "123" : OTHER_SIGNS;
  input.focus();
}

/** What can be said where there is no value: it could not be found out, or there is none. @param {Question} question @param {(typed: string) => boolean} answer */
function aside(question, answer) {
  const why = el("input", { type: "text", "aria-label": "Why", placeholder: "why", autocomplete: "off" });
  const say = (/** @type {string} */ word) => () => answer(`${word}: ${why.value.trim() || "not said"}`);
  return el(
    "details",
    { className: "aside" },
    el("summary", {}, question.mayBeNone ? "can't tell, or there is none" : "can't tell"),
    why,
    button("Can't tell", say("unknown")),
    question.mayBeNone ? button("There is none", say("none")) : null,
  );
}
