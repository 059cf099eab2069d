/** The questions a job begins with, and those that settle several facts with one choice: as the job schema lists them. */

import { engine } from "./engine.js";
import { button, el, fill } from "./elements.js";
import { field } from "./fields.js";

/** @typedef {import("./session.js").Session} Session */
/** @typedef {{ask: string, choices: Record<string, Record<string, any>>, paths: string[]}} Choice */

/**
 * The screen a new job begins with.
 * @param {Session} session
 */
export function openingScreen(session) {
  const { about, commands, roles } = session.opened;
  const sheets = (session.opened.inherited?.sheets ?? []).length > 0;
  // The place is that of the page; what stands on a line is asked for at its station.
  const settled = (/** @type {any} */ told) =>
    told.place ||
    (told.elsewhere && about.covered) ||
    (about.place && told.facts?.includes(roles.place)) ||
    (told.line && !(told.with_sheets && sheets));
  const asked = (commands.start ?? []).filter((/** @type {any} */ told) => !settled(told));
  const [first] = asked;
  const kinds = Object.keys(first?.choices ?? {}).length
    ? new Set(Object.values(first.choices).flatMap(Object.keys))
    : new Set();
  // What the first choice settles is not asked a second time.
  const others = asked
    .slice(1)
    .filter((/** @type {any} */ told) => !pathsOf(told).length || !pathsOf(told).every((path) => kinds.has(path)));
  return el(
    "section",
    { "aria-labelledby": "station" },
    el("h1", { id: "station", tabIndex: -1 }, "The job"),
    ...[first, ...others].filter(Boolean).map((told) => opening(session, told)),
  );
}

/** @param {any} told @returns {string[]} */
function pathsOf(told) {
  if (told.choices)
    return [...new Set(Object.values(told.choices).flatMap((one) => Object.keys(/** @type {any} */ (one))))];
  return told.facts ?? told.line ?? [];
}

/** @param {Session} session @param {any} told */
function opening(session, told) {
  if (told.choices) return asMany(session, { ask: told.ask, choices: told.choices, paths: pathsOf(told) });
  if (told.parts) return inParts(session, told);
  if (told.several) return told.items ? null : severally(session, told);
  if (told.words) return editions(session, told);
  const paths = pathsOf(told).filter((path) => stands(session, path));
  return el("div", {}, ...paths.map((path) => field(session, path)));
}

/** Whether a path is in the job: not one of an item that it does not have. @param {Session} session @param {string} path */
function stands(session, path) {
  const item = path.match(/^(.*?)\.\d+\./);
  return !item || (engine.itemsOf(session.opened, session.job, item[1]) ?? []).length > 0;
}

/**
 * One choice that says several facts.
 * @param {Session} session
 * @param {Choice} one
 */
export function asMany(session, one) {
  const said = el("p", { className: "said", role: "status" });
  const now = taken(session, one);
  const group = el("div", { className: "choices tall", role: "group", "aria-label": one.ask });
  for (const [word, facts] of Object.entries(one.choices)) {
    const choice = button(word, () => {
      const why = Object.keys(facts).length ? session.record(facts) : "";
      fill(said, why);
      if (!why)
        group
          .querySelectorAll("button")
          .forEach((other) => other.setAttribute("aria-pressed", String(other === choice)));
    });
    choice.setAttribute("aria-pressed", String(word === now));
    group.append(choice);
  }
  return el(
    "div",
    { className: "field", "data-path": one.paths[0] ?? "" },
    el("p", { className: "ask" }, one.ask),
    group,
    said,
  );
}

/** Whether the job says all of some facts. @param {Session} session @param {Record<string, any>} facts */
const isSo = (session, facts) =>
  Object.keys(facts).length > 0 && Object.keys(facts).length === agreeing(session, facts);

/**
 * How many of some facts the job says; -1 where it says one of them otherwise.
 * @param {Session} session
 * @param {Record<string, any>} facts
 */
function agreeing(session, facts) {
  const job = JSON.parse(session.text());
  const at = (/** @type {string} */ path) => path.split(".").reduce((around, step) => around?.[step], job);
  const said = Object.entries(facts).filter(([path]) => at(path) !== undefined);
  return said.every(([path, value]) => JSON.stringify(at(path)) === JSON.stringify(value)) ? said.length : -1;
}

/** The choice that the job says most of, and nothing against; empty where it says nothing of any. @param {Session} session @param {Choice} one */
function taken(session, { choices }) {
  const counts = Object.entries(choices).map(([word, facts]) => ({ word, many: agreeing(session, facts) }));
  const most = Math.max(0, ...counts.map(({ many }) => many));
  return (most > 0 && counts.find(({ many }) => many === most)?.word) || "";
}

/**
 * The choices of which all facts are still to be seen.
 * @param {Session} session
 * @param {string[]} open
 * @returns {Choice[]}
 */
export function openTogether(session, open) {
  /** @type {any[]} */
  const told = session.opened.commands.together ?? [];
  return told
    .filter((one) => one.choices)
    .map((one) => ({ ask: one.ask, choices: one.choices, paths: pathsOf(one) }))
    .filter(({ paths }) => paths.filter((path) => open.includes(path)).length > 1);
}

/** Several things of which those that apply are ticked. @param {Session} session @param {any} told */
function severally(session, told) {
  const said = el("p", { className: "said", role: "status" });
  const boxes = Object.entries(/** @type {Record<string, Record<string, any>>} */ (told.several)).map(
    ([word, facts]) => {
      const box = el("input", { type: "checkbox", checked: isSo(session, facts) });
      return { box, facts, label: el("label", { className: "tick" }, box, word) };
    },
  );
  const done = button("Done", () => {
    const facts = boxes.flatMap(({ box, facts: those }) =>
      Object.entries(those).map(([path, value]) => [path, box.checked ? value : !value]),
    );
    const why = session.record(Object.fromEntries(facts));
    const ticked = boxes.filter(({ box }) => box.checked).length;
    fill(said, why || (ticked ? `Noted: ${ticked} ticked, the others are no.` : "Noted: none of these."));
  });
  const ask = el("legend", { className: "ask" }, told.ask.replace(/\s*Type the numbers.*$/, ""));
  return el("fieldset", { className: "field" }, ask, ...boxes.map(({ label }) => label), done, said);
}

/** An answer in parts, such as the days of the permit: those that say enough are buttons, the others are typed. @param {Session} session @param {any} told */
function inParts(session, told) {
  const said = el("p", { className: "said", role: "status" });
  const record = (/** @type {Record<string, any>} */ facts) => fill(said, session.record(facts) || "Noted.");
  const rows = Object.entries(/** @type {Record<string, Record<string, any>>} */ (told.parts)).map(([word, facts]) => {
    const path = Object.keys(facts).find((one) => facts[one] === "answer");
    if (!path) return button(word, () => record(facts));
    return el("div", { className: "part" }, el("span", {}, word), partTyped(session, word, path, facts, said, record));
  });
  return el("div", { className: "field" }, el("p", { className: "ask" }, told.ask.split(":")[0]), ...rows, said);
}

/**
 * @param {Session} session
 * @param {string} word
 * @param {string} path
 * @param {Record<string, any>} facts
 * @param {HTMLElement} said
 * @param {(facts: Record<string, any>) => void} record
 */
function partTyped(session, word, path, facts, said, record) {
  const input = el("input", {
    type: "text",
    autocomplete: "off",
    "aria-label": word,
    value: engine.writtenAt(session.opened, session.job, path) ?? "",
  });
  input.addEventListener("change", () => {
    if (!input.value.trim()) return;
    const found = engine.answer(session.opened, session.job, path, input.value);
    if (found.facts) record({ ...facts, ...found.facts });
    else fill(said, found.refused ?? found.asks ?? "");
  });
  return input;
}

/** The editions that the office named, such as "2021 residential, 2023 electrical". @param {Session} session @param {any} told */
function editions(session, told) {
  const said = el("p", { className: "said", role: "status" });
  const input = el("input", { type: "text", autocomplete: "off", id: "editions", placeholder: told.example });
  input.addEventListener("change", () => {
    const found = engine.pairsTyped(told, input.value);
    if (found.refused) fill(said, found.refused);
    else if (found.facts[told.facts[0]].length) fill(said, session.record(found.facts) || "Noted.");
  });
  return el(
    "div",
    { className: "field" },
    el("label", { className: "ask", htmlFor: "editions" }, told.ask.replace(/\s*\(.*$/, "")),
    input,
    said,
  );
}
