/** A day as Americans write it: 9/14/2026, 9-14-26, Sep 14 2026, 2026-9-14; 04/2026 and 2019 are some day in it. */

import { dayNumber, daysIn, iso } from "./days.js";
import { LeafError } from "./units.js";

const IN_NUMBERS = /^(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d\d)$/;
const YEAR_FIRST = /^(\d{4})[/.-](\d{1,2})[/.-](\d{1,2})$/;
const MONTH_NAMED = /^([a-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})$/i;
const DAY_FIRST = /^(\d{1,2})(?:st|nd|rd|th)?[\s-]+([a-z]{3,9})\.?,?[\s-]+(\d{4})$/i;
const OF_A_MONTH = /^(?:(\d{1,2})[/-](\d{4})|(\d{4})[/-](\d{1,2})|([a-z]{3,9})\.?,?\s+(\d{4}))$/i;
const OF_A_YEAR = /^(?:19|20)\d\d$/;
const NO_YEAR = /^(?:\d{1,2}[/.-]\d{1,2}|[a-z]{3,9}\.?\s+\d{1,2}(?:st|nd|rd|th)?)$/i;
const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"]; // prettier-ignore
const PIVOT = 70; // two digits of a year: 26 is 2026, 98 is 1998

/**
 * A day as a job holds it, or two days between which it is; a text that is no day stays as it is.
 * @param {string} typed
 * @returns {any}
 * @throws {LeafError} It may mean several days, or there is no such day.
 */
export function day(typed) {
  const text = typed.trim();
  const numbers = (/** @type {RegExpExecArray} */ found) => found.slice(1).map(Number);
  let found = YEAR_FIRST.exec(text);
  if (found) return only(text, numbers(found)[0], numbers(found)[1], numbers(found)[2]);
  found = MONTH_NAMED.exec(text);
  if (found) return only(text, Number(found[3]), month(found[1]), Number(found[2]));
  found = DAY_FIRST.exec(text);
  if (found) return only(text, Number(found[3]), month(found[2]), Number(found[1]));
  found = IN_NUMBERS.exec(text);
  if (found) return inNumbers(text, Number(found[1]), Number(found[3]), year(found[4]));
  found = OF_A_MONTH.exec(text);
  if (found)
    return allOf(
      text,
      Number(found[2] ?? found[3] ?? found[6]),
      found[5] ? month(found[5]) : Number(found[1] ?? found[4]),
    );
  if (OF_A_YEAR.test(text)) return { between: [`${text}-01-01`, `${text}-12-31`] };
  if (NO_YEAR.test(text)) {
    throw new LeafError(`'${text}' does not say which year, or which day.`, "Write it as 9/14/2026, or as 9/2026.");
  }
  return text;
}

/** Some day from one to another. @param {string} first @param {string} last */
export function between(first, last) {
  const [low, high] = [day(first), day(last)];
  return { between: [low?.between?.[0] ?? low, high?.between?.[1] ?? high] };
}

/**
 * Month first. Day first only where it cannot be otherwise, and then it is asked.
 * @param {string} text
 * @param {number} first
 * @param {number} second
 * @param {number} inYear
 */
function inNumbers(text, first, second, inYear) {
  if (first > 12 && second <= 12 && second > 0 && first <= daysIn(inYear, second)) {
    const what = `'${text}': is ${first} ${MONTHS[second - 1]} ${String(inYear).padStart(4, "0")} meant?`;
    throw new LeafError(what, `The month comes first: ${second}/${first}/${inYear}.`);
  }
  return only(text, inYear, first, second);
}

/** @param {string} text @param {number} inYear @param {number} inMonth @param {number} number */
function only(text, inYear, inMonth, number) {
  if (!dayNumber(inYear, inMonth, number)) {
    throw new LeafError(`There is no day '${text}'.`, "Write it as month/day/year, such as 9/14/2026.");
  }
  return iso(inYear, inMonth, number);
}

/** @param {string} text @param {number} inYear @param {number} inMonth */
const allOf = (text, inYear, inMonth) => ({
  between: [only(text, inYear, inMonth, 1), iso(inYear, inMonth, daysIn(inYear, inMonth))],
});

/** The month that a name, or three letters and more of it, means; 0 for none. @param {string} name */
const month = (name) => MONTHS.findIndex((one) => one.toLowerCase().startsWith(name.toLowerCase())) + 1;

/** @param {string} written */
const year = (written) =>
  written.length === 4 ? Number(written) : Number(written) + (Number(written) < PIVOT ? 2000 : 1900);
