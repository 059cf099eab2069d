/**
 * The page for the roof: asks by station, judges at once, keeps the job, and needs no network.
 *
 * The rules of the place stand in the page, deflated. Which screen is shown stands behind the # of the address, so that the
 * back button of the phone goes back one screen.
 */

import { button, el, fill, line } from "./elements.js";
import { engine } from "./engine.js";
import { inflated } from "./inflated.js";
import { jobs } from "./jobs.js";
import { watchFingers, whenLifted } from "./moves.js";
import { ageNotices, bars, today } from "./notices.js";
import { openingScreen } from "./openings.js";
import { digestsOf, pictures } from "./pictures.js";
import { Session, told } from "./session.js";
import { Station, stationsOf } from "./station.js";
import { Store } from "./store.js";
import { inShort, verdicts } from "./verdicts.js";
import { walk } from "./walk.js";

/** @typedef {import("./store.js").Kept} Kept */

class Page {
  /** @param {any} opened @param {Store|null} store @param {any} facts What was written into the page as it was made. */
  constructor(opened, store, facts) {
    this.opened = opened;
    this.store = store;
    this.facts = facts;
    /** @type {Session|null} */
    this.session = null;
    /** @type {Station|null} */
    this.station = null;
    this.refused = ""; // why the job that was asked for last cannot be judged here
    this.top = el("div", { className: "top" });
    this.main = el("main");
    this.bar = el("nav", { className: "bar", "aria-label": "Job" });
    fill(document.body, this.top, this.main, this.bar, el("footer", {}, line(facts.deferral, "small")));
    addEventListener("hashchange", () => this.show());
    document.addEventListener("visibilitychange", () => document.hidden || this.session?.look());
    addEventListener("focus", () => this.session?.look());
  }

  /** Where the address leads: the job, and the screen of it. @returns {[string, string]} */
  where() {
    const [job = "", ...screen] = location.hash.slice(1).split("/").map(decodeURIComponent);
    return [job, screen.join("/")];
  }

  /** @param {string} screen */
  go(screen) {
    location.hash = `${encodeURIComponent(this.session?.id ?? "")}/${screen}`;
  }

  async show() {
    const [id, screen] = this.where();
    if (id && this.session?.id !== id) await this.take(id);
    if (!id) this.session = null;
    this.station = null;
    fill(this.main, id && this.session ? this.screen(screen) : await this.jobs());
    this.around();
    scrollTo(0, 0);
    /** @type {HTMLElement|null} */ (this.main.querySelector("h1"))?.focus({ preventScroll: true });
  }

  /** Go on with a job that the phone keeps. @param {string} id */
  async take(id) {
    const kept = await this.store?.job(id);
    if (kept) await this.begin(kept);
    else if (this.session?.id !== id) this.session = null;
  }

  /** @param {Kept} kept */
  async begin(kept) {
    this.session = null;
    this.opened.pictures = await digestsOf(this.store, kept.id);
    const read = engine.readJob(this.opened, kept.text);
    try {
      if (read.problems) throw new Error(told(read.problems));
      this.session = new Session(this.opened, this.store, kept, read.job, today());
      this.session.hearers.add(() => whenLifted(() => this.refresh()));
    } catch (error) {
      this.refused = `${kept.id} cannot be judged on this page: ${error instanceof Error ? error.message : error}`;
      this.around();
    }
  }

  async jobs() {
    const kept = (await this.store?.jobs()) ?? [];
    return jobs(this.opened, this.store, kept, this.facts.begins, (job) => this.start(job, kept));
  }

  /** Begin with a job that was chosen, and keep it if it is new. @param {Kept} job @param {Kept[]} kept */
  async start(job, kept) {
    this.refused = "";
    await this.begin(job);
    if (!this.session) return;
    const there = kept.find((one) => one.id === job.id);
    if (there?.text !== job.text) this.session.keepAsItIs();
    this.go(there ? "" : "start");
  }

  /** @param {string} screen */
  screen(screen) {
    const session = /** @type {Session} */ (this.session);
    const go = (/** @type {string} */ to) => this.go(to);
    if (screen === "start") return openingScreen(session);
    if (screen === "told") return verdicts(session, this.facts);
    if (screen === "pictures") return pictures(session);
    const station = stationsOf(session).find((one) => `at/${one.name}` === screen);
    if (!station) return walk(session, go);
    this.station = new Station(session, station);
    return this.station.root;
  }

  /** After an answer: the bars, and what the screen now asks. */
  refresh() {
    this.station?.update();
    this.around();
  }

  /** What stands on top of and below every screen. */
  around() {
    const { session } = this;
    const age = ageNotices(this.facts.made, today(), this.opened.about.calendar);
    const kept = session?.notKept ?? (this.store ? "" : "This browser keeps nothing of this page.");
    const lost = kept
      ? [`${kept} The last answers are on this screen only: save the job file before you close it.`]
      : [];
    fill(this.top, ...bars([this.refused, ...age, ...lost].filter(Boolean)));
    fill(this.bar, ...(session ? this.buttons(session) : []));
    this.bar.hidden = !session;
  }

  /** @param {Session} session */
  buttons(session) {
    const [, screen] = this.where();
    const steps = ["start", ...stationsOf(session).map((one) => `at/${one.name}`), "told"];
    const next = steps[steps.indexOf(screen) + 1] ?? "";
    return [
      button(inShort(session, screen.startsWith("at/") ? screen.slice(3) : ""), () => this.go("told"), {
        className: "verdict",
        "aria-live": "polite",
      }),
      button("Undo", async () => (await session.undo()) && this.show()),
      button(screen ? "All stations" : "Jobs", () => (screen ? this.go("") : (location.hash = ""))),
      button("Next", () => this.go(next), { className: "next" }),
    ];
  }
}

/** Read what stands in the page, and begin. */
async function begin() {
  const [written, rules] = ["page", "rules"].map((id) => document.getElementById(id)?.textContent ?? "");
  fill(document.body, line("Reading the rules…"));
  try {
    const facts = JSON.parse(written);
    const opened = engine.open(await inflated(rules));
    const store = await Store.open(`changeout ${facts.key}`).catch(() => null);
    watchFingers();
    if (facts.worker) navigator.serviceWorker?.register(facts.worker).catch(() => null);
    navigator.storage?.persist?.().catch(() => null);
    await new Page(opened, store, facts).show();
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    fill(document.body, el("p", { className: "notice" }, `This page cannot work in this browser: ${why}`));
  }
}

begin();
