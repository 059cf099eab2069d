/**
 * What may stand in a typed line: an amount, a word of a list, a label with its value, a reading with its time. An item is
 * a run of the pieces of a text that says something.
 */

import { DIFFERENCE } from "./amounttext.js";
import { readLeaf } from "./factreader.js";
import { around, folded, nameOf } from "./texts.js";
import { PARTS, Pieces } from "./typedpieces.js";
import { BARE, Unclear, alike, valueOf, valuesOf } from "./typedinput.js";
import { LeafError } from "./units.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./vocabulary.js").Leaf} Leaf */
/** @typedef {Record<string, any>} Facts */
/**
 * What is typed on one line, as the job schema says.
 * @typedef {{example: string, labels: Record<string, string[]>, phrases: Record<string, Facts>, plain: string[], aside: string[], rows: string}} Line
 */
/**
 * A run of pieces up to `end`: what it says, or for what has no label of its own, which facts it may say.
 * @typedef {object} Item
 * @property {string} text
 * @property {number} end
 * @property {number} cost The less, the plainer.
 * @property {Facts} facts
 * @property {Record<string, Facts>} mayBe
 * @property {boolean} bare
 * @property {string[]} meanings The values of a list that a part of a word may mean.
 * @property {boolean} aside
 */

const TELLS = [":", "=", "-", "is", "of", "at", "@", "was", "read", "reads", "~"]; // between a label and its value
const FILLS = [...TELLS, "the", "a", "an", "and", "on", "by", "with", "x", "&", "+", "/", "|", "(", ")", ".", "to", "it", "in", "#"]; // prettier-ignore
const WORDS = 14; // pieces of the longest text, such as a model number
const AFTER = ["after", "at", "@"]; // between a reading and its time
const LATER = [...TELLS, "later", "in"];
const NOT_ALONE = ["none", "other", "yes", "no"]; // a value of many lists: it needs its label
const SIZED = /#|no\.?\s|awg|ga|\d\s*[-/]\s*\d/i;
const SIGNED = "0123456789.+-±#";

// How plain each way to read a run of pieces is: the least counts.
export const LOST = 100;
const [PARTLY, BARE_NUMBER, AMOUNT, ASIDE, WORD, PHRASE, LABELED, FILL] = [20, 3, 1.5, 1.3, 1.2, 1.1, 1, 0.4];
const [GLUED, OTHER_UNIT] = [-0.01, 0.02]; // a label without a blank; a unit that is not the fact's own

/** Whether two values of facts are the same. @param {any} one @param {any} other */
export const alikeValues = (one, other) => JSON.stringify(one) === JSON.stringify(other);

/** The values of a list are numbers, such as sizes. @param {Leaf} leaf */
const inDigits = (leaf) => /^\d/.test(leaf.possible[0]);

/** Finds the items of one text. */
export class Finder extends Pieces {
  /** @param {Line} line @param {Vocabulary} vocabulary @param {string} text */
  constructor(line, vocabulary, text) {
    super(text);
    this.line = line;
    this.vocabulary = vocabulary;
    /** @type {Map<string, string[]>} The facts of each label, in the order of the line. */
    this.labels = new Map();
    for (const [path, words] of Object.entries(line.labels)) {
      for (const word of words) this.labels.set(alike(word), [...(this.labels.get(alike(word)) ?? []), path]);
    }
    /** @type {Map<string, Leaf>} */
    this.leaves = new Map(Object.keys(line.labels).map((path) => [path, this.bare(path)]));
    /** @type {Map<string, Facts>} */
    this.known = new Map();
    this.phrases = new Map(Object.entries(line.phrases).map(([words, said]) => [alike(words), said]));
    this.aside = line.aside.map(alike);
    this.row = [...vocabulary.leaves.values()].filter((leaf) => line.rows && leaf.path.startsWith(`${line.rows}.`));
  }

  /** A fact without the labels of the line, which are found apart from its value. @param {string} path */
  bare(path) {
    const leaf = /** @type {Leaf} */ (this.vocabulary.leaf(path));
    return { ...leaf, labels: leaf.labels.filter((word) => !this.labels.has(alike(word))) };
  }

  /** @param {string} path */
  leaf(path) {
    return /** @type {Leaf} */ (this.leaves.get(path));
  }

  /** Everything that the pieces from here on may say. @param {number} at @returns {Generator<Item>} */
  *itemsAt(at) {
    const piece = this.pieces[at];
    if (PARTS.includes(piece)) {
      yield this.item(at, at + 1, 0);
      return;
    }
    const fills = FILLS.includes(folded(piece)) && !(piece === "/" && this.betweenDigits(at));
    yield this.item(at, at + 1, fills ? FILL : LOST);
    yield* this.rows(at);
    for (const end of this.ends(at)) {
      const words = alike(this.slice(at, end));
      if (this.aside.includes(words)) yield this.item(at, end, ASIDE, {}, { aside: true });
      const phrase = this.phrases.get(words);
      if (phrase && !asks(phrase)) yield this.item(at, end, PHRASE, { ...phrase });
      if (phrase || this.labels.has(words)) yield* this.labelFirst(at, end, words);
      yield* this.unlabeled(at, end);
    }
    yield* this.partly(at);
  }

  /** @param {number} at @param {number} end @param {number} cost @param {Facts} [facts] @param {Partial<Item>} [more] @returns {Item} */
  item(at, end, cost, facts = {}, more = {}) {
    return { text: this.slice(at, end), end, cost, facts, mayBe: {}, bare: false, meanings: [], aside: false, ...more };
  }

  // --- labels ---

  /** A label and its value, or its values: RLA 14.1. @param {number} at @param {number} end @param {string} words @returns {Generator<Item>} */
  *labelFirst(at, end, words) {
    const begin = this.past(end, TELLS);
    const of = this.labels.get(words) ?? [];
    for (const last of this.ends(begin)) {
      const glued = this.spans[end - 1][1] === this.spans[last - 1][0];
      for (const [facts, mayBe] of this.labeled(words, begin, last)) {
        const cost = LABELED + (glued ? GLUED : 0) + this.otherUnit(facts);
        yield this.item(at, last, cost, facts, { mayBe });
        yield* this.more(at, last, words, facts);
        yield* this.saidTwice(at, last, cost, facts);
      }
      const said = this.phrases.get(alike(this.slice(begin, last))) ?? {};
      const paths = Object.keys(said);
      if (paths.length && paths.every((path) => of.includes(path)) && !asks(said))
        yield this.item(at, last, LABELED, { ...said });
    }
    if (of.some((path) => this.leaf(path).form === "text")) yield* this.textAfter(at, begin, words);
    yield* this.inOrder(at, begin, words);
  }

  /** Two numbers with a slash between, behind a label of two facts: suction 130/52. @param {number} at @param {number} begin @param {string} words @returns {Generator<Item>} */
  *inOrder(at, begin, words) {
    const both = (this.labels.get(words) ?? []).filter((path) => !this.leaf(path).either_way);
    const slash = begin + 1;
    if (both.length !== 2 || slash + 1 >= this.pieces.length || this.pieces[slash] !== "/") return;
    const first = this.reads(both[0], begin, slash);
    if (!some(first)) return;
    for (const last of this.ends(slash + 1)) {
      const second = this.reads(both[1], slash + 1, last);
      if (some(second) && BARE.test(this.slice(slash + 1, last)))
        yield this.item(at, last, LABELED, { ...first, ...second });
    }
  }

  /** More values behind a label of several facts: liquid 320 psi 98 F. @param {number} at @param {number} end @param {string} words @param {Facts} facts @returns {Generator<Item>} */
  *more(at, end, words, facts) {
    const begin = this.past(end, ["/"]);
    const count = Object.keys(facts).length;
    if (!count || (this.labels.get(words) ?? []).length <= count) return;
    for (const last of this.ends(begin)) {
      for (const [more] of this.labeled(words, begin, last)) {
        if (!some(more) || Object.keys(more).some((path) => path in facts)) continue;
        const both = { ...facts, ...more };
        yield this.item(at, last, LABELED + 0.1 * (Object.keys(both).length - 1), both);
        yield* this.more(at, last, words, both);
      }
    }
  }

  /** A value with a label before it and another of the same fact behind it: comp 14.1 RLA. @param {number} at @param {number} end @param {number} cost @param {Facts} facts @returns {Generator<Item>} */
  *saidTwice(at, end, cost, facts) {
    if (!some(facts)) return;
    for (const last of this.ends(end)) {
      const of = this.labels.get(alike(this.slice(end, last))) ?? [];
      if (of.some((path) => path in facts)) yield this.item(at, last, cost, facts);
    }
  }

  /** What it costs that amounts are written in units that are not the facts' own. @param {Facts} facts */
  otherUnit(facts) {
    const others = Object.entries(facts).filter(([path, value]) => {
      const leaf = this.leaves.get(path);
      return (
        leaf?.form === "quantity" &&
        typeof value === "string" &&
        readLeaf(this.vocabulary.units, leaf, value).unit !== leaf.unit
      );
    });
    return OTHER_UNIT * others.length;
  }

  /** What a value says beside a label, or which facts of the label it may be. @param {string} words @param {number} at @param {number} end @returns {[Facts, Record<string, Facts>][]} */
  labeled(words, at, end) {
    const said = this.phrases.get(words) ?? {};
    const answered = Object.keys(said).filter((path) => said[path] === "answer");
    if (answered.length) {
      const [one] = Object.values(this.reads(answered[0], at, end));
      if (one === undefined) return [];
      return [
        [Object.fromEntries(Object.entries(said).map(([path, told]) => [path, told === "answer" ? one : told])), {}],
      ];
    }
    let found = (this.labels.get(words) ?? []).map(
      (path) => /** @type {[string, Facts]} */ ([path, this.reads(path, at, end)]),
    );
    found = found.filter(([, facts]) => some(facts));
    const signed = DIFFERENCE.test(this.slice(at, end));
    const fit = found.filter(([path]) => this.leaf(path).either_way === signed);
    if (fit.length) found = fit;
    if (found.length === 1) return [[found[0][1], {}]];
    return found.length ? [[{}, Object.fromEntries(found)]] : [];
  }

  /** A text up to the next label: serial NV26-0318842. @param {number} at @param {number} begin @param {string} words @returns {Generator<Item>} */
  *textAfter(at, begin, words) {
    const path = /** @type {string[]} */ (this.labels.get(words)).filter((one) => this.leaf(one).form === "text")[0];
    for (const last of this.ends(begin, WORDS)) {
      for (let start = begin; start < last; start += 1) if (this.labels.has(alike(this.slice(start, last)))) return;
      yield this.item(at, last, LABELED + 0.5 - 0.01 * (last - begin), { [path]: this.slice(begin, last) });
    }
  }

  // --- values ---

  /** The facts that a run of pieces says of a fact and of the one beside it; none where it cannot be that. @param {string} path @param {number} at @param {number} end @returns {Facts} */
  reads(path, at, end) {
    if (!this.whole(at)) return {};
    const key = `${path} ${this.slice(at, end)}`;
    let found = this.known.get(key);
    if (!found) {
      found = this.read(path, this.slice(at, end));
      this.known.set(key, found);
    }
    return found;
  }

  /** @param {string} path @param {string} text @returns {Facts} */
  read(path, text) {
    const leaf = this.leaf(path);
    if (leaf.form === "text") return {};
    const found = tried(() => valuesOf(this.vocabulary.units, leaf, text)) ?? {};
    return Object.fromEntries(
      Object.entries(found).map(([name, value]) => [[around(path), name].filter(Boolean).join("."), value]),
    );
  }

  /** An amount or a word, by itself or with its label behind it. @param {number} at @param {number} end @returns {Generator<Item>} */
  *unlabeled(at, end) {
    const text = this.slice(at, end);
    const bare = BARE.test(text);
    const asked = [...this.leaves.keys()].filter(
      (path) => this.line.plain.includes(path) || (!bare && this.looks(path, at, text)),
    );
    const fits = asked
      .filter((path) => this.alone(path, text, bare))
      .map((path) => /** @type {[string, Facts]} */ ([path, this.reads(path, at, end)]))
      .filter(([, facts]) => some(facts));
    if (fits.length) {
      const word = !/^\d/.test(text) && !".+-±#".includes(text[0]);
      const cost = word
        ? WORD
        : bare
          ? BARE_NUMBER
          : AMOUNT + Math.min(...fits.map(([, facts]) => this.otherUnit(facts)));
      yield this.item(at, end, cost, {}, { mayBe: Object.fromEntries(fits), bare });
    }
    const begin = this.past(end, ["-", ":"]);
    for (const last of this.ends(begin)) {
      const words = alike(this.slice(begin, last));
      if (!this.labels.has(words) && !asks(this.phrases.get(words) ?? {})) continue;
      const glued = this.spans[end - 1][1] === this.spans[end][0];
      for (const [facts, mayBe] of this.labeled(words, at, end)) {
        yield this.item(at, last, LABELED + (glued ? GLUED : 0) + this.otherUnit(facts), facts, { mayBe });
      }
    }
  }

  /** Whether a text looks like a value of a fact. @param {string} path @param {number} at @param {string} text */
  looks(path, at, text) {
    const leaf = this.leaf(path);
    if (leaf.form === "choice" && !inDigits(leaf)) {
      return [...leaf.possible, ...Object.keys(leaf.said)].some((word) => alike(word) === alike(text));
    }
    return SIGNED.includes(this.pieces[at][0]) || leaf.form === "choice" || leaf.form === "date";
  }

  /** Whether a text may be a value of a fact without its label. @param {string} path @param {string} text @param {boolean} bare */
  alone(path, text, bare) {
    const leaf = this.leaf(path);
    if (leaf.either_way) return !bare && (DIFFERENCE.test(text) || leaf.kind === "number");
    if (leaf.form === "choice")
      return bare || (!inDigits(leaf) && !NOT_ALONE.includes(folded(text))) || SIZED.test(text);
    return leaf.form === "quantity" || leaf.form === "date" || (bare && leaf.form === "count");
  }

  /** A word that is a part of values, or one that may mean several. @param {number} at @returns {Generator<Item>} */
  *partly(at) {
    for (const end of this.ends(at, 3)) {
      const text = this.slice(at, end);
      if ([...text].length <= 2 || FILLS.includes(folded(text))) continue;
      const choices = [...this.leaves.values()].filter((leaf) => leaf.form === "choice" && !inDigits(leaf));
      const meanings = [...new Set(choices.flatMap((leaf) => this.meanings(leaf, text)))];
      if (meanings.length) yield this.item(at, end, PARTLY, {}, { meanings });
    }
  }

  /** @param {Leaf} leaf @param {string} text @returns {string[]} */
  meanings(leaf, text) {
    try {
      valueOf(this.vocabulary.units, leaf, text);
    } catch (error) {
      if (error instanceof Unclear) return error.candidates.map((one) => one.replaceAll("_", " "));
      if (!(error instanceof LeafError)) throw error;
    }
    return [];
  }

  // --- readings with their times ---

  /** A reading with its time: after 10 min 520, 520 after 10 min. @param {number} at @returns {Generator<Item>} */
  *rows(at) {
    if (!this.row.length) return;
    const [first, reading] = this.row;
    const begin = AFTER.includes(folded(this.pieces[at])) ? at + 1 : at;
    for (const middle of this.ends(begin)) {
      const time = this.of(first, begin, middle, true);
      const later = this.past(middle, LATER);
      for (const end of time ? this.ends(later) : []) {
        const value = this.of(reading, later, end);
        if (value) yield this.inRow(at, end, time, value);
      }
      const value = this.of(reading, at, middle);
      const after = middle < this.pieces.length && AFTER.includes(folded(this.pieces[middle]));
      for (const end of value && after ? this.ends(middle + 1) : []) {
        const behind = this.of(first, middle + 1, end, true);
        if (behind) yield this.inRow(at, end, behind, value);
      }
    }
  }

  /** @param {number} at @param {number} end @param {string} time @param {string} value */
  inRow(at, end, time, value) {
    const [first, second] = this.row.map((leaf) => nameOf(leaf.path));
    return this.item(at, end, LABELED, { [this.line.rows]: { [first]: time, [second]: value } });
  }

  /** An amount of a reading; nothing where it is none, or has no unit and needs one. @param {Leaf} leaf @param {number} at @param {number} end @param {boolean} [unit] */
  of(leaf, at, end, unit = false) {
    const text = this.slice(at, end);
    if (!this.whole(at) || (unit && BARE.test(text))) return "";
    return String(tried(() => valueOf(this.vocabulary.units, leaf, text)) ?? "");
  }
}

/** Whether words ask for the value beside them. @param {Facts} said */
const asks = (said) => Object.values(said).includes("answer");

/** @param {Facts} facts */
const some = (facts) => Object.keys(facts).length > 0;

/** What is read, or null where it cannot be that. @param {() => any} read */
function tried(read) {
  try {
    return read();
  } catch (error) {
    if (error instanceof LeafError) return null;
    throw error;
  }
}
