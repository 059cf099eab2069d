/**
 * Numbers as Python writes them, decimals rounded half to even: the same text in every reader.
 */

/** @typedef {{negative: boolean, digits: string, point: number}} Decimal The number is 0.digits times 10 to the power `point`. */

/** Digits that a scale shows of a unit: ounces make more of them. @type {Record<string, number>} */
export const MOST_DIGITS = { lb: 2 };

/** Digits that an amount is written with where nobody says how many. @param {string} unit */
export const usualDigits = (unit) => MOST_DIGITS[unit] ?? 4;

const EXACT = 100; // digits that tell of any number of the trade all that rounding asks

/** The sum of numbers, one after the other. @param {number[]} numbers */
export const total = (numbers) => numbers.reduce((so_far, number) => so_far + number, 0);

/** @param {number[]} numbers */
export const mean = (numbers) => total(numbers) / numbers.length;

/** The standard deviation of a sample of two at least. @param {number[]} numbers */
export function deviation(numbers) {
  const middle = mean(numbers);
  return Math.sqrt(total(numbers.map((number) => (number - middle) * (number - middle))) / (numbers.length - 1));
}

/**
 * A number out of the text that JavaScript writes of it.
 * @param {string} text
 * @returns {Decimal}
 */
function decimalOf(text) {
  const [, sign, whole, part = "", power = "0"] = /** @type {RegExpExecArray} */ (
    /^(-?)(\d+)(?:\.(\d+))?(?:e([-+]?\d+))?$/.exec(text)
  );
  const all = whole + part;
  const digits = all.replace(/^0+/, "");
  return {
    negative: sign === "-",
    digits: digits || "0",
    point: digits ? whole.length + Number(power) - (all.length - digits.length) : 1,
  };
}

/**
 * Rounded half to even after so many of its digits; none or fewer leave nothing or one.
 * @param {Decimal} number
 * @param {number} count
 * @returns {Decimal}
 */
function roundedTo(number, count) {
  const { negative, digits, point } = number;
  if (count >= digits.length) return number;
  if (count < 0) return { negative, digits: "0", point: 1 };
  const kept = digits.slice(0, count);
  const rest = digits.slice(count);
  const half = "5".padEnd(rest.length, "0");
  const odd = count > 0 && Number(kept[count - 1]) % 2 === 1;
  if (rest < half || (rest === half && !odd))
    return kept ? { negative, digits: kept, point } : { negative, digits: "0", point: 1 };
  const up = (BigInt(kept || "0") + 1n).toString().padStart(count, "0");
  return { negative, digits: up, point: point + up.length - count };
}

/**
 * The digits before and behind the point.
 * @param {Decimal} number
 * @param {number} places
 */
function fixed({ negative, digits, point }, places) {
  const padded = point <= 0 ? "0".repeat(1 - point) + digits : digits;
  const at = Math.max(point, 1);
  const whole = padded.slice(0, at).padEnd(at, "0");
  const part = padded.slice(at).padEnd(places, "0").slice(0, places);
  return { negative, text: places ? `${whole}.${part}` : whole };
}

/**
 * The shortest decimal of a number, rounded half to even; a zero has no sign.
 * @param {number} number
 * @param {number} places
 */
export function roundedDecimal(number, places) {
  const decimal = decimalOf(String(Math.abs(number)));
  const { text } = fixed(roundedTo(decimal, decimal.point + places), places);
  return number < 0 && /[1-9]/.test(text) ? `-${text}` : text;
}

/**
 * What a number is not told by digits.
 * @param {number} number
 */
function special(number) {
  if (Number.isNaN(number)) return "nan";
  return number === Infinity ? "inf" : number === -Infinity ? "-inf" : "";
}

/** As `format(number, ".3f")` writes it. @param {number} number @param {number} places */
export function asFixed(number, places) {
  if (special(number)) return special(number);
  const exact = decimalOf(Math.abs(number) === 0 ? "0" : Math.abs(number).toPrecision(EXACT));
  const { text } = fixed(roundedTo(exact, exact.point + places), places);
  return number < 0 || Object.is(number, -0) ? `-${text}` : text;
}

/** As `format(number, ".4g")` writes it. @param {number} number @param {number} figures */
export function asGeneral(number, figures) {
  if (special(number)) return special(number);
  const sign = number < 0 || Object.is(number, -0) ? "-" : "";
  if (number === 0) return `${sign}0`;
  const { digits, point } = roundedTo(decimalOf(Math.abs(number).toPrecision(EXACT)), figures);
  return sign + written(digits.replace(/0+$/, ""), point, figures);
}

/** As `repr` and `str` write a float. @param {number} number */
export function asFloat(number) {
  if (special(number)) return special(number);
  const sign = number < 0 || Object.is(number, -0) ? "-" : "";
  if (number === 0) return `${sign}0.0`;
  const { digits, point } = decimalOf(String(Math.abs(number)));
  const text = written(digits.replace(/0+$/, ""), point, 16);
  return sign + (/[.e]/.test(text) ? text : `${text}.0`);
}

/**
 * Digits with a point, or with a power of ten where that lies beyond these figures.
 * @param {string} digits
 * @param {number} point
 * @param {number} figures
 */
function written(digits, point, figures) {
  const power = point - 1;
  if (power < -4 || power >= figures) {
    const short = digits.length > 1 ? `${digits[0]}.${digits.slice(1)}` : digits;
    return `${short}e${power < 0 ? "-" : "+"}${String(Math.abs(power)).padStart(2, "0")}`;
  }
  if (point <= 0) return `0.${"0".repeat(-point)}${digits}`;
  return digits.length > point ? `${digits.slice(0, point)}.${digits.slice(point)}` : digits.padEnd(point, "0");
}

/** A number without the dust of binary arithmetic: 12 significant digits. @param {number} number */
export function settled(number) {
  if (number === 0 || !Number.isFinite(number)) return number;
  const quick = number.toPrecision(12);
  return /50*(e|$)/.test(number.toPrecision(18)) ? Number(asGeneral(number, 12)) : Number(quick);
}

/** The complementary error function, to 1e-15. @param {number} x @returns {number} */
export function erfc(x) {
  if (x < 0) return 2 - erfc(-x);
  return x < 2.5 ? 1 - erf(x) : tail(x);
}

/** By its series of positive terms (Abramowitz and Stegun 7.1.6). @param {number} x */
function erf(x) {
  let term = (2 / Math.sqrt(Math.PI)) * x * Math.exp(-x * x);
  let sum = 0;
  for (let n = 0; sum + term !== sum; n += 1) {
    sum += term;
    term *= (2 * x * x) / (2 * n + 3);
  }
  return sum;
}

/** By its continued fraction (Abramowitz and Stegun 7.1.14), from the far end. @param {number} x */
function tail(x) {
  let fraction = x;
  for (let n = 120; n > 0; n -= 1) fraction = x + n / 2 / fraction;
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / fraction;
}
