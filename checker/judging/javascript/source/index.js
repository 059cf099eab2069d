/** What a page and the tests call. */

import { asFixed, asFloat, asGeneral, erfc } from "./numbers.js";

export { result } from "./functions.js";
export { loaded, notKnown } from "./program.js";
export { told } from "./vectors.js";

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
