/**
 * The authority's acceptance of a failing rule, as a job notes it: `checker/findings/acceptances.py` tells when one stands.
 */

import { dateOf } from "./functions.js";
import { FAIL, conditionsOf } from "./judge.js";
import { asFloat, settled } from "./numbers.js";
import { factsRead } from "./references.js";
import { sha256OfText } from "./sha256.js";
import { byCode, quoted } from "./texts.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./findings.js").Finding} Finding */
/** @typedef {{key: string, accepted_by: string, reference: string, until: string, standing: string}} Acceptance */

export const STANDS = "stands";
const FIELDS = ["rule", "finding_id", "evidence_digest", "accepted_by", "reference"];
/** @type {Record<string, string>} */
const DAYS = { accepted_on: "a day on which it was given", until: "a last day" };
const DIGITS = 16; // of a digest, which are kept

/** Looks at the acceptances of one job. */
export class Acceptances {
  /**
   * @param {import("./program.js").Program} program
   * @param {Vocabulary} vocabulary
   * @param {Job} job
   * @param {Record<string, string>} doubts
   * @param {number} on The day of the check.
   */
  constructor(program, vocabulary, job, doubts, on) {
    this.program = program;
    this.vocabulary = vocabulary;
    this.job = job;
    this.doubts = doubts;
    this.on = on;
    this.keys = job.lists[vocabulary.at("acceptances")] ?? [];
  }

  /**
   * The acceptances of findings by their places, and a note for each that does not stand or was renamed.
   * @param {Finding[]} all
   * @returns {{accepted: Map<number, Acceptance>, notes: string[]}}
   */
  among(all) {
    /** @type {Map<number, Acceptance>} */
    const accepted = new Map();
    /** @type {string[]} */
    const notes = [];
    const places = this.keys.length ? this.places(all) : new Map();
    this.keys.forEach((key, index) => {
      const { at, former } = places.get(this.text(index, "finding_id")) ?? { at: -1, former: "" };
      const standing = this.lacking(index) || this.unfit(index, all[at]) || this.byDay(index) || STANDS;
      if (at >= 0 && all[at].outcome === FAIL && accepted.get(at)?.standing !== STANDS) {
        const [accepted_by, reference] = ["accepted_by", "reference"].map((field) => this.text(index, field));
        accepted.set(at, { key, accepted_by, reference, until: this.reading(index, "until")?.written ?? "", standing });
      }
      if (standing !== STANDS) notes.push(`The acceptance '${key}' does not count: ${standing}.`);
      if (former)
        notes.push(
          `The acceptance '${key}' was given under the rule's former name, ${former}; now ${all[at].rule.id}.`,
        );
    });
    return { accepted, notes };
  }

  /** Where each finding stands, by its id and by the ids it had under the former names of its rule. @param {Finding[]} all */
  places(all) {
    /** @type {Map<string, {at: number, former: string}>} */
    const found = new Map();
    all.forEach(({ rule, item }, at) => {
      for (const former of rule.formerly) {
        const id = findingId(this.job.id, former, item);
        if (!found.has(id)) found.set(id, { at, former });
      }
    });
    all.forEach(({ rule, item }, at) => found.set(findingId(this.job.id, rule.id, item), { at, former: "" }));
    return found;
  }

  /** @param {number} index @param {string} field */
  reading(index, field) {
    return this.job.readings[this.vocabulary.at(`acceptances.${field}`, index)];
  }

  /** @param {number} index @param {string} field */
  text(index, field) {
    const value = this.reading(index, field)?.value;
    return typeof value === "string" ? value : "";
  }

  /** @param {number} index */
  lacking(index) {
    const lacking = FIELDS.filter((field) => !this.text(index, field)).map((field) => field.replaceAll("_", " "));
    for (const [field, said] of Object.entries(DAYS)) {
      if (typeof this.reading(index, field)?.value !== "number") lacking.push(said);
    }
    return lacking.length ? `it lacks ${lacking.join(", ")}` : "";
  }

  /** Why an acceptance cannot be of what it names, whatever the day. @param {number} index @param {Finding|undefined} finding */
  unfit(index, finding) {
    if (!finding) return "it names no finding of this job";
    const { rule } = finding;
    const named = this.text(index, "rule");
    if (named !== rule.id && !rule.formerly.includes(named))
      return `it names the rule ${named}, and a finding of ${rule.id}`;
    if (finding.outcome !== FAIL) return "the rule does not fail";
    if (rule.acceptable_by === "none") return "no office can accept this one";
    if (rule.acceptable_by === "state" && this.text(index, "office_level") !== "state") {
      return "only a state office can accept this one, and it doesn't say that one did";
    }
    return this.evidenceDigest(finding) === this.text(index, "evidence_digest")
      ? ""
      : "what it was given for has changed since";
  }

  /** @param {number} index */
  byDay(index) {
    const [given, until] = Object.keys(DAYS).map((field) => this.reading(index, field).value);
    if (this.on < given) return `it was given on ${dateOf(given)}, after the day of this check`;
    return this.on > until ? `its last day was ${dateOf(until)}` : "";
  }

  /** The digest of the date that counts, the facts that the rule names and what it asks. @param {Finding} finding */
  evidenceDigest({ rule, judged }) {
    const facts = factsRead(conditionsOf(rule), judged.scope).map((path) => {
      const told = this.told(path, "unrecorded");
      return [this.byKeys(path), path in this.doubts ? `doubted: ${told}` : told];
    });
    const date = JSON.stringify(this.told(this.program.dates[rule.id], "None"));
    const sorted = [...new Map(/** @type {[string, string][]} */ (facts))].sort(([a], [b]) => byCode(a, b));
    const named = sorted.map(([name, told]) => `${JSON.stringify(name)}:${JSON.stringify(told)}`).join(",");
    return digest(`{"date":${date},"facts":{${named}},"meaning":${JSON.stringify(rule.meaning)}}`);
  }

  /** A value as evidence is bound by it: as Python shows it. @param {string} path @param {string} otherwise */
  told(path, otherwise) {
    const reading = this.job.readings[path];
    if (!reading) return otherwise;
    const { value } = reading;
    if (value === null) return "Nothing()";
    if (typeof value === "boolean") return value ? "True" : "False";
    if (typeof value === "string") return quoted(value);
    if (typeof value === "object") {
      const cause = `Cause(reason='date_unknown', fact=${quoted(path)}, detail='')`;
      return `Range(low=${value.low}, high=${value.high}, causes=frozenset({${cause}}))`;
    }
    return this.vocabulary.leaf(path)?.form === "date" ? String(value) : asFloat(settled(value));
  }

  /** A path with the keys of list items in the place of their positions. @param {string} path */
  byKeys(path) {
    const parts = path.split(".");
    return parts
      .map((part, index) =>
        /^\d{1,6}$/.test(part) ? (this.job.lists[parts.slice(0, index).join(".")]?.[Number(part)] ?? part) : part,
      )
      .join("/");
  }
}

/** The digest of job, rule and item. @param {string} job @param {string} rule @param {string} item */
export function findingId(job, rule, item) {
  const [own, named, of] = [item, job, rule].map((one) => JSON.stringify(one));
  return digest(`{"item":${own},"job":${named},"rule":${of}}`);
}

/** @param {string} text */
const digest = (text) => sha256OfText(text).slice(0, DIGITS);
