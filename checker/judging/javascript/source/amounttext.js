/** An amount as people write it, turned into one number and one unit: 12 lb 4 oz, 5'6", 1-1/8", 3-ton, 36k, 71 deg. */

import { asGeneral } from "./numbers.js";

const FRACTION = /^\s*(?:(\d+)[ -]\s*)?(\d+)\/(\d+)(?=\D|$)/;
const OF_AN_INCH = ["2", "4", "8", "16", "32", "64"];
/** @type {Record<string, string>} The one unit of each kind whose number may be a fraction. */
export const IN_FRACTIONS = { length: "inch", slope: "in_per_ft" };
/** @type {Record<string, string>} */
const QUOTES = { "’": "'", "′": "'", "‘": "'", "”": '"', "″": '"', "“": '"' };
const HYPHEN = /(\d)\s*-\s*(?=[\p{L}_])/gu;
const DEGREES = /\s*(?:°|deg(?:rees?)?\.?)\s*/i;
export const DEGREES_ALONE = new RegExp(`^(?:${DEGREES.source})$`, "i");
export const DIFFERENCE = /^\s*(?:±|\+\s*\/\s*-|\+-)\s*/;
export const IN_DEGREES = ["temperature", "temperature_difference"];
const PLAIN = "\\d+(?:\\.\\d+)?";
const LB_OZ = new RegExp(`^\\s*(\\d+)\\s*(?:lbs?|pounds?|#)\\.?[\\s,-]*(${PLAIN})\\s*(?:oz|ounces?)?\\.?\\s*$`, "i");
const FT_IN = new RegExp(
  `^\\s*(-?\\d+)\\s*(?:'|ft|feet|foot)\\.?[\\s,-]*((?:\\d+[ -])?\\d+/\\d+|${PLAIN})\\s*(?:"|''|in|inch|inches)?\\.?\\s*$`,
  "i",
);
export const BY_THE_THOUSAND = ["Btu_per_h"]; // units counted by the thousand: 36k, and 036 as in a model number
const THOUSANDS = new RegExp(`^\\s*(${PLAIN})\\s*k\\s*$`, "i");
export const CODE = /^\s*0(\d\d)\s*$/;

/** A number with a slash that is no fraction of an inch. */
export class NotOneNumber extends Error {}

/**
 * A text as one number and one unit, wherever it is a way to write them; else as it is.
 * @param {string} text
 * @param {string} kind
 * @param {string} declared The unit of a number without one.
 * @throws {NotOneNumber}
 */
export function plainAmount(text, kind, declared) {
  const told = text.replace(/[’′‘”″“]/g, (sign) => QUOTES[sign]).replace(HYPHEN, "$1 ");
  const compound = { mass: ofMass, length: ofLength, power: ofPower }[kind];
  return (compound && compound(told, declared)) || fraction(told, kind) || told;
}

/** A temperature without a degree sign that names no scale. @param {string} text @param {string} kind */
export function withoutDegrees(text, kind) {
  const found = IN_DEGREES.includes(kind) ? DEGREES.exec(text) : null;
  return found && found.index + found[0].length === text.length ? text.slice(0, found.index) : text;
}

/** Whether a number is too small for a unit that is counted by the thousand. @param {string} number */
export function few(number) {
  const amount = Math.abs(Number(number.replaceAll(",", "")));
  return !CODE.test(number) && !number.includes("/") && amount > 0 && amount < 1000;
}

/** @param {string} text */
export const isFraction = (text) => FRACTION.test(text);

/** @param {string} text @param {string} kind */
function fraction(text, kind) {
  const found = FRACTION.exec(text);
  return found ? asGeneral(inches(found, kind), 10) + text.slice(found[0].length) : "";
}

/** @param {RegExpExecArray} found @param {string} kind */
function inches([, whole, over, below], kind) {
  if (!(kind in IN_FRACTIONS) || !OF_AN_INCH.includes(below) || !(Number(over) > 0 && Number(over) < Number(below))) {
    throw new NotOneNumber();
  }
  return Number(whole ?? 0) + Number(over) / Number(below);
}

/** @param {string} text */
function ofMass(text) {
  const found = LB_OZ.exec(text);
  return found && Number(found[2]) < 16 ? `${asGeneral(Number(found[1]) + Number(found[2]) / 16, 10)} lb` : "";
}

/** @param {string} text @param {string} declared */
function ofLength(text, declared) {
  const found = FT_IN.exec(text);
  if (!found) return "";
  const whole = FRACTION.exec(found[2]);
  const part = whole && whole[0].length === found[2].length ? whole : null;
  const over = part ? inches(part, "length") : Number(found[2]);
  if (over >= 12) return "";
  const total = 12 * Math.abs(Number(found[1])) + over;
  const sign = found[1].startsWith("-") ? "-" : "";
  return declared === "ft" ? `${sign}${asGeneral(total / 12, 10)} ft` : `${sign}${asGeneral(total, 10)} in`;
}

/** @param {string} text @param {string} declared */
function ofPower(text, declared) {
  const found = THOUSANDS.exec(text) ?? CODE.exec(text);
  return found && BY_THE_THOUSAND.includes(declared) ? `${asGeneral(Number(found[1]) * 1000, 10)} ${declared}` : "";
}
