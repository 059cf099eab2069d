/** What a page and the tests call. */

import { remark, result } from "./functions.js";
import { asFixed, asFloat, asGeneral, erfc } from "./numbers.js";
import { OutOfRange } from "./outofrange.js";

export { answer } from "./answers.js";
export { pairsTyped } from "./openinganswers.js";
export { openAt, openQuestions } from "./openquestions.js";
export { unpacked } from "./packed.js";
export { judge, newJob, open, readJob, withFacts, without, words, writeJob } from "./opened.js";
export { loaded, notKnown } from "./program.js";
export { itemsOf, question, recorded, rowsOf, sectionOf, writtenAt } from "./screens.js";
export { sha256 } from "./sha256.js";
export { cautionsOf, citedOf } from "./telling.js";
export { answered, outcomesOf, read, reportOf, told, typed, typedLines } from "./vectors.js";

/**
 * A function on several rows of arguments: each result with what it says of itself, or what is said where it serves them not.
 * @param {import("./program.js").Program} program
 * @param {string} name
 * @param {any[][]} rows
 * @param {Record<string, any>} tables
 */
export function workedOut(program, name, rows, tables) {
  return rows.map((values) => {
    try {
      return [result(program, name, values, tables), remark(program, name, values)];
    } catch (error) {
      if (error instanceof OutOfRange) return error.message;
      throw error;
    }
  });
}

/**
 * Numbers as they are written in details: general, fixed and whole.
 * @param {number[]} numbers
 * @param {number} figures
 * @param {number} places
 */
export function written(numbers, figures, places) {
  return numbers.map((number) => [asGeneral(number, figures), asFixed(number, places), asFloat(number)]);
}

/** @param {number[]} numbers */
export const errors = (numbers) => numbers.map(erfc);
