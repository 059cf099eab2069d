/**
 * Curves and coefficients that a program carries: saturation of refrigerants, and nitrogen as the real gas that it is.
 */

import { filledIn } from "./formulas.js";
import { total } from "./numbers.js";
import { OutOfRange } from "./outofrange.js";

/** @typedef {{points: [number, number, number][], gaps: [number, number][]}} Curve Each point: °F, ln psia, slope there. */

const SAME = 1e-9; // of a pressure: a point at the very end of a curve, written to twelve digits, is still on it
const ZERO = 459.67; // °R at 0 °F

/**
 * Saturation temperature (°F) at an absolute pressure (psia).
 * @param {Curve} curve
 * @param {number} pressure
 * @param {string} outside What is said of a pressure outside the curve.
 */
export function temperatureAt({ points }, pressure, outside) {
  const last = points.length - 1;
  const [low, high] = [Math.exp(points[0][1]), Math.exp(points[last][1])];
  if (!(low * (1 - SAME) <= pressure && pressure <= high * (1 + SAME))) {
    throw new OutOfRange(filledIn(outside, { pressure, low, high }));
  }
  const wanted = Math.min(Math.max(Math.log(pressure), points[0][1]), points[last][1]);
  const beyond = points.findIndex((point) => point[1] > wanted);
  const piece = Math.min(beyond < 0 ? points.length : beyond, last) - 1;
  return solved(points[piece], points[piece + 1], wanted);
}

/**
 * Bisection with secant steps inside one piece; the curve rises throughout.
 * @param {[number, number, number]} left
 * @param {[number, number, number]} right
 * @param {number} wanted
 */
function solved(left, right, wanted) {
  let [low, yLow] = left;
  let [high, yHigh] = right;
  for (let step = 0; step < 60; step += 1) {
    const middle = yHigh > yLow ? low + ((high - low) * (wanted - yLow)) / (yHigh - yLow) : (low + high) / 2;
    const y = logAt(left, right, middle);
    if (Math.abs(y - wanted) < 1e-14 || high - low < 1e-12) return middle;
    if (y < wanted) [low, yLow] = [middle, y];
    else [high, yHigh] = [middle, y];
  }
  return (low + high) / 2;
}

/**
 * @param {[number, number, number]} left
 * @param {[number, number, number]} right
 * @param {number} temperature
 */
function logAt([t0, y0, m0], [t1, y1, m1], temperature) {
  const h = t1 - t0;
  const s = (temperature - t0) / h;
  return (
    (2 * s ** 3 - 3 * s ** 2 + 1) * y0 +
    (s ** 3 - 2 * s ** 2 + s) * h * m0 +
    (-2 * s ** 3 + 3 * s ** 2) * y1 +
    (s ** 3 - s ** 2) * h * m1
  );
}

/**
 * Gauge pressure (psig) that a tight system of gas shows after its temperature has changed.
 * @param {any} gas The file of its coefficients.
 * @param {Record<string, number>} names The arguments.
 * @param {{cold: string, high: string}} said
 */
export function gasPressure(gas, names, said) {
  const [coldest, hottest] = gas.temperatures;
  const rankine = (/** @type {number} */ temperature) => {
    if (!(coldest <= temperature && temperature <= hottest))
      throw new OutOfRange(filledIn(said.cold, { temperature, coldest, hottest }));
    return temperature + ZERO;
  };
  const before = rankine(names.start_temperature);
  const wanted = names.start + names.atmosphere;
  let moles = wanted / before;
  for (let step = 0; step < 12; step += 1) moles *= wanted / pressureOf(gas, moles, before);
  const pressure = pressureOf(gas, moles, rankine(names.end_temperature));
  const highest = gas.highest_pressure;
  if (pressure > highest) throw new OutOfRange(filledIn(said.high, { pressure, highest }));
  return pressure - names.atmosphere;
}

/**
 * @param {any} gas
 * @param {number} moles
 * @param {number} rankine
 */
function pressureOf(gas, moles, rankine) {
  const [b, c, d] = ["B", "C", "D"].map((name) =>
    total(gas[name].map((/** @type {number} */ x, /** @type {number} */ power) => x * (500 / rankine) ** power)),
  );
  return rankine * moles * (1 + moles * (b + moles * (c + moles * d)));
}
