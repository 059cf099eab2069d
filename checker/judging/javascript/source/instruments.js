/** The accuracy of each reading: of the instrument the job names, else of what the rulesets give for that kind of reading. */

import { DIFFERENCE_OF } from "./amounts.js";
import { total } from "./numbers.js";
import { combined } from "./uncertainty.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./uncertainty.js").Accuracy} Accuracy */

export class Instruments {
  /**
   * @param {Vocabulary} vocabulary
   * @param {Job} job
   * @param {Record<string, [number, number]>} given What the rulesets give, by kind of reading: an amount, and a share.
   */
  constructor(vocabulary, job, given) {
    this.vocabulary = vocabulary;
    this.job = job;
    this.given = given;
    this.keys = job.lists[vocabulary.at("instruments")] ?? [];
    /** @type {Map<string, Accuracy|null|false>} */
    this.known = new Map();
    /** @type {[string, number][][]} For each instrument the kinds and amounts of its stated accuracies. */
    this.stated = this.keys.map(() => []);
    for (const [path, { value }] of Object.entries(job.readings)) this.note(path, value);
  }

  /** @param {string} path @param {any} value */
  note(path, value) {
    const listed = `${this.vocabulary.at("instruments")}.`;
    if (!this.keys.length || !path.startsWith(listed) || typeof value !== "number") return;
    const { form, kind, path: fact } = /** @type {Leaf} */ (this.vocabulary.leaf(path));
    if (form === "quantity" && kind !== "number" && fact !== this.vocabulary.at("instruments.span")) {
      this.stated[Number(path.slice(listed.length).split(".")[0])].push([kind, Math.abs(value)]);
    }
  }

  /** How accurate a reading is; null: measured, but unstated; false: not measured. @param {string} path @returns {Accuracy|null|false} */
  of(path) {
    const found = this.known.get(path);
    if (found !== undefined) return found;
    const made = this.made(path);
    this.known.set(path, made);
    return made;
  }

  /** @param {string} path @returns {Accuracy|null|false} */
  made(path) {
    const leaf = this.vocabulary.leaf(path);
    const reading = this.job.readings[path];
    if (!leaf?.measured || !reading || typeof reading.value !== "number" || leaf.form === "date") return false;
    if (reading.addedFrom.length) return ofSum(reading.addedFrom.map((part) => this.of(part)));
    const index = this.instrumentAt(reading.instrument, leaf.measured);
    const half = index < 0 ? null : this.halfWidth(index, leaf.kind, reading.value);
    if (half !== null) return { half_width: half, instrument: this.keys[index] };
    if (!Object.hasOwn(this.given, leaf.measured)) return null;
    const [fixed, share] = this.given[leaf.measured];
    return { half_width: fixed + share * Math.abs(reading.value), instrument: leaf.measured };
  }

  /** The position of the instrument a reading names, or of the only one of its kind; -1 where there is none. @param {string} named @param {string} measured */
  instrumentAt(named, measured) {
    if (named) return this.keys.indexOf(named);
    const ofKind = this.keys.flatMap((_, index) => (this.value("instruments.kind", index) === measured ? [index] : []));
    return ofKind.length === 1 ? ofKind[0] : -1;
  }

  /** @param {string} role @param {number} index */
  value(role, index) {
    return this.job.readings[this.vocabulary.at(role, index)]?.value;
  }

  /** The fixed part in the kind's own difference, and the part of the reading. @param {number} index @param {string} kind @param {number} amount */
  halfWidth(index, kind, amount) {
    const difference = DIFFERENCE_OF[kind] ?? kind;
    const parts = this.stated[index].filter(([of]) => of === difference).map(([, part]) => part);
    const [share, ofSpan, span] = ["accuracy_of_reading", "accuracy_of_span", "span"].map((role) =>
      this.value(`instruments.${role}`, index),
    );
    if (typeof share === "number") parts.push(Math.abs(share * amount));
    if (typeof ofSpan === "number" && typeof span === "number") parts.push(Math.abs(ofSpan * span));
    return parts.length ? total(parts) : null;
  }
}

/** The accuracy of readings added up: those of one instrument may all be off the same way (JCGM 100, 5.2.2). @param {(Accuracy|null|false)[]} parts */
function ofSum(parts) {
  const known = /** @type {Accuracy[]} */ (parts.filter(Boolean));
  if (known.length < parts.length) return parts.includes(null) ? null : false;
  return {
    half_width: combined(known.map((part) => [part.instrument, part.half_width])),
    instrument: known[0].instrument,
  };
}
