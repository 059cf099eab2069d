/** The screen of one station: what is still open there, core first, and what is recorded. */

import { engine } from "./engine.js";
import { card, failures } from "./cards.js";
import { button, counted, el, fill, line } from "./elements.js";
import { field } from "./fields.js";
import { whenLifted } from "./moves.js";
import { asMany, openTogether } from "./openings.js";

/** @typedef {import("./session.js").Session} Session */
/** @typedef {import("./engine.js").Open} Open */

export class Station {
  /**
   * @param {Session} session
   * @param {{name: string, heading: string}} station
   */
  constructor(session, station) {
    this.session = session;
    this.station = station;
    /** @type {Set<string>} The facts that have a field on this screen. */
    this.shown = new Set();
    this.wrong = el("div", { className: "wrong-here", "aria-live": "polite" });
    this.core = el("div");
    this.rest = el("div");
    this.restCount = el("summary");
    this.restAll = el("details", { className: "rest" }, this.restCount, this.rest);
    this.warning = el("div", { "aria-live": "polite" });
    this.done = el("p", { className: "done" });
    this.root = el(
      "section",
      { "aria-labelledby": "station" },
      el("h1", { id: "station", tabIndex: -1 }, station.heading),
      this.wrong,
      this.done,
      this.core,
      this.restAll,
      this.warning,
      this.recorded(),
    );
    this.update();
  }

  /** Bring the screen up to the job: fields that are there stay where they are, new ones come behind them. */
  update() {
    const { session } = this;
    const mine = openAt(session, this.station.name);
    const before = this.shown.size;
    for (const one of openTogether(
      session,
      mine.map(({ path }) => path),
    )) {
      if (one.paths.some((path) => this.shown.has(path))) continue;
      one.paths.forEach((path) => this.shown.add(path));
      const core = mine.some(({ path, core }) => core && one.paths.includes(path));
      this.group(core ? this.core : this.rest, "").append(asMany(session, one));
    }
    for (const one of mine) this.add(one);
    const wrong = failures(session).filter((one) => one.station === this.station.name);
    fill(this.wrong, ...wrong.map((one) => card(session, one)));
    const rest = mine.filter((one) => !one.core).length;
    const core = mine.length - rest;
    fill(this.restCount, `${rest ? counted(rest, "more thing") : "More things"} here, not core`);
    this.restAll.hidden = !this.rest.childElementCount;
    fill(this.done, core ? `${counted(core, "core thing")} to see here.` : "Nothing core is open here.");
    fill(
      this.warning,
      ...warnings(
        session,
        mine.map((one) => one.stage),
      ),
    );
    return this.shown.size !== before;
  }

  /** @param {Open} one */
  add(one) {
    if (this.shown.has(one.path)) return;
    this.shown.add(one.path);
    const heading = engine.sectionOf(this.session.opened, this.session.job, one.path);
    this.group(one.core ? this.core : this.rest, heading).append(field(this.session, one.path));
  }

  /**
   * The group of fields with a heading.
   * @param {HTMLElement} around
   * @param {string} heading
   */
  group(around, heading) {
    const there = [...around.children].find((one) => one.getAttribute("data-heading") === heading);
    if (there) return there;
    const made = el("div", { className: "group", "data-heading": heading }, heading ? el("h2", {}, heading) : null);
    around.append(made);
    return made;
  }

  /** What is recorded at this station, to be changed. */
  recorded() {
    const body = el("div");
    const here = () =>
      engine
        .recorded(this.session.opened, this.session.job)
        .filter((/** @type {any} */ one) => one.station === this.station.name);
    const shown = el("details", { className: "recorded" }, el("summary", {}, `Recorded here (${here().length})`), body);
    shown.addEventListener("toggle", () => {
      if (shown.open) fill(body, ...here().map((/** @type {any} */ one) => this.line(one)));
    });
    return shown;
  }

  /** @param {{path: string, title: string, written: string}} one */
  line(one) {
    const row = el("div", { className: "row" }, el("span", {}, one.title, ": ", el("b", {}, one.written)));
    const heading = engine.sectionOf(this.session.opened, this.session.job, one.path);
    row.append(
      button("Change", () =>
        whenLifted(() => fill(row, heading ? line(heading, "small") : null, field(this.session, one.path))),
      ),
    );
    return row;
  }
}

/**
 * What is open at a station, core first.
 * @param {Session} session
 * @param {string} name
 * @returns {Open[]}
 */
export const openAt = (session, name) => allOpen(session).filter((one) => one.station === name);

/** @type {WeakMap<object, Open[]>} */
const told = new WeakMap();

/** Everything that is open. @param {Session} session @returns {Open[]} */
export function allOpen(session) {
  const before = told.get(session.report);
  if (before) return before;
  const found = engine.openQuestions(session.opened, session.job, session.report, {});
  told.set(session.report, found);
  return found;
}

/**
 * The stations of a job at which something is open or recorded.
 * @param {Session} session
 * @returns {{name: string, heading: string}[]}
 */
export function stationsOf(session) {
  const there = new Set(allOpen(session).map((one) => one.station));
  for (const one of engine.recorded(session.opened, session.job)) there.add(one.station);
  return session.opened.about.stations.filter((/** @type {{name: string}} */ one) => there.has(one.name));
}

/**
 * What is not to be done yet: a step that hides or lets out what is still to be seen.
 * @param {Session} session
 * @param {number[]} [only] The stages to look at; all of them where none is named.
 */
export function warnings(session, only) {
  const { stages } = session.opened.about;
  return stages.flatMap((/** @type {any} */ stage, /** @type {number} */ n) => {
    if (!stage.not_yet || (only && !only.includes(n))) return [];
    const many = engine.openAt(session.opened, session.report, n).length;
    if (!many) return [];
    const text = `${stage.not_yet}: ${counted(many, "requirement waits", "requirements wait")} for what can be seen only until then.`;
    return [el("p", { className: "not-yet" }, el("b", {}, text), ` ${stage.caution}`)];
  });
}
