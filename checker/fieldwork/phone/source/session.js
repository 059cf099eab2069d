/**
 * One job at work: each answer is judged at once, kept at once, and can be taken back.
 *
 * `kept` is what the phone holds, `job` that with the answers which are still on their way there. Where another tab wrote in
 * between, they are put into what that tab kept: nothing that anybody typed is lost.
 */

import { engine } from "./engine.js";
import { NotKept } from "./store.js";

/** @typedef {import("./engine.js").Facts} Facts */
/** @typedef {import("./engine.js").Read} Read */
/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./store.js").Kept} Kept */
/** @typedef {(job: any) => Read} Change */

export class Session {
  /**
   * @param {any} opened The rules of the place.
   * @param {Store|null} store Nothing where the browser keeps nothing.
   * @param {Kept} kept The job as it is kept; its number is 0 where it is not yet.
   * @param {any} job The same, read.
   * @param {string} day
   */
  constructor(opened, store, kept, job, day) {
    this.opened = opened;
    this.store = store;
    this.id = kept.id;
    this.number = kept.number;
    this.day = day;
    this.kept = job;
    /** @type {Change[]} */
    this.waiting = [];
    this.notKept = store ? "" : "This browser keeps nothing of this page.";
    /** @type {Set<() => void>} */
    this.hearers = new Set();
    this.writing = Promise.resolve();
    this.set(job);
  }

  /** @param {any} job */
  set(job) {
    this.job = job;
    this.report = engine.judge(this.opened, job, this.day);
  }

  /**
   * Record an answer.
   * @param {Facts} facts
   * @param {{ticked?: boolean}} [how]
   * @returns {string} Why it cannot be recorded; empty where it is.
   */
  record(facts, how = {}) {
    return this.change((job) => engine.withFacts(this.opened, job, facts, how));
  }

  /** Take a fact out. @param {string} path */
  forget(path) {
    return this.change((job) => engine.without(this.opened, job, path));
  }

  /** @param {Change} change */
  change(change) {
    const read = change(this.job);
    if (read.problems) return told(read.problems);
    if (engine.writeJob(read.job) === this.text()) return ""; // it says so already
    this.waiting.push(change);
    this.set(read.job);
    this.tell();
    this.keep();
    return "";
  }

  /** Keep a job that came from elsewhere, as it is. */
  keepAsItIs() {
    this.waiting.push((job) => ({ job }));
    this.keep();
  }

  /** Keep what is not kept yet. @returns {Promise<void>} */
  keep() {
    this.writing = this.writing.then(() => this.keepAll()).then(() => this.tell());
    return this.writing;
  }

  async keepAll() {
    try {
      while (this.store && this.waiting.length) {
        const read = this.waiting[0](this.kept);
        if (!read.job)
          this.waiting.shift(); // another tab took out what it was about
        else await this.keepOne(this.store, read.job);
      }
      if (this.store) this.notKept = "";
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      this.notKept = error.message;
    }
  }

  /** @param {Store} store @param {any} job */
  async keepOne(store, job) {
    const text = engine.writeJob(job);
    const kept = await store.keep(this.id, text, this.number);
    if (kept.text === text) {
      this.waiting.shift();
      [this.kept, this.number] = [job, kept.number];
    } else this.takeOver(kept);
  }

  /** Go on from what another tab kept. @param {Kept} kept */
  takeOver(kept) {
    const read = engine.readJob(this.opened, kept.text);
    if (!read.job) throw new NotKept("Another tab holds this job in a form that this page cannot read.");
    [this.kept, this.number] = [read.job, kept.number];
    this.set(this.waiting.reduce((job, change) => change(job).job ?? job, this.kept));
  }

  /** Look whether another tab changed the job, and take over what it kept. */
  async look() {
    await this.writing;
    const there = await this.store?.job(this.id);
    if (!there || there.number === this.number) return;
    this.takeOver(there);
    this.tell();
  }

  /** Take the last answer back. @returns {Promise<boolean>} Whether there was one. */
  async undo() {
    await this.writing;
    if (this.waiting.pop()) {
      this.set(this.waiting.reduce((job, change) => change(job).job ?? job, this.kept));
    } else {
      const kept = await this.store?.undo(this.id);
      if (!kept) return false;
      this.takeOver(kept);
    }
    this.tell();
    return true;
  }

  tell() {
    for (const hears of this.hearers) hears();
  }

  /** The job file, byte for byte as the command line writes it. @returns {string} */
  text() {
    return engine.writeJob(this.job);
  }
}

/** @param {import("./engine.js").Problem[]} problems */
export const told = (problems) => problems.map((one) => `${one.what} ${one.hint}`.trim()).join(" ");
