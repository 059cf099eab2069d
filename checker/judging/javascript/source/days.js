/** Days as day numbers: the first of January of the year 1 is 1. */

const DAY = 86_400_000;
const BEFORE_1970 = 719_163;

/**
 * The day number of a date; 0 where there is no such day.
 * @param {number} year
 * @param {number} month
 * @param {number} day
 */
export function dayNumber(year, month, day) {
  const date = new Date(0);
  date.setUTCFullYear(year, month - 1, day);
  const same = date.getUTCFullYear() === year && date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
  return same && year > 0 ? date.getTime() / DAY + BEFORE_1970 : 0;
}

/** The day number of `2026-05-04`; 0 for what is no such text, or no day. @param {any} text */
export function dayOf(text) {
  const found = typeof text === "string" ? /^(\d{4})-(\d\d)-(\d\d)$/.exec(text) : null;
  return found ? dayNumber(Number(found[1]), Number(found[2]), Number(found[3])) : 0;
}

/** How many days a month has. @param {number} year @param {number} month */
export const daysIn = (year, month) => [31, 30, 29, 28].find((day) => dayNumber(year, month, day)) ?? 0;

/** @param {number} year @param {number} month @param {number} day */
export function iso(year, month, day) {
  const [four, two, last] = [String(year).padStart(4, "0"), ...[month, day].map((one) => String(one).padStart(2, "0"))];
  return `${four}-${two}-${last}`;
}
