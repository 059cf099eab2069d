/** What stands on top of every screen: rules that are old, an edition that came since, answers that are not kept. */

import { el } from "./elements.js";

const YEAR = 365;
const FIRST_DAY_OF_1970 = 719163; // as day numbers count, 1 being the first of January of the year 1

/** The day number of an ISO day. @param {string} day */
const numberOf = (day) => Math.round(Date.parse(`${day}T00:00:00Z`) / 86_400_000) + FIRST_DAY_OF_1970;

/** The ISO day of a day number. @param {number} number */
const dayOf = (number) => new Date((number - FIRST_DAY_OF_1970) * 86_400_000).toISOString().slice(0, 10);

/** Today on this phone. */
export function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((one) => String(one).padStart(2, "0")).join("-");
}

/**
 * What is to know of the age of this page's rules.
 * @param {string} made The day on which the page was made.
 * @param {string} day
 * @param {{code: string, edition: string, day: number}[]} calendar
 * @returns {string[]}
 */
export function ageNotices(made, day, calendar) {
  const [then, now] = [numberOf(made), numberOf(day)];
  const found = [];
  if (now < then)
    found.push(`This phone says that today is ${day}, before this page was made (${made}). Set its date.`);
  if (now - then > YEAR) found.push(`The rules on this page are of ${made}, more than a year old. Get a new page.`);
  const since = calendar.filter((one) => one.day > then && one.day <= now);
  const told = new Set(since.map((one) => `${one.code} ${one.edition} is in force here since ${dayOf(one.day)}`));
  for (const one of told) found.push(`${one}, after this page was made (${made}). Get a new page.`);
  return found;
}

/** @param {string[]} texts */
export const bars = (texts) => texts.map((text) => el("p", { className: "notice", role: "alert" }, text));
