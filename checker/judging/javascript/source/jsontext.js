/** JSON read so that it can be written again as it was: each key once, numbers as they stood, and where each part stands. */

import { byCode, Float, isGroup, numberText } from "./texts.js";

const MOST_DEPTH = 40;
const SPACE = /[ \t\n\r]*/y;
const TEXT = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
const NUMBER = /-?(?:0|[1-9]\d*)(\.\d+)?([eE][-+]?\d+)?/y;
const WORD = /true|false|null/y;
const MOST_DIGITS = 20;
const HALF = /[\ud800-\udfff]/u; // half of a character, alone
// Signs that steer a screen or turn the order of letters, as `checker/problems/json_out.py` lists them.
const STEERING =
  /[\x7f-\x9f\xad\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]|[\u{110bd}\u{110cd}\u{13430}-\u{1343f}\u{1bca0}-\u{1bca3}\u{1d173}-\u{1d17a}\u{e0000}-\u{e007f}]/gu;

/** @typedef {(string|number)[]} At A place in a text, by names and list positions; "=" at its end is the name itself. */
/** @typedef {{at: At, line: number, what: string, hint: string}} Problem */

/** A text that is no job, with everything that is wrong with it. */
export class ProblemsFound extends Error {
  /** @param {Problem[]} problems */
  constructor(problems) {
    super(problems.map((one) => `${one.what} ${one.hint}`).join("\n"));
    this.problems = problems;
  }
}

/** What stands in a text of JSON, and the lines on which it does. */
export class JsonDocument {
  /**
   * @param {string} text
   * @throws {ProblemsFound}
   */
  constructor(text) {
    this.text = text;
    this.at = 0;
    /** @type {Map<string, number>} Where each part begins, by its place. */
    this.places = new Map();
    /** @type {{at: At, name: string}[]} */
    this.twice = [];
    this.data = this.value([], 0);
    this.space();
    if (this.at < text.length)
      this.refuse("There is something after the end of the job.", "A file holds one job: take the rest out.");
    if (this.twice.length)
      throw new ProblemsFound(
        this.inOrder(
          this.twice.map(({ at, name }) =>
            this.problem([...at, name, "="], `'${name}' is here twice.`, "Keep one of the two."),
          ),
        ),
      );
  }

  /** @param {At} at @param {number} depth @returns {any} */
  value(at, depth) {
    this.space();
    this.places.set(at.join("\u0000"), this.at);
    if (depth > MOST_DEPTH) this.refuse(`Nested more than ${MOST_DEPTH} deep.`, "Look for a bracket too many.");
    const sign = this.text[this.at];
    if (sign === "{") return this.group(at, depth);
    if (sign === "[") return this.list(at, depth);
    if (sign === '"') return this.string();
    const word = this.matched(WORD);
    if (word) return word[0] === "null" ? null : word[0] === "true";
    const number = this.matched(NUMBER);
    if (number) return this.number(number);
    return this.refuse(
      "A value is missing here, or a text is without its double quotes.",
      'Write "text", a number, true or false.',
    );
  }

  /** @param {RegExpExecArray} found */
  number([written, part, power]) {
    const value = Number(written);
    const whole = part === undefined && power === undefined;
    if (!Number.isFinite(value) || (whole && written.length > MOST_DIGITS)) {
      this.refuse(
        `${written.slice(0, 20)} is not a number that can be judged.`,
        'Write the reading, or {"not_known": "why"}.',
      );
    }
    if (whole) return value === 0 ? 0 : value;
    return Number.isInteger(value) ? new Float(value) : value;
  }

  string() {
    const found = this.matched(TEXT);
    if (!found)
      return this.refuse(
        "The text that begins here is not closed, or holds a sign that no text has.",
        'End it with ", and write it on one line.',
      );
    const text = /** @type {string} */ (JSON.parse(found[0]));
    if (HALF.test(text)) this.refuse("The text ends in half a character.", "Type it again.");
    return text;
  }

  /** @param {At} at @param {number} depth */
  group(at, depth) {
    /** @type {Record<string, any>} */
    const found = Object.create(null);
    this.parts("}", () => {
      const begin = this.at;
      if (this.text[begin] !== '"')
        this.refuse(
          "A name in double quotes is missing here.",
          'Write "name": value, and no comma after the last one.',
        );
      const name = this.string();
      this.space();
      if (this.text[this.at] !== ":") this.refuse("A colon is missing after the name.", 'Write "name": value.');
      this.at += 1;
      if (Object.hasOwn(found, name) && !this.twice.some((one) => one.name === name && one.at.join() === at.join()))
        this.twice.push({ at, name });
      this.places.set([...at, name, "="].join("\u0000"), begin);
      found[name] = this.value([...at, name], depth + 1);
    });
    return found;
  }

  /** @param {At} at @param {number} depth */
  list(at, depth) {
    /** @type {any[]} */
    const found = [];
    this.parts("]", () => found.push(this.value([...at, found.length], depth + 1)));
    return found;
  }

  /** @param {string} end @param {() => void} part */
  parts(end, part) {
    this.at += 1;
    this.space();
    if (this.text[this.at] === end) {
      this.at += 1;
      return;
    }
    for (;;) {
      this.space();
      part();
      this.space();
      if (this.text[this.at] === end) break;
      if (this.text[this.at] !== ",")
        this.refuse(
          "A comma or a closing bracket is missing before this.",
          "Each entry of a group but the last ends in a comma.",
        );
      this.at += 1;
    }
    this.at += 1;
  }

  space() {
    this.matched(SPACE);
  }

  /** @param {RegExp} what */
  matched(what) {
    what.lastIndex = this.at;
    const found = what.exec(this.text);
    if (found) this.at += found[0].length;
    return found;
  }

  /** @param {string} what @param {string} hint @returns {never} */
  refuse(what, hint) {
    const told = `This is not JSON: ${what[0].toLowerCase()}${what.slice(1)}`;
    const own = what.startsWith("Nested") || what.includes("judged") || what.includes("half a");
    throw new ProblemsFound([{ at: [], line: this.lineOf(this.at), what: own ? what : told, hint }]);
  }

  /** @param {number} at */
  lineOf(at) {
    return this.text.slice(0, at).split("\n").length;
  }

  /** Where a part begins; where it is missing, the nearest around it. @param {At} at @returns {number} */
  begins(at) {
    const found = this.places.get(at.join("\u0000"));
    return found !== undefined ? found : at.length ? this.begins(at.slice(0, -1)) : -1;
  }

  /** @param {At} at @param {string} what @param {string} hint @returns {Problem} */
  problem(at, what, hint) {
    return { at, line: this.lineOf(this.begins(at)), what, hint };
  }

  /** Problems in the order of the text, each once. @param {Problem[]} problems */
  inOrder(problems) {
    const seen = new Set();
    return problems
      .filter((one) => {
        const key = `${this.begins(one.at)} ${one.what} ${one.hint}`;
        return !seen.has(key) && seen.add(key);
      })
      .sort((a, b) => this.begins(a.at) - this.begins(b.at) || byCode(a.what, b.what));
  }
}

/**
 * A job as the text of its file: two blanks a step, an end of line behind it.
 * @param {any} data
 */
export const writtenJob = (data) => `${indented(data, "")}\n`;

/** @param {any} data @param {string} before @returns {string} */
function indented(data, before) {
  const step = `${before}  `;
  if (Array.isArray(data))
    return bracketed(
      "[",
      data.map((one) => indented(one, step)),
      "]",
      before,
    );
  if (isGroup(data)) {
    return bracketed(
      "{",
      Object.entries(data).map(([name, one]) => `${onOneLine(name)}: ${indented(one, step)}`),
      "}",
      before,
    );
  }
  return onOneLine(data);
}

/** @param {string} open @param {string[]} parts @param {string} close @param {string} before */
function bracketed(open, parts, close, before) {
  return parts.length
    ? `${open}\n${parts.map((one) => `${before}  ${one}`).join(",\n")}\n${before}${close}`
    : open + close;
}

/** Plain data on one line, with blanks behind commas and colons. @param {any} data @returns {string} */
export function onOneLine(data) {
  if (Array.isArray(data)) return `[${data.map(onOneLine).join(", ")}]`;
  if (isGroup(data))
    return `{${Object.entries(data)
      .map(([name, one]) => `${onOneLine(name)}: ${onOneLine(one)}`)
      .join(", ")}}`;
  if (typeof data === "string") return JSON.stringify(data).replace(STEERING, escaped);
  return data === null || typeof data === "boolean" ? String(data) : numberText(data);
}

/** @param {string} sign */
const escaped = (sign) =>
  sign
    .split("")
    .map((half) => `\\u${half.charCodeAt(0).toString(16).padStart(4, "0")}`)
    .join("");
