/**
 * What a job takes over from a manufacturer's sheets and a contractor's profile: `checker/reading/inherited` tells how. A fact
 * that the job records itself always wins, and what is taken over says where it comes from.
 */

import { low } from "./amounts.js";
import { settled } from "./numbers.js";
import { ProblemsFound } from "./jsontext.js";
import { pattern } from "./scope.js";
import { folded, nameOf } from "./texts.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./factreader.js").Reading} Reading */
/**
 * @typedef {object} Sheet
 * @property {string} id
 * @property {string} maker
 * @property {string} part
 * @property {string[]} models
 * @property {boolean} doubtful
 * @property {string} mark What stands behind a value taken from it.
 * @property {string} origin
 * @property {string} source
 * @property {string} place
 * @property {Record<string, Reading>} facts
 */
/** @typedef {{readings: Record<string, Reading>, lists: Record<string, string[]>}} Profile */
/** @typedef {{profile: Profile|null, sheets: Sheet[], place: string, settings: string}} Inherited */

const FROM_PROFILE = "from the profile";

/**
 * A job with the facts that it does not record itself out of the profile and the sheets, and with notes of them.
 * @param {Vocabulary} vocabulary
 * @param {Job} job
 * @param {Inherited} inherited
 * @returns {Job}
 * @throws {ProblemsFound} A model is of two sheets, or an instrument is another thing in the profile than in the job.
 */
export function withInherited(vocabulary, job, { profile, sheets, place, settings }) {
  let found = profile ? new FromProfile(vocabulary, job, profile).made() : job;
  const at = vocabulary.at("place");
  if (place && !found.readings[at]) {
    const reading = {
      value: place,
      written: place,
      unit: "",
      digits: 0,
      instrument: "",
      origin: "from the settings",
      addedFrom: [],
    };
    found = { ...found, readings: { ...found.readings, [at]: reading } };
  }
  if (sheets.length) found = new FromSheets(vocabulary, found, sheets).made();
  return settings ? { ...found, notes: [settings, ...found.notes] } : found;
}

/** The facts of a job and those it takes over, with what is to be said of them. */
class Merging {
  /** @param {Vocabulary} vocabulary @param {Job} job */
  constructor(vocabulary, job) {
    this.vocabulary = vocabulary;
    this.typed = job;
    this.readings = { ...job.readings };
    this.notKnown = { ...job.notKnown };
    this.lists = { ...job.lists };
    /** @type {string[]} */
    this.notes = [];
  }

  /** Take a fact that the job does not record; one that it notes as not known is known now. @param {string} path @param {Reading} reading */
  take(path, reading) {
    this.readings[path] = reading;
    const why = this.notKnown[path];
    if (why === undefined) return;
    delete this.notKnown[path];
    this.notes.push(`${this.named(path)}: noted as not known (${why}); used is ${reading.written} ${reading.origin}.`);
  }

  /** A fact for people: its title, and the keys of the list items it is in. @param {string} path */
  named(path) {
    const steps = path.split(".");
    const keys = steps.flatMap((step, at) => {
      const listed = this.lists[steps.slice(0, at).join(".")];
      return /^\d{1,6}$/.test(step) && listed ? [listed[Number(step)]] : [];
    });
    return this.vocabulary.title(path) + (keys.length ? ` [${keys.join("/")}]` : "");
  }

  /** What the job itself says in a word. @param {string} path */
  text(path) {
    const value = this.typed.readings[path]?.value;
    return typeof value === "string" ? value : "";
  }

  /** @param {string[]} [before] Notes that stand before the others. @returns {Job} */
  job(before = []) {
    const notes = [...this.typed.notes, ...before, ...this.notes];
    return { ...this.typed, readings: this.readings, notKnown: this.notKnown, lists: this.lists, notes };
  }

  /** @param {string} what @param {string} hint @returns {never} */
  refuse(what, hint) {
    throw new ProblemsFound([{ at: [], line: 0, what, hint }]);
  }
}

/** Whether two readings are worth the same, in whatever unit they were written. @param {Reading} one @param {Reading} other */
function same({ value: one }, { value: other }) {
  if (typeof one === "number" && typeof other === "number") return settled(one) === settled(other);
  return JSON.stringify(one) === JSON.stringify(other);
}

class FromProfile extends Merging {
  /** @param {Vocabulary} vocabulary @param {Job} job @param {Profile} profile */
  constructor(vocabulary, job, profile) {
    super(vocabulary, job);
    this.profile = profile;
  }

  made() {
    const said = [...new Set(this.plain().map(low))];
    const editions = this.adopted();
    const instruments = this.instruments();
    if (editions.length) said.push(`editions in force as told (${editions.join(", ")})`);
    if (instruments.length) said.push(`instruments (${instruments.join(", ")})`);
    return this.job(said.length ? [`Inherited from the profile: ${said.join(", ")}.`] : []);
  }

  /** The titles of the facts outside of lists that are taken over. */
  plain() {
    return Object.entries(this.profile.readings).flatMap(([path, reading]) => {
      if (pattern(path) !== path || path === "schema_version" || path in this.readings) return [];
      this.take(path, { ...reading, origin: FROM_PROFILE });
      return [this.vocabulary.title(path)];
    });
  }

  /** The facts of a list item of the profile, by their paths inside it. @param {string} path @returns {[string, Reading][]} */
  item(path) {
    return Object.entries(this.profile.readings).flatMap(([inside, reading]) =>
      inside.startsWith(`${path}.`) ? [[inside.slice(path.length + 1), { ...reading, origin: FROM_PROFILE }]] : [],
    );
  }

  /** Editions told as adopted, each as a whole: who told it belongs to what was told. */
  adopted() {
    const listed = this.vocabulary.at("adopted");
    const code = nameOf(this.vocabulary.at("adopted.code"));
    const keys = [...(this.lists[listed] ?? [])];
    const codes = keys.map((_, index) => this.text(this.vocabulary.at("adopted.code", index)));
    const taken = (this.profile.lists[listed] ?? []).filter((key, index) => {
      const item = this.item(this.vocabulary.at("adopted", index));
      const told = item.find(([inside]) => inside === code)?.[1].value;
      if (keys.includes(key) || (told !== undefined && codes.includes(told))) return false;
      keys.push(key);
      for (const [inside, reading] of item)
        this.take(`${this.vocabulary.at("adopted", keys.length - 1)}.${inside}`, reading);
      return true;
    });
    if (keys.length) this.lists[listed] = keys;
    return taken;
  }

  /** Instruments come together by their keys. */
  instruments() {
    const listed = this.vocabulary.at("instruments");
    const keys = [...(this.lists[listed] ?? [])];
    const own = this.profile.lists[listed] ?? [];
    own.forEach((key, index) => {
      if (!keys.includes(key)) keys.push(key);
      for (const [inside, reading] of this.item(this.vocabulary.at("instruments", index))) {
        const path = `${this.vocabulary.at("instruments", keys.indexOf(key))}.${inside}`;
        const typed = this.typed.readings[path];
        if (!typed) this.take(path, reading);
        else if (!same(typed, reading)) this.twoInstruments(key, path, typed, reading);
      }
    });
    if (keys.length) this.lists[listed] = keys;
    return own;
  }

  /** @param {string} key @param {string} path @param {Reading} typed @param {Reading} reading @returns {never} */
  twoInstruments(key, path, typed, reading) {
    const title = low(this.vocabulary.title(path));
    return this.refuse(
      `Instrument '${key}', ${title}: ${reading.written} in the profile, ${typed.written} in job ${this.typed.id}.`,
      "If it is one instrument, make them the same; if not, give one another key.",
    );
  }
}

class FromSheets extends Merging {
  /** @param {Vocabulary} vocabulary @param {Job} job @param {Sheet[]} sheets */
  constructor(vocabulary, job, sheets) {
    super(vocabulary, job);
    this.sheets = sheets;
    this.equipment = vocabulary.told.commands.equipment ?? { parts: {} };
    /** @type {Map<string, number>} Facts taken, by the sources of the sheets. */
    this.taken = new Map();
  }

  made() {
    const fitting = Object.keys(this.equipment.parts).map((part) => this.fitting(part));
    for (const found of fitting) if (found.length > 1) this.twoSheets(found);
    /** @type {Map<string, [Sheet, Reading][]>} */
    const offers = new Map();
    for (const sheet of fitting.flat()) {
      for (const [path, reading] of this.values(sheet))
        offers.set(path, [...(offers.get(path) ?? []), [sheet, reading]]);
    }
    for (const [path, of] of offers) this.offer(path, of);
    const facts = [...this.taken].map(
      ([source, n]) => `Inherited from ${source}: ${n} fact${n > 1 ? "s" : ""} that the job does not record.`,
    );
    return this.job(facts);
  }

  /** The sheets of a part's model and, where the job records one, of its maker. @param {string} part */
  fitting(part) {
    const { title, model: modelAt, maker: makerAt } = this.equipment.parts[part];
    const [model, maker] = [modelAt, makerAt].map((path) => this.text(path));
    const ofModel = this.sheets.filter(
      (sheet) => model && sheet.part === part && sheet.models.some((one) => fits(one, model)),
    );
    const ofMaker = ofModel.filter((sheet) => !maker || folded(maker) === folded(sheet.maker));
    if (model && !ofModel.length) this.notes.push(`No manufacturer's sheet is for the ${title} ${model}.`);
    for (const sheet of ofMaker.length ? [] : ofModel) {
      this.notes.push(
        `The ${title} ${model} is by ${maker} in the job; ${sheet.source} is from another manufacturer and not used.`,
      );
    }
    return ofMaker;
  }

  /** @param {Sheet[]} found @returns {never} */
  twoSheets([first, second]) {
    const { title, model } = this.equipment.parts[first.part];
    const what = `The ${title} ${this.text(model)} of job ${this.typed.id} fits two sheets: '${second.id}' here, and '${first.id}' at ${first.place}.`;
    return this.refuse(what, "Narrow the models of one of them, or record the manufacturer in the job.");
  }

  /** What a sheet says of this job's unit, by the full paths of the facts; nothing where it is doubtful. @param {Sheet} sheet */
  values(sheet) {
    const found = this.placed(sheet);
    if (!sheet.doubtful) return found;
    const unused = found
      .filter(([path]) => !(path in this.readings))
      .map(([path, { written }]) => `${this.named(path)} ${written}`);
    if (unused.length) this.notes.push(`Doubtful and not used: ${sheet.source}. It says: ${unused.join(", ")}.`);
    return [];
  }

  /** @param {Sheet} sheet @returns {[string, Reading][]} */
  placed(sheet) {
    const { prefix } = this.equipment;
    const ofItem = (/** @type {string} */ path) => Boolean(prefix) && path.startsWith(prefix);
    const facts = Object.entries(sheet.facts);
    const own = facts.some(([path]) => ofItem(path)) ? this.own(sheet) : "";
    return facts.flatMap(([path, reading]) => {
      if (!ofItem(path)) return [[path, reading]];
      return own ? [[`${own}.${path.slice(prefix.length)}`, reading]] : [];
    });
  }

  /** The one list item of which a sheet speaks; nothing where that cannot be told. @param {Sheet} sheet */
  own(sheet) {
    const { own: listed, by, prefix, parts } = this.equipment;
    const part = parts[sheet.part];
    const field = by.slice(listed.length + 1);
    const items = (this.lists[listed] ?? []).map((_, index) => `${listed}.${index}`);
    const found = items.filter((item) => this.text(`${item}.${field}`) === (part.serves ?? ""));
    const inDoubt = Boolean(part.unless) && this.typed.readings[part.unless]?.value !== false;
    if (!found.length || (!inDoubt && found.length === 1)) return found[0] ?? "";
    const why = inDoubt ? part.why : "it has several";
    this.notes.push(
      `Plate values of the ${part.title}'s ${prefix.replace(/\.+$/, "")} are not taken from ${sheet.source}: ${why}.`,
    );
    return "";
  }

  /** Take what the sheets say of a fact where the job records nothing and they agree. @param {string} path @param {[Sheet, Reading][]} offers */
  offer(path, offers) {
    const typed = this.typed.readings[path];
    const [[sheet, reading], ...others] = offers;
    if (typed) this.compare(path, typed, offers);
    else if (others.every(([, other]) => same(reading, other))) {
      this.take(path, {
        ...reading,
        written: `${reading.written} (manufacturer's sheet${sheet.mark})`,
        origin: sheet.origin,
      });
      this.taken.set(sheet.source, (this.taken.get(sheet.source) ?? 0) + 1);
    } else {
      const said = offers.map(([one, { written }]) => `${written} ${one.origin}`).join("; ");
      this.notes.push(`${this.named(path)}: manufacturers' sheets differ, and none is used: ${said}.`);
    }
  }

  /** Say where a sheet is of another mind than the job; free text is not compared. @param {string} path @param {Reading} typed @param {[Sheet, Reading][]} offers */
  compare(path, typed, offers) {
    if (this.vocabulary.leaf(path)?.form === "text") return;
    for (const [sheet, reading] of offers) {
      if (same(typed, reading)) continue;
      this.notes.push(
        `${this.named(path)}: ${typed.written} in the job, ${reading.written} ${sheet.origin}. The job's is used.`,
      );
    }
  }
}

/** Whether a whole model number is of a pattern: * any run, ? one sign, # one digit. @param {string} models @param {string} model */
function fits(models, model) {
  let [at, run, star, back] = [0, 0, -1, 0];
  const [wanted, told] = [folded(models), folded(model)];
  while (at < told.length) {
    const sign = wanted[run];
    if (sign === "*") [star, back, run] = [run, at, run + 1];
    else if (run < wanted.length && (sign === "?" || sign === told[at] || (sign === "#" && /\d/.test(told[at]))))
      [at, run] = [at + 1, run + 1];
    else if (star < 0) return false;
    else [at, run, back] = [back + 1, star + 1, back + 1];
  }
  return [...wanted.slice(run)].every((sign) => sign === "*");
}
