"use strict";
var changeout = (() => {
  var __defProp = Object.defineProperty;
  var __getOwnPropDesc = Object.getOwnPropertyDescriptor;
  var __getOwnPropNames = Object.getOwnPropertyNames;
  var __hasOwnProp = Object.prototype.hasOwnProperty;
  var __export = (target, all) => {
    for (var name in all)
      __defProp(target, name, { get: all[name], enumerable: true });
  };
  var __copyProps = (to, from, except, desc) => {
    if (from && typeof from === "object" || typeof from === "function") {
      for (let key of __getOwnPropNames(from))
        if (!__hasOwnProp.call(to, key) && key !== except)
          __defProp(to, key, { get: () => from[key], enumerable: !(desc = __getOwnPropDesc(from, key)) || desc.enumerable });
    }
    return to;
  };
  var __toCommonJS = (mod) => __copyProps(__defProp({}, "__esModule", { value: true }), mod);

  // source/index.js
  var index_exports = {};
  __export(index_exports, {
    errors: () => errors,
    findingsOf: () => findingsOf,
    judge: () => judge2,
    loaded: () => loaded,
    newJob: () => newJob2,
    notKnown: () => notKnown,
    open: () => open,
    read: () => read,
    readJob: () => readJob2,
    told: () => told2,
    typed: () => typed,
    unpacked: () => unpacked,
    withFacts: () => withFacts2,
    without: () => without2,
    words: () => words,
    workedOut: () => workedOut,
    writeJob: () => writeJob,
    written: () => written3
  });

  // source/numbers.js
  var EXACT = 100;
  var total = (numbers) => numbers.reduce((so_far, number) => so_far + number, 0);
  var mean = (numbers) => total(numbers) / numbers.length;
  function deviation(numbers) {
    const middle = mean(numbers);
    return Math.sqrt(total(numbers.map((number) => (number - middle) * (number - middle))) / (numbers.length - 1));
  }
  function decimalOf(text2) {
    const [, sign, whole2, part = "", power = "0"] = (
      /** @type {RegExpExecArray} */
      /^(-?)(\d+)(?:\.(\d+))?(?:e([-+]?\d+))?$/.exec(text2)
    );
    const all = whole2 + part;
    const digits = all.replace(/^0+/, "");
    return {
      negative: sign === "-",
      digits: digits || "0",
      point: digits ? whole2.length + Number(power) - (all.length - digits.length) : 1
    };
  }
  function roundedTo(number, count3) {
    const { negative, digits, point } = number;
    if (count3 >= digits.length) return number;
    if (count3 < 0) return { negative, digits: "0", point: 1 };
    const kept = digits.slice(0, count3);
    const rest = digits.slice(count3);
    const half = "5".padEnd(rest.length, "0");
    const odd = count3 > 0 && Number(kept[count3 - 1]) % 2 === 1;
    if (rest < half || rest === half && !odd)
      return kept ? { negative, digits: kept, point } : { negative, digits: "0", point: 1 };
    const up = (BigInt(kept || "0") + 1n).toString().padStart(count3, "0");
    return { negative, digits: up, point: point + up.length - count3 };
  }
  function fixed({ negative, digits, point }, places2) {
    const padded = point <= 0 ? "0".repeat(1 - point) + digits : digits;
    const at2 = Math.max(point, 1);
    const whole2 = padded.slice(0, at2).padEnd(at2, "0");
    const part = padded.slice(at2).padEnd(places2, "0").slice(0, places2);
    return { negative, text: places2 ? `${whole2}.${part}` : whole2 };
  }
  function roundedDecimal(number, places2) {
    const decimal = decimalOf(String(Math.abs(number)));
    const { text: text2 } = fixed(roundedTo(decimal, decimal.point + places2), places2);
    return number < 0 && /[1-9]/.test(text2) ? `-${text2}` : text2;
  }
  function special(number) {
    if (Number.isNaN(number)) return "nan";
    return number === Infinity ? "inf" : number === -Infinity ? "-inf" : "";
  }
  function asFixed(number, places2) {
    if (special(number)) return special(number);
    const exact = decimalOf(Math.abs(number) === 0 ? "0" : Math.abs(number).toPrecision(EXACT));
    const { text: text2 } = fixed(roundedTo(exact, exact.point + places2), places2);
    return number < 0 || Object.is(number, -0) ? `-${text2}` : text2;
  }
  function asGeneral(number, figures) {
    if (special(number)) return special(number);
    const sign = number < 0 || Object.is(number, -0) ? "-" : "";
    if (number === 0) return `${sign}0`;
    const { digits, point } = roundedTo(decimalOf(Math.abs(number).toPrecision(EXACT)), figures);
    return sign + written(digits.replace(/0+$/, ""), point, figures);
  }
  function asFloat(number) {
    if (special(number)) return special(number);
    const sign = number < 0 || Object.is(number, -0) ? "-" : "";
    if (number === 0) return `${sign}0.0`;
    const { digits, point } = decimalOf(String(Math.abs(number)));
    const text2 = written(digits.replace(/0+$/, ""), point, 16);
    return sign + (/[.e]/.test(text2) ? text2 : `${text2}.0`);
  }
  function written(digits, point, figures) {
    const power = point - 1;
    if (power < -4 || power >= figures) {
      const short2 = digits.length > 1 ? `${digits[0]}.${digits.slice(1)}` : digits;
      return `${short2}e${power < 0 ? "-" : "+"}${String(Math.abs(power)).padStart(2, "0")}`;
    }
    if (point <= 0) return `0.${"0".repeat(-point)}${digits}`;
    return digits.length > point ? `${digits.slice(0, point)}.${digits.slice(point)}` : digits.padEnd(point, "0");
  }
  function settled(number) {
    if (number === 0 || !Number.isFinite(number)) return number;
    const quick = number.toPrecision(12);
    return /50*(e|$)/.test(number.toPrecision(18)) ? Number(asGeneral(number, 12)) : Number(quick);
  }
  function erfc(x) {
    if (x < 0) return 2 - erfc(-x);
    return x < 2.5 ? 1 - erf(x) : tail(x);
  }
  function erf(x) {
    let term = 2 / Math.sqrt(Math.PI) * x * Math.exp(-x * x);
    let sum = 0;
    for (let n = 0; sum + term !== sum; n += 1) {
      sum += term;
      term *= 2 * x * x / (2 * n + 3);
    }
    return sum;
  }
  function tail(x) {
    let fraction2 = x;
    for (let n = 120; n > 0; n -= 1) fraction2 = x + n / 2 / fraction2;
    return Math.exp(-x * x) / Math.sqrt(Math.PI) / fraction2;
  }

  // source/formulas.js
  var TOKEN = /\s*(\*\*|<=|>=|==|!=|[-+*/%()[\],<>]|\d+(?:\.\d+)?(?:[eE][-+]?\d+)?|'[^']*'|[A-Za-z_]\w*)/y;
  var BUILT_IN = { min: Math.min, max: Math.max, abs: Math.abs };
  var STANDS = {
    "<=": (a, b) => a <= b,
    "<": (a, b) => a < b,
    ">=": (a, b) => a >= b,
    ">": (a, b) => a > b,
    "==": (a, b) => a === b,
    "!=": (a, b) => a !== b
  };
  var WORKED = {
    "+": (a, b) => a + b,
    "-": (a, b) => a - b,
    "*": (a, b) => a * b,
    "/": (a, b) => a / b,
    "**": (a, b) => a ** b,
    "%": (a, b) => (a % b + b) % b
  };
  var READ = /* @__PURE__ */ new Map();
  var formula = (text2) => parsed(text2).work;
  function parsed(text2) {
    const known = READ.get(text2);
    if (known) return known;
    const reader = new Reader(text2);
    const made2 = { work: reader.whole(), names: reader.names, calls: reader.calls };
    READ.set(text2, made2);
    return made2;
  }
  function tokens(text2) {
    const found = [];
    TOKEN.lastIndex = 0;
    const end = text2.trimEnd().length;
    while (TOKEN.lastIndex < end) {
      const at2 = TOKEN.lastIndex;
      const match = TOKEN.exec(text2);
      if (!match) throw new Error(`'${text2}' cannot be read at ${at2}.`);
      found.push(match[1]);
    }
    return found;
  }
  var Reader = class {
    /** @param {string} text */
    constructor(text2) {
      this.text = text2;
      this.tokens = tokens(text2);
      this.at = 0;
      this.names = /* @__PURE__ */ new Set();
      this.calls = /* @__PURE__ */ new Set();
    }
    whole() {
      const found = this.comparison();
      if (this.at < this.tokens.length) throw new Error(`'${this.text}' goes on after '${this.tokens[this.at - 1]}'.`);
      return found;
    }
    /** @param {string} wanted */
    take(wanted2) {
      if (this.tokens[this.at] !== wanted2) return false;
      this.at += 1;
      return true;
    }
    /** @param {string} wanted */
    need(wanted2) {
      if (!this.take(wanted2)) throw new Error(`'${wanted2}' is missing in '${this.text}'.`);
    }
    /** @returns {Formula} */
    comparison() {
      const name = this.tokens[this.at];
      const parts = [this.sum()];
      const operators = (
        /** @type {string[]} */
        []
      );
      if (this.take("in")) {
        this.need("rows");
        return (names) => names.rows[name].includes(names[name]);
      }
      while (Object.hasOwn(STANDS, this.tokens[this.at] ?? "")) {
        operators.push(this.tokens[this.at]);
        this.at += 1;
        parts.push(this.sum());
      }
      if (!operators.length) return parts[0];
      return (names, call2) => {
        const values = parts.map((part) => part(names, call2));
        return operators.every((operator, index) => STANDS[operator](values[index], values[index + 1]));
      };
    }
    sum() {
      return this.chain(["+", "-"], () => this.product());
    }
    product() {
      return this.chain(["*", "/", "%"], () => this.signed());
    }
    /**
     * @param {string[]} operators
     * @param {() => Formula} next
     * @returns {Formula}
     */
    chain(operators, next) {
      let left = next();
      while (operators.includes(this.tokens[this.at])) {
        const work = WORKED[this.tokens[this.at]];
        this.at += 1;
        const [before, right] = [left, next()];
        left = (names, call2) => work(before(names, call2), right(names, call2));
      }
      return left;
    }
    /** @returns {Formula} */
    signed() {
      if (this.take("-")) {
        const inside = this.signed();
        return (names, call2) => -inside(names, call2);
      }
      const base = this.single();
      if (!this.take("**")) return base;
      const power = this.signed();
      return (names, call2) => WORKED["**"](base(names, call2), power(names, call2));
    }
    /** @returns {Formula} */
    single() {
      const token = this.tokens[this.at];
      this.at += 1;
      if (token === "(") {
        const inside = this.comparison();
        this.need(")");
        return inside;
      }
      if (token === void 0) throw new Error(`'${this.text}' breaks off.`);
      if (token.startsWith("'")) return () => token.slice(1, -1);
      if (/^\d/.test(token)) return () => Number(token);
      if (this.take("(")) return this.called(token);
      this.names.add(token);
      if (!this.take("[")) return (names) => names[token];
      const key = this.comparison();
      this.need("]");
      return (names, call2) => names[token][key(names, call2)];
    }
    /** @param {string} name @returns {Formula} */
    called(name) {
      if (!Object.hasOwn(BUILT_IN, name)) this.calls.add(name);
      const parts = [this.comparison()];
      while (this.take(",")) parts.push(this.comparison());
      this.need(")");
      return (names, call2) => {
        const values = parts.map((part) => part(names, call2));
        return Object.hasOwn(BUILT_IN, name) ? BUILT_IN[name](...values) : call2(name, values);
      };
    }
  };
  function filledIn(text2, names) {
    return text2.replace(
      /\{([^{}:]+)(?::([^{}]+))?\}/g,
      (_, inside, how) => asWritten(
        formula(inside)(names, () => NaN),
        how
      )
    );
  }
  function asWritten(value, how) {
    if (typeof value === "string") return value;
    if (!how) return Number.isInteger(value) ? String(value) : asFloat(value);
    const [, places2, form] = (
      /** @type {RegExpExecArray} */
      /^(?:\.(\d+))?([fg])$/.exec(how)
    );
    return form === "f" ? asFixed(value, Number(places2 ?? 6)) : asGeneral(value, Number(places2 ?? 6));
  }

  // source/outofrange.js
  var OutOfRange = class extends Error {
  };

  // source/curves.js
  var SAME = 1e-9;
  var ZERO = 459.67;
  function temperatureAt({ points }, pressure, outside) {
    const last = points.length - 1;
    const [low2, high] = [Math.exp(points[0][1]), Math.exp(points[last][1])];
    if (!(low2 * (1 - SAME) <= pressure && pressure <= high * (1 + SAME))) {
      throw new OutOfRange(filledIn(outside, { pressure, low: low2, high }));
    }
    const wanted2 = Math.min(Math.max(Math.log(pressure), points[0][1]), points[last][1]);
    const beyond = points.findIndex((point) => point[1] > wanted2);
    const piece = Math.min(beyond < 0 ? points.length : beyond, last) - 1;
    return solved(points[piece], points[piece + 1], wanted2);
  }
  function solved(left, right, wanted2) {
    let [low2, yLow] = left;
    let [high, yHigh] = right;
    for (let step = 0; step < 60; step += 1) {
      const middle = yHigh > yLow ? low2 + (high - low2) * (wanted2 - yLow) / (yHigh - yLow) : (low2 + high) / 2;
      const y = logAt(left, right, middle);
      if (Math.abs(y - wanted2) < 1e-14 || high - low2 < 1e-12) return middle;
      if (y < wanted2) [low2, yLow] = [middle, y];
      else [high, yHigh] = [middle, y];
    }
    return (low2 + high) / 2;
  }
  function logAt([t0, y0, m0], [t1, y1, m1], temperature) {
    const h = t1 - t0;
    const s = (temperature - t0) / h;
    return (2 * s ** 3 - 3 * s ** 2 + 1) * y0 + (s ** 3 - 2 * s ** 2 + s) * h * m0 + (-2 * s ** 3 + 3 * s ** 2) * y1 + (s ** 3 - s ** 2) * h * m1;
  }
  function gasPressure(gas, names, said2) {
    const [coldest, hottest] = gas.temperatures;
    const rankine = (temperature) => {
      if (!(coldest <= temperature && temperature <= hottest))
        throw new OutOfRange(filledIn(said2.cold, { temperature, coldest, hottest }));
      return temperature + ZERO;
    };
    const before = rankine(names.start_temperature);
    const wanted2 = names.start + names.atmosphere;
    let moles = wanted2 / before;
    for (let step = 0; step < 12; step += 1) moles *= wanted2 / pressureOf(gas, moles, before);
    const pressure = pressureOf(gas, moles, rankine(names.end_temperature));
    const highest = gas.highest_pressure;
    if (pressure > highest) throw new OutOfRange(filledIn(said2.high, { pressure, highest }));
    return pressure - names.atmosphere;
  }
  function pressureOf(gas, moles, rankine) {
    const [b, c, d] = ["B", "C", "D"].map(
      (name) => total(gas[name].map((x, power) => x * (500 / rankine) ** power))
    );
    return rankine * moles * (1 + moles * (b + moles * (c + moles * d)));
  }

  // source/functions.js
  var MONDAY_TO_FRIDAY = 5;
  var LAST_DAY = 3652059;
  function result(program, name, values, tables) {
    const used = program.functions[name];
    const names = Object.fromEntries(used.arguments.map(([argument], index) => [argument, values[index]]));
    if (used.form === "table") names.rows = columns(used);
    for (const [condition, said2] of used.serves ?? []) {
      if (formula(condition)(names, () => NaN) !== true) throw new OutOfRange(filledIn(said2, names));
    }
    return WORKINGS[used.form](used, names, tables, program);
  }
  function columns({ arguments: given2, data }) {
    return Object.fromEntries(given2.map(([name], index) => [name, data.map((row) => row[index])]));
  }
  function remark(program, name, values) {
    const { form, data } = program.functions[name];
    if (form === "grid") {
      const sides = data.axes.map(
        (axis, index) => shares(axis, values[index], data.within)
      );
      return sides.some((side) => side.length > 1) ? data.between : "";
    }
    if (form !== "curve") return "";
    const at2 = result(program, name, values, {});
    const file = program.curves[data.file];
    const { gaps } = file.curves[values[0]][data.curve];
    const bridged = gaps.some(([low2, high]) => low2 < at2 && at2 < high);
    return bridged ? filledIn(data.bridged, { refrigerant: values[0], made_by: file.made_by, curve: data.curve, at: at2 }) : "";
  }
  var hasRemark = (used) => used.form === "grid" || used.form === "curve";
  function byFormula(used, names, tables, program) {
    return formula(used.says)(
      { ...names, ...used.data ?? {} },
      (name, values) => result(program, name, values, tables)
    );
  }
  function byTable(used, names) {
    const given2 = used.arguments.map(([name]) => names[name]);
    const row = used.data.find((one) => given2.every((value, index) => fits(one[index], value)));
    return row === void 0 ? NaN : row[row.length - 1];
  }
  function fits(cell, value) {
    if (cell === null) return true;
    if (typeof cell === "string") return cell === value;
    return (cell[0] === null || cell[0] <= value) && (cell[1] === null || value < cell[1]);
  }
  function byLookUp(used, names, tables) {
    const { table, take, stands, within: within2, none } = used.data;
    const value = names[used.arguments[0][0]];
    const entries = [...tables[table]].sort((a, b) => a - b);
    const found = entries.filter((entry) => {
      if (stands === "<=") return entry <= value + within2;
      return stands === ">=" ? entry >= value - within2 : Math.abs(entry - value) <= within2;
    });
    if (take === "any") return found.length > 0;
    const end = (list) => list[take === "first" ? 0 : list.length - 1];
    if (!found.length)
      throw new OutOfRange(
        filledIn(none, { ...names, nearest: take === "first" ? entries[entries.length - 1] : entries[0] })
      );
    return end(found);
  }
  function byGrid(used, names) {
    const { axes, cells, within: within2, none } = used.data;
    const given2 = used.arguments.map(([name]) => names[name]);
    const [across, down] = axes.map(
      (axis, index) => shares(axis, given2[index], within2)
    );
    let found = 0;
    for (const [one, first] of across) {
      for (const [other, second] of down) {
        if (cells[one][other] === null) throw new OutOfRange(filledIn(none, names));
        found += first * second * cells[one][other];
      }
    }
    return found;
  }
  function shares(steps, at2, within2) {
    const on = steps.findIndex((step) => Math.abs(step - at2) <= within2);
    if (on >= 0) return [[on, 1]];
    const above = steps.findIndex((step) => step >= at2);
    const share = (at2 - steps[above - 1]) / (steps[above] - steps[above - 1]);
    return [
      [above - 1, 1 - share],
      [above, share]
    ];
  }
  function byCurve(used, names, _, program) {
    const file = program.curves[used.data.file];
    const { refrigerant, pressure } = names;
    if (!Object.hasOwn(file.curves, refrigerant)) {
      throw new OutOfRange(filledIn(used.data.unknown, { refrigerant, known: Object.keys(file.curves).join(", ") }));
    }
    return temperatureAt(file.curves[refrigerant][used.data.curve], pressure, used.data.outside);
  }
  function byWorkingDay(used, names, tables) {
    const closed = new Set(tables[used.data.table]);
    const years = new Set([...closed].map((day4) => yearOf(day4, used.data)));
    let day3 = names[used.arguments[0][0]] + 1;
    for (; years.has(yearOf(day3, used.data)); day3 += 1) {
      if ((day3 + 6) % 7 < MONDAY_TO_FRIDAY && !closed.has(day3)) return day3;
    }
    throw new OutOfRange(filledIn(used.data.unknown, { year: yearOf(day3, used.data) }));
  }
  function yearOf(day3, data) {
    if (!(1 <= day3 && day3 <= LAST_DAY)) throw new OutOfRange(data.outside);
    return Number(dateOf(day3).slice(0, 4));
  }
  var EPOCH = 719163;
  function dateOf(day3) {
    return new Date((day3 - EPOCH) * 864e5).toISOString().slice(0, 10);
  }
  function byGas(used, names, _, program) {
    return gasPressure(program.curves[used.data.file], names, used.data);
  }
  var WORKINGS = {
    formula: byFormula,
    table: byTable,
    look_up: byLookUp,
    grid: byGrid,
    curve: byCurve,
    working_day: byWorkingDay,
    gas: byGas
  };

  // source/packed.js
  var FORMAT = 1;
  function unpacked(text2) {
    const told3 = JSON.parse(text2);
    if (told3?.packed !== FORMAT) throw new Error(`This is no packed text of format ${FORMAT}.`);
    const made2 = /* @__PURE__ */ new Map();
    const value = (part) => {
      if (typeof part === "string") {
        if (!made2.has(part)) {
          const own = told3.parts[parseInt(part, 36)];
          made2.set(part, typeof own === "string" ? own : value(own));
        }
        return made2.get(part);
      }
      if (!Array.isArray(part)) return part;
      if (part[0] === 0) return whole(part).map(value);
      const found = {};
      told3.shapes[part[0] - 1].forEach((name, index) => {
        found[name] = value(part[index + 1]);
      });
      return found;
    };
    return value(told3.whole);
  }
  function whole(list) {
    const before = /* @__PURE__ */ new Map();
    return list.slice(1).map((item) => {
      if (!Array.isArray(item) || item[0] === 0) return item;
      let found = item;
      if (item[0] < 0) {
        found = [.../** @type {any[]} */
        before.get(-item[0])];
        for (let at2 = 1; at2 < item.length; at2 += 2) found[item[at2] + 1] = item[at2 + 1];
      }
      before.set(found[0], found);
      return found;
    });
  }

  // source/days.js
  var DAY = 864e5;
  var BEFORE_1970 = 719163;
  function dayNumber(year2, month2, day3) {
    const date2 = /* @__PURE__ */ new Date(0);
    date2.setUTCFullYear(year2, month2 - 1, day3);
    const same = date2.getUTCFullYear() === year2 && date2.getUTCMonth() === month2 - 1 && date2.getUTCDate() === day3;
    return same && year2 > 0 ? date2.getTime() / DAY + BEFORE_1970 : 0;
  }
  function dayOf(text2) {
    const found = typeof text2 === "string" ? /^(\d{4})-(\d\d)-(\d\d)$/.exec(text2) : null;
    return found ? dayNumber(Number(found[1]), Number(found[2]), Number(found[3])) : 0;
  }
  var daysIn = (year2, month2) => [31, 30, 29, 28].find((day3) => dayNumber(year2, month2, day3)) ?? 0;
  function iso(year2, month2, day3) {
    const [four, two, last] = [String(year2).padStart(4, "0"), ...[month2, day3].map((one) => String(one).padStart(2, "0"))];
    return `${four}-${two}-${last}`;
  }

  // source/kleene.js
  var NONE = Object.freeze({ none: true });
  var NO_CAUSES = /* @__PURE__ */ new Map();
  var Unknown = class {
    /**
     * @param {Causes} causes
     * @param {string} trace
     */
    constructor(causes, trace) {
      this.causes = causes;
      this.trace = trace;
    }
  };
  var Range = class {
    /**
     * @param {number} low
     * @param {number} high
     * @param {Causes} causes
     */
    constructor(low2, high, causes) {
      this.low = low2;
      this.high = high;
      this.causes = causes;
    }
  };
  function cause(reason, fact, detail = "") {
    return /* @__PURE__ */ new Map([[`${reason}\0${fact}\0${detail}`, { reason, fact, detail }]]);
  }
  function together(several) {
    const held = several.filter((one) => one.size);
    if (held.length <= 1) return held[0] ?? NO_CAUSES;
    const found = new Map(held[0]);
    for (const one of held.slice(1)) for (const [key, value] of one) found.set(key, value);
    return found;
  }
  function sorted(causes) {
    return [...causes.keys()].sort().map((key) => (
      /** @type {Cause} */
      causes.get(key)
    ));
  }
  function factsOf(causes) {
    return [...new Set([...causes.values()].map((one) => one.fact).filter(Boolean))].sort();
  }
  function missing(path, detail = "") {
    return new Unknown(cause("not_recorded", path, detail), `fact(${path})`);
  }
  function traced(value) {
    if (value instanceof Unknown) return value.trace;
    if (value instanceof Range) return `[${value.low} ${value.high} ${[...value.causes.keys()].sort().join("")}]`;
    if (value === NONE) return "none";
    return typeof value === "string" ? JSON.stringify(value) : String(Number(value));
  }
  function asSet(traces) {
    return `{${[...new Set(traces)].sort().join(";")}}`;
  }
  function negated(value) {
    return value instanceof Unknown ? new Unknown(value.causes, `not(${value.trace})`) : !value;
  }
  var allOf = (values) => settledBy(values, false, "all");
  var anyOf = (values) => settledBy(values, true, "any");
  function settledBy(values, deciding, name) {
    if (values.includes(deciding)) return deciding;
    const unknown = (
      /** @type {Unknown[]} */
      values.filter((value) => value instanceof Unknown)
    );
    if (!unknown.length) return !deciding;
    return unknown.length === 1 ? unknown[0] : joined(unknown, name);
  }
  function joined(unknown, name) {
    return new Unknown(together(unknown.map((one) => one.causes)), `${name}${asSet(unknown.map((one) => one.trace))}`);
  }
  var COMPARED = {
    "<=": (a, b, grain) => a <= b + grain,
    "<": (a, b, grain) => a < b - grain,
    ">=": (a, b, grain) => a >= b - grain,
    ">": (a, b, grain) => a > b + grain,
    "==": (a, b, grain) => Math.abs(a - b) <= grain,
    "!=": (a, b, grain) => Math.abs(a - b) > grain
  };
  function compared(operator, left, right, grain) {
    if (left === NONE || right === NONE) return operator === "!=";
    if (left instanceof Unknown || right instanceof Unknown) {
      const causes = [left, right].flatMap((one) => one instanceof Unknown || one instanceof Range ? [one.causes] : []);
      return new Unknown(together(causes), `${operator}(${traced(left)},${traced(right)})`);
    }
    if (left instanceof Range || right instanceof Range)
      return comparedRanges(operator, asRange(left), asRange(right), grain);
    if (typeof left === "string" || typeof right === "string") return left === right === (operator === "==");
    return COMPARED[operator](Number(left), Number(right), grain);
  }
  function asRange(value) {
    return value instanceof Range ? value : new Range(Number(value), Number(value), NO_CAUSES);
  }
  function comparedRanges(operator, left, right, grain) {
    const open2 = () => new Unknown(together([left.causes, right.causes]), `${operator}(${traced(left)},${traced(right)})`);
    if (operator === "==" || operator === "!=") {
      if (left.high < right.low - grain || left.low > right.high + grain) return operator === "!=";
      const same = left.low === left.high && left.high === right.low && right.low === right.high;
      return same ? operator === "==" : open2();
    }
    const ends4 = [left.low, left.high].flatMap(
      (a) => [right.low, right.high].map((b) => COMPARED[operator](a, b, grain))
    );
    return ends4.every((one) => one === ends4[0]) ? ends4[0] : open2();
  }

  // source/amounts.js
  var MOST_SHOWN = 3;
  var USUAL_DIGITS = 4;
  var DIFFERENCE_OF = {
    temperature: "temperature_difference",
    gauge_pressure: "pressure_difference",
    absolute_pressure: "pressure_difference",
    date: "duration"
  };
  var FOUND = /* @__PURE__ */ new WeakMap();
  function unitsOf(program) {
    const known = FOUND.get(program);
    if (known) return known;
    const found = /* @__PURE__ */ new Map();
    for (const unit of program.units) {
      if (unit.scale === 1 && unit.offset === 0 && !found.has(unit.kind)) found.set(unit.kind, unit);
      for (const word of [unit.name, unit.shown, ...unit.also ?? []]) {
        if (!found.has(`${unit.kind} ${word}`)) found.set(`${unit.kind} ${word}`, unit);
      }
    }
    FOUND.set(program, found);
    return found;
  }
  var isKind = (program, kind) => unitsOf(program).has(kind);
  function unitOf(program, kind, unit) {
    const found = unitsOf(program).get(`${kind} ${unit}`) ?? unitsOf(program).get(kind);
    if (!found) throw new Error(`No unit of ${kind}.`);
    return found;
  }
  var fromBase = (amount, { scale, offset }) => settled((amount - offset) / scale);
  function writtenAmount(program, amount, kind, unit, digits = null) {
    const found = unitOf(program, kind, unit);
    let text2 = roundedDecimal(fromBase(amount, found), digits ?? USUAL_DIGITS);
    if (digits === null) text2 = text2.replace(/0+$/, "").replace(/\.$/, "");
    return found.shown ? `${text2} ${found.shown}` : text2;
  }
  function shownLimit(program, value, kind, unit, digits = null) {
    if (value === null) return "";
    if (Array.isArray(value)) {
      if (value.length > MOST_SHOWN) return `a list of ${value.length}`;
      return value.map((one) => shownLimit(program, one, kind, unit, digits)).join(", ");
    }
    if (typeof value === "boolean") return value ? "yes" : "no";
    if (typeof value === "string") return value.replaceAll("_", " ");
    return kind === "date" ? dateOf(value) : writtenAmount(program, value, kind, unit, digits);
  }
  function writtenValue(program, value, kind, unit, digits) {
    if (value === NONE) return "none";
    if (value instanceof Unknown) return null;
    if (!(value instanceof Range)) return shownLimit(program, value, kind, unit, digits);
    const [low2, high] = [value.low, value.high].map(
      (end) => Number.isFinite(end) ? writtenValue(program, end, kind, unit, digits) : ""
    );
    return high ? `${low2} to ${high}` : `${low2} or more`;
  }
  function low(title) {
    const begin = title.slice(0, 2);
    const capitals = begin === begin.toUpperCase() && begin !== begin.toLowerCase();
    return capitals || !title ? title : title[0].toLowerCase() + title.slice(1);
  }

  // source/knows.json
  var knows_default = {
    kinds: {
      all: { holds: ["conditions"], usual: {} },
      any_of: { holds: ["branches"], usual: {} },
      arithmetic: { holds: ["left", "right"], usual: {} },
      ask: { holds: ["condition", "question"], usual: {} },
      bound_rule: { holds: ["applies", "verify", "require", "where", "on_fail", "remedy", "bring", "photograph", "ask", "mend", "cautions", "citations", "settled", "replies", "limits", "failed", "parts"], usual: { doubtful: [], stale: "", acceptable_by: "local", formerly: [], settled: [], replies: [], asked_of: "", limits: [], weight: "usual", failed: [], parts: [] } },
      branch: { holds: ["condition", "on_fail", "remedy"], usual: {} },
      bring: { holds: ["condition", "size", "least", "most"], usual: {} },
      call: { holds: ["arguments", "tables"], usual: {} },
      caution: { holds: [], usual: {} },
      citation: { holds: [], usual: { note: "", read: "" } },
      compare: { holds: ["operands"], usual: {} },
      constant: { holds: [], usual: { unit: "", doubtful: false } },
      constantly: { holds: [], usual: {} },
      fact: { holds: [], usual: {} },
      first_given: { holds: ["first", "second"], usual: {} },
      fold: { holds: ["items", "where", "until"], usual: { where: [], clock: "", until: null } },
      given: { holds: ["fact"], usual: {} },
      held: { holds: ["rows", "set_by", "below"], usual: { below: null } },
      hole: { holds: ["value"], usual: {} },
      line: { holds: ["condition"], usual: { only: [] } },
      lookup: { holds: ["rows", "keys"], usual: {} },
      member: { holds: ["value"], usual: {} },
      named: { holds: [], usual: {} },
      narrowed: { holds: ["value"], usual: {} },
      none_of: { holds: ["conditions"], usual: {} },
      not: { holds: ["condition"], usual: {} },
      reply: { holds: [], usual: {} },
      row: { holds: [], usual: {} },
      set_by: { holds: ["citations"], usual: {} },
      settled: { holds: ["condition"], usual: { limits: [] } },
      truth: { holds: ["value"], usual: {} },
      unsettled: { holds: [], usual: {} },
      way: { holds: ["condition", "say"], usual: {} }
    },
    folds: ["at", "average", "count", "first", "highest", "highest_until", "last", "lowest", "total"],
    forms: ["curve", "formula", "gas", "grid", "look_up", "table", "working_day"]
  };

  // source/kinds.js
  var KINDS = (
    /** @type {any} */
    knows_default.kinds
  );
  var FOLDS = knows_default.folds;
  var FORMS = knows_default.forms;

  // source/references.js
  var INSIDE = /* @__PURE__ */ new WeakMap();
  var READING = /* @__PURE__ */ new WeakMap();
  var isNode = (part) => part !== null && typeof part === "object" && typeof part.is === "string";
  function children(part) {
    if (part === null || typeof part !== "object") return [];
    const known = INSIDE.get(part);
    if (known) return known;
    const held = isNode(part) ? KINDS[part.is].holds.map((field) => part[field]) : Object.values(part);
    const found = held.flatMap((one) => isNode(one) ? [one] : children(one));
    INSIDE.set(part, found);
    return found;
  }
  function* walk(part) {
    if (isNode(part)) yield part;
    for (const one of children(part)) yield* walk(one);
  }
  function* walkThrough(part, where, met = /* @__PURE__ */ new Set()) {
    for (const one of walk(part)) {
      yield one;
      if (one.is === "named" && !met.has(one.name)) {
        met.add(one.name);
        yield* walkThrough(where[one.name], where, met);
      }
    }
  }
  function singleConditions(node) {
    if (node.is === "all" || node.is === "none_of") return node.conditions.flatMap(singleConditions);
    if (node.is === "any_of")
      return node.branches.flatMap((branch) => singleConditions(branch.condition));
    return node.is === "not" ? singleConditions(node.condition) : [node];
  }
  function partsThatRead(part) {
    if (isNode(part) && ["fact", "named", "fold"].includes(part.is)) return [part];
    const known = READING.get(part);
    if (known) return known;
    const found = children(part).flatMap(partsThatRead);
    READING.set(part, found);
    return found;
  }
  function reads(node, scope) {
    const known = scope.facts.readBy(scope.where, `${scope.item} ${scope.outer}`);
    const before = known.get(node);
    if (before) return before;
    const found = partsThatRead(node).flatMap((part) => {
      if (part.is === "fact") return [scope.path(part)];
      return part.is === "named" ? reads(scope.where[part.name], scope) : foldReads(part, scope);
    });
    known.set(node, found);
    return found;
  }
  function factsRead(nodes, scope) {
    return [...new Set(nodes.flatMap((node) => reads(node, scope)))].sort();
  }
  function foldReads(node, scope) {
    const base = scope.path(node.items);
    const keys = scope.facts.items(base);
    if (keys === void 0) return [base];
    const fields = [node.field, node.clock, ...node.where.map((one) => one.field)].filter(Boolean);
    const values = [...node.where.map((one) => one.value), ...node.until ? [node.until] : []];
    return [
      ...fields.flatMap((field) => keys.map((_, index) => `${base}.${index}.${field}`)),
      ...values.flatMap((value) => reads(value, scope))
    ];
  }

  // source/folds.js
  var SAME_TIME = 1e-6;
  function fold(node, scope, evaluate2) {
    const base = scope.path(node.items);
    const keys = scope.facts.items(base);
    if (keys === void 0) return missing(base);
    const chosen2 = [];
    const doubts = [];
    keys.forEach((_, index) => {
      const belongs = allOf(
        node.where.map(
          (part) => compared(
            part.negated ? "!=" : "==",
            scope.read(`${base}.${index}.${part.field}`),
            evaluate2(part.value, scope),
            0
          )
        )
      );
      if (belongs instanceof Unknown) doubts.push(belongs);
      else if (belongs) chosen2.push(index);
    });
    if (!doubts.length) return FOLDED[node.name](node, scope, base, chosen2, evaluate2);
    const causes = together(doubts.map((doubt) => doubt.causes));
    if (node.name === "count") return new Range(chosen2.length, chosen2.length + doubts.length, causes);
    return new Unknown(causes, `fold(${node.name},${base},${asSet(doubts.map((doubt) => doubt.trace))})`);
  }
  function unknownOf(values) {
    return values.flatMap(
      (value) => value instanceof Unknown ? [value] : value instanceof Range ? [new Unknown(value.causes, traced(value))] : []
    );
  }
  function picked(pick, ends4) {
    return (node, scope, base, chosen2) => {
      const values = chosen2.map((index) => scope.read(`${base}.${index}.${node.field}`));
      const known = values.filter((value) => !(value === NONE || value instanceof Unknown || value instanceof Range));
      const unknown = unknownOf(values);
      if (!unknown.length) return known.length ? pick(known) : NONE;
      const left = joined(unknown, `fold(${node.name},${base})`);
      return known.length && ends4 ? new Range(...ends4(pick(known)), left.causes) : left;
    };
  }
  function totalOf(node, scope, base, chosen2) {
    const values = chosen2.map((index) => {
      const path = `${base}.${index}.${node.field}`;
      const value = scope.read(path);
      return value === NONE ? missing(path, "none is noted; a total needs it") : value;
    });
    const unknown = unknownOf(values);
    if (unknown.length) return joined(unknown, `fold(${node.name},${base})`);
    return values.length ? total(values.filter((value) => typeof value === "number")) : NONE;
  }
  function ended(last) {
    return (node, scope, base, chosen2) => chosen2.length ? scope.read(`${base}.${chosen2[last ? chosen2.length - 1 : 0]}.${node.field}`) : NONE;
  }
  function timed(node, scope, base, chosen2) {
    const pairs = [];
    const unknown = [];
    for (const index of chosen2) {
      const [clock2, value] = [node.clock, node.field].map((field) => scope.read(`${base}.${index}.${field}`));
      unknown.push(...[clock2, value].filter((part) => part instanceof Unknown));
      if (typeof clock2 === "number" && typeof value === "number") pairs.push([clock2, value]);
    }
    if (unknown.length) return joined(unknown, `fold(${node.name},${base})`);
    return pairs.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  }
  function highestUntil(node, scope, base, chosen2, evaluate2) {
    const pairs = timed(node, scope, base, chosen2);
    const until = evaluate2(node.until, scope);
    if (pairs instanceof Unknown) return pairs;
    if (until instanceof Unknown || until === NONE) return until;
    if (until instanceof Range) return new Unknown(until.causes, `until(${base})`);
    const within2 = pairs.filter(([clock2]) => clock2 <= until + SAME_TIME).map(([, value]) => value);
    if (!within2.length) return missing(base);
    const reached = pairs[pairs.length - 1][0] >= until - SAME_TIME && pairs.some(([clock2]) => Math.abs(clock2 - until) <= SAME_TIME);
    if (reached) return Math.max(...within2);
    const after = pairs.filter(([clock2]) => clock2 > until).map(([, value]) => value);
    const minutes = `${asGeneral(until, 6)} minutes`;
    const why = cause(
      "not_recorded",
      base,
      after.length ? `no reading at ${minutes}` : `the readings stop short of ${minutes}`
    );
    return new Range(Math.max(...within2), after.length ? Math.max(...within2, after[0]) : Infinity, why);
  }
  function at(node, scope, base, chosen2, evaluate2) {
    const pairs = timed(node, scope, base, chosen2);
    const until = evaluate2(node.until, scope);
    if (pairs instanceof Unknown) return pairs;
    if (until instanceof Unknown || until === NONE) return until;
    const found = pairs.find(([clock2]) => typeof until === "number" && Math.abs(clock2 - until) <= SAME_TIME);
    return found ? found[1] : missing(base);
  }
  var FOLDED = {
    count: (_, __, ___, chosen2) => chosen2.length,
    first: ended(false),
    last: ended(true),
    lowest: picked(
      (known) => Math.min(...known),
      (found) => [-Infinity, found]
    ),
    highest: picked(
      (known) => Math.max(...known),
      (found) => [found, Infinity]
    ),
    average: picked(mean, null),
    total: totalOf,
    at,
    highest_until: highestUntil
  };

  // source/values.js
  var MINUTES_A_DAY = 1440;
  var OPEN = "left open: ";
  var TOO_LARGE = "a result too large for a number";
  var ARITHMETIC = { "+": (a, b) => a + b, "-": (a, b) => a - b, "*": (a, b) => a * b, "/": (a, b) => a / b };
  var MOVES = { "+": [1, 1], "-": [1, -1] };
  function evaluate(node, scope) {
    switch (node.is) {
      case "fact":
        return scope.read(scope.path(node));
      case "constant":
        return constant(node);
      case "named":
        return named(node, scope);
      case "arithmetic":
        return arithmetic(node, scope);
      case "call":
        return call(node, scope);
      case "first_given":
        return firstGiven(node, scope);
      case "lookup":
        return lookup(node, scope);
      default:
        return fold(node, scope, evaluate);
    }
  }
  function constant(node) {
    return node.value === null ? new Unknown(cause("not_adopted", "", `${OPEN}${node.name}`), `open(${node.name})`) : node.value;
  }
  function named(node, scope) {
    if (!scope.named.has(node.name)) scope.named.set(node.name, evaluate(scope.where[node.name], scope));
    return scope.named.get(node.name);
  }
  function firstGiven(node, scope) {
    const first = evaluate(node.first, scope);
    return first === NONE ? evaluate(node.second, scope) : first;
  }
  function arithmetic(node, scope) {
    const values = [evaluate(node.left, scope), evaluate(node.right, scope)];
    const work = node.kind === "date" ? movedDay(node.operator) : worked(node.operator);
    const found = apply(work, values, MOVES[node.operator] ?? [0, 0], `sum ${node.operator}`);
    return node.operator === "-" && node.kind === "duration" && node.left.kind === "date" ? scaled(found, MINUTES_A_DAY) : found;
  }
  function worked(operator) {
    return (a, b) => {
      if (operator === "/" && b === 0) throw new OutOfRange("a division by zero");
      return ARITHMETIC[operator](Number(a), Number(b));
    };
  }
  function movedDay(operator) {
    return (day3, minutes) => {
      const moved = ARITHMETIC[operator](day3, minutes / MINUTES_A_DAY);
      return Number.isFinite(moved) ? Math.trunc(moved) : moved;
    };
  }
  function scaled(value, by) {
    if (value instanceof Range) return new Range(value.low * by, value.high * by, value.causes);
    return typeof value === "number" ? value * by : value;
  }
  function call(node, scope) {
    const program = scope.facts.program;
    const used = program.functions[node.function];
    const values = node.arguments.map((one) => evaluate(one, scope));
    const open2 = node.tables.find((table) => table.value === null);
    if (open2) return constant(open2);
    const tables = {};
    node.tables.forEach((table, index) => {
      tables[used.tables[index]] = table.value;
    });
    const work = (...given2) => result(program, node.function, given2, tables);
    const found = apply(
      work,
      values,
      used.arguments.map(([, , moves]) => moves),
      `call ${node.function}`
    );
    return found instanceof Unknown ? blamed(found, factsRead([node], scope)) : found;
  }
  function blamed(found, facts) {
    const causes = [...found.causes.values()].map(
      (one) => one.fact || one.reason !== "implausible" ? cause(one.reason, one.fact, one.detail) : cause(one.reason, facts[0] ?? "", one.detail)
    );
    return new Unknown(together(causes), found.trace);
  }
  function apply(work, values, moves, name) {
    if (values.includes(NONE)) return NONE;
    const open2 = values.some((value, index) => value instanceof Unknown || value instanceof Range && !moves[index]);
    const ranged = values.some((value) => value instanceof Range);
    if (!open2 && !ranged) return tried(() => work(...values), values, name);
    const causes = together(
      values.flatMap((value) => value instanceof Unknown || value instanceof Range ? [value.causes] : [])
    );
    const left = () => new Unknown(causes, `${name}(${values.map(traced).join()})`);
    if (open2) return left();
    const end = (high) => work(
      ...values.map(
        (value, index) => value instanceof Range ? moves[index] > 0 === high ? value.high : value.low : value
      )
    );
    const ends4 = tried(() => [end(false), end(true)], values, name, causes);
    if (ends4 instanceof Unknown) return ends4;
    return ends4.some(Number.isNaN) ? left() : new Range(ends4[0], ends4[1], causes);
  }
  function tried(work, values, name, causes) {
    try {
      const found = work();
      if (!causes && typeof found === "number" && !Number.isFinite(found)) throw new OutOfRange(TOO_LARGE);
      return found;
    } catch (error) {
      if (!(error instanceof OutOfRange)) throw error;
      const why = cause("implausible", "", error.message);
      return new Unknown(causes ? together([why, causes]) : why, `${name}(${values.map(traced).join()})`);
    }
  }
  function lookup(node, scope) {
    const keys = node.keys.map((key) => evaluate(key, scope));
    if (keys.includes(NONE)) return NONE;
    const trace = () => `table(${node.table},${keys.map(traced).join()})`;
    const unknown = keys.filter((key) => key instanceof Unknown || key instanceof Range);
    if (unknown.length) return new Unknown(together(unknown.map((key) => key.causes)), trace());
    const row = node.rows.find(
      (one) => one.keys.every((part, index) => hit(part, keys[index]))
    );
    if (row) return row.value === null ? NONE : row.value;
    const said2 = keys.map((key, index) => asText(key, node.keys[index].kind));
    const detail = `no row of '${node.table}' serves ${said2.join(", ")}`;
    return blamed(new Unknown(cause("implausible", "", detail), trace()), factsRead([node], scope));
  }
  function hit(part, key) {
    return typeof part === "string" ? part === key : typeof key !== "string" && part[0] <= Number(key) && Number(key) < part[1];
  }
  function asText(value, kind) {
    if (typeof value === "boolean") return value ? "True" : "False";
    if (typeof value !== "number") return String(value);
    return kind === "date" ? String(value) : asFloat(value);
  }

  // source/uncertainty.js
  var COVERAGE = 2;
  function margin(node, scope, accuracy) {
    const sides = sidesOf(node, scope);
    if (sides === null) return null;
    const stated2 = /* @__PURE__ */ new Map();
    const unstated = [];
    for (const path of factsRead([node], scope)) {
      const found = accuracy(path);
      if (found) stated2.set(path, found);
      else if (found === null) unstated.push(path);
    }
    if (!stated2.size && !unstated.length) return made(sides, 0, []);
    return made(sides, unstated.length ? null : standardOf(node, scope, stated2), unstated);
  }
  function made(sides, standard, unstated) {
    const expanded = standard === null ? null : COVERAGE * standard;
    const probability = standard === null ? null : conformity(sides, standard);
    return { amount: Math.min(...sides), sides, standard, expanded, probability, unstated };
  }
  function conformity(sides, standard) {
    if (standard === 0) return Math.min(...sides) >= 0 ? 1 : 0;
    return total(sides.map((side) => 0.5 * erfc(-(side / standard) / Math.sqrt(2)))) - (sides.length - 1);
  }
  function standardOf(node, scope, stated2) {
    const steps = [...stated2].map(([path, { half_width, instrument }]) => [
      instrument,
      /* @__PURE__ */ new Map([[path, half_width / Math.sqrt(3)]])
    ]);
    scatters(node, scope).forEach(
      ([paths, scatter], at2) => steps.push([`scatter ${at2}`, new Map(paths.map((path) => [path, scatter]))])
    );
    const moved = [];
    for (const [instrument, step] of steps) {
      const [up, down] = [1, -1].map(
        (sign) => sidesOf(node, scope.moving(new Map([...step].map(([path, by]) => [path, sign * by]))))
      );
      if (up === null || down === null) return null;
      moved.push([instrument, up.map((a, index) => (a - down[index]) / 2)]);
    }
    return Math.max(
      ...node.operators.map(
        (_, side) => combined(moved.map(([name, changes]) => [name, changes[side]]))
      )
    );
  }
  function combined(changes) {
    const byInstrument = /* @__PURE__ */ new Map();
    for (const [instrument, change] of changes)
      byInstrument.set(instrument, (byInstrument.get(instrument) ?? 0) + change);
    const squares = (several) => Math.sqrt(total(several.map((change) => change ** 2)));
    return Math.max(squares(changes.map(([, change]) => change)), squares([...byInstrument.values()]));
  }
  function scatters(node, scope) {
    return partsThatRead(node).flatMap((part) => {
      if (part.is === "named") return scatters(scope.where[part.name], scope);
      if (part.is !== "fold" || part.name !== "average") return [];
      const base = scope.path(part.items);
      const paths = (scope.facts.items(base) ?? []).map((_, index) => `${base}.${index}.${part.field}`);
      const values = paths.map((path) => scope.facts.value(path)).filter((value) => typeof value === "number");
      return values.length > 1 ? [
        /** @type {[string[], number]} */
        [paths, deviation(values) / Math.sqrt(values.length)]
      ] : [];
    });
  }
  function sidesOf(node, scope) {
    const values = node.operands.map((one) => evaluate(one, scope));
    if (values.some((value) => typeof value !== "number")) return null;
    if (node.operators.some((operator) => operator === "==" || operator === "!=")) return null;
    return node.operators.map(
      (operator, index) => operator.startsWith("<") ? values[index + 1] - values[index] : values[index] - values[index + 1]
    );
  }

  // source/instruments.js
  var Instruments = class {
    /**
     * @param {Vocabulary} vocabulary
     * @param {Job} job
     * @param {Record<string, [number, number]>} given What the rulesets give, by kind of reading: an amount, and a share.
     */
    constructor(vocabulary, job, given2) {
      this.vocabulary = vocabulary;
      this.job = job;
      this.given = given2;
      this.keys = job.lists[vocabulary.at("instruments")] ?? [];
      this.known = /* @__PURE__ */ new Map();
      this.stated = this.keys.map(() => []);
      for (const [path, { value }] of Object.entries(job.readings)) this.note(path, value);
    }
    /** @param {string} path @param {any} value */
    note(path, value) {
      const listed = `${this.vocabulary.at("instruments")}.`;
      if (!this.keys.length || !path.startsWith(listed) || typeof value !== "number") return;
      const { form, kind, path: fact } = (
        /** @type {Leaf} */
        this.vocabulary.leaf(path)
      );
      if (form === "quantity" && kind !== "number" && fact !== this.vocabulary.at("instruments.span")) {
        this.stated[Number(path.slice(listed.length).split(".")[0])].push([kind, Math.abs(value)]);
      }
    }
    /** How accurate a reading is; null: measured, but unstated; false: not measured. @param {string} path @returns {Accuracy|null|false} */
    of(path) {
      const found = this.known.get(path);
      if (found !== void 0) return found;
      const made2 = this.made(path);
      this.known.set(path, made2);
      return made2;
    }
    /** @param {string} path @returns {Accuracy|null|false} */
    made(path) {
      const leaf = this.vocabulary.leaf(path);
      const reading2 = this.job.readings[path];
      if (!leaf?.measured || !reading2 || typeof reading2.value !== "number" || leaf.form === "date") return false;
      if (reading2.addedFrom.length) return ofSum(reading2.addedFrom.map((part) => this.of(part)));
      const index = this.instrumentAt(reading2.instrument, leaf.measured);
      const half = index < 0 ? null : this.halfWidth(index, leaf.kind, reading2.value);
      if (half !== null) return { half_width: half, instrument: this.keys[index] };
      if (!Object.hasOwn(this.given, leaf.measured)) return null;
      const [fixed2, share] = this.given[leaf.measured];
      return { half_width: fixed2 + share * Math.abs(reading2.value), instrument: leaf.measured };
    }
    /** The position of the instrument a reading names, or of the only one of its kind; -1 where there is none. @param {string} named @param {string} measured */
    instrumentAt(named4, measured) {
      if (named4) return this.keys.indexOf(named4);
      const ofKind = this.keys.flatMap((_, index) => this.value("instruments.kind", index) === measured ? [index] : []);
      return ofKind.length === 1 ? ofKind[0] : -1;
    }
    /** @param {string} role @param {number} index */
    value(role, index) {
      return this.job.readings[this.vocabulary.at(role, index)]?.value;
    }
    /** The fixed part in the kind's own difference, and the part of the reading. @param {number} index @param {string} kind @param {number} amount */
    halfWidth(index, kind, amount) {
      const difference = DIFFERENCE_OF[kind] ?? kind;
      const parts = this.stated[index].filter(([of]) => of === difference).map(([, part]) => part);
      const [share, ofSpan, span2] = ["accuracy_of_reading", "accuracy_of_span", "span"].map(
        (role) => this.value(`instruments.${role}`, index)
      );
      if (typeof share === "number") parts.push(Math.abs(share * amount));
      if (typeof ofSpan === "number" && typeof span2 === "number") parts.push(Math.abs(ofSpan * span2));
      return parts.length ? total(parts) : null;
    }
  };
  function ofSum(parts) {
    const known = (
      /** @type {Accuracy[]} */
      parts.filter(Boolean)
    );
    if (known.length < parts.length) return parts.includes(null) ? null : false;
    return {
      half_width: combined(known.map((part) => [part.instrument, part.half_width])),
      instrument: known[0].instrument
    };
  }

  // source/amounttext.js
  var FRACTION = /^\s*(?:(\d+)[ -]\s*)?(\d+)\/(\d+)(?=\D|$)/;
  var OF_AN_INCH = ["2", "4", "8", "16", "32", "64"];
  var IN_FRACTIONS = { length: "inch", slope: "in_per_ft" };
  var QUOTES = { "’": "'", "′": "'", "‘": "'", "”": '"', "″": '"', "“": '"' };
  var HYPHEN = /(\d)\s*-\s*(?=[\p{L}_])/gu;
  var DEGREES = /\s*(?:°|deg(?:rees?)?\.?)\s*/i;
  var DEGREES_ALONE = new RegExp(`^(?:${DEGREES.source})$`, "i");
  var DIFFERENCE = /^\s*(?:±|\+\s*\/\s*-|\+-)\s*/;
  var IN_DEGREES = ["temperature", "temperature_difference"];
  var PLAIN = "\\d+(?:\\.\\d+)?";
  var LB_OZ = new RegExp(`^\\s*(\\d+)\\s*(?:lbs?|pounds?|#)\\.?[\\s,-]*(${PLAIN})\\s*(?:oz|ounces?)?\\.?\\s*$`, "i");
  var FT_IN = new RegExp(
    `^\\s*(-?\\d+)\\s*(?:'|ft|feet|foot)\\.?[\\s,-]*((?:\\d+[ -])?\\d+/\\d+|${PLAIN})\\s*(?:"|''|in|inch|inches)?\\.?\\s*$`,
    "i"
  );
  var BY_THE_THOUSAND = ["Btu_per_h"];
  var THOUSANDS = new RegExp(`^\\s*(${PLAIN})\\s*k\\s*$`, "i");
  var CODE = /^\s*0(\d\d)\s*$/;
  var NotOneNumber = class extends Error {
  };
  function plainAmount(text2, kind, declared) {
    const told3 = text2.replace(/[’′‘”″“]/g, (sign) => QUOTES[sign]).replace(HYPHEN, "$1 ");
    const compound = { mass: ofMass, length: ofLength, power: ofPower }[kind];
    return compound && compound(told3, declared) || fraction(told3, kind) || told3;
  }
  function withoutDegrees(text2, kind) {
    const found = IN_DEGREES.includes(kind) ? DEGREES.exec(text2) : null;
    return found && found.index + found[0].length === text2.length ? text2.slice(0, found.index) : text2;
  }
  function few(number) {
    const amount = Math.abs(Number(number.replaceAll(",", "")));
    return !CODE.test(number) && !number.includes("/") && amount > 0 && amount < 1e3;
  }
  var isFraction = (text2) => FRACTION.test(text2);
  function fraction(text2, kind) {
    const found = FRACTION.exec(text2);
    return found ? asGeneral(inches(found, kind), 10) + text2.slice(found[0].length) : "";
  }
  function inches([, whole2, over, below], kind) {
    if (!(kind in IN_FRACTIONS) || !OF_AN_INCH.includes(below) || !(Number(over) > 0 && Number(over) < Number(below))) {
      throw new NotOneNumber();
    }
    return Number(whole2 ?? 0) + Number(over) / Number(below);
  }
  function ofMass(text2) {
    const found = LB_OZ.exec(text2);
    return found && Number(found[2]) < 16 ? `${asGeneral(Number(found[1]) + Number(found[2]) / 16, 10)} lb` : "";
  }
  function ofLength(text2, declared) {
    const found = FT_IN.exec(text2);
    if (!found) return "";
    const whole2 = FRACTION.exec(found[2]);
    const part = whole2 && whole2[0].length === found[2].length ? whole2 : null;
    const over = part ? inches(part, "length") : Number(found[2]);
    if (over >= 12) return "";
    const total2 = 12 * Math.abs(Number(found[1])) + over;
    const sign = found[1].startsWith("-") ? "-" : "";
    return declared === "ft" ? `${sign}${asGeneral(total2 / 12, 10)} ft` : `${sign}${asGeneral(total2, 10)} in`;
  }
  function ofPower(text2, declared) {
    const found = THOUSANDS.exec(text2) ?? CODE.exec(text2);
    return found && BY_THE_THOUSAND.includes(declared) ? `${asGeneral(Number(found[1]) * 1e3, 10)} ${declared}` : "";
  }

  // source/texts.js
  var CUTOFF = 0.6;
  var MOST_OFFERED = 3;
  var Float = class {
    /** @param {number} value */
    constructor(value) {
      this.value = value;
    }
  };
  function numberOf(value) {
    return value instanceof Float ? value.value : typeof value === "number" ? value : void 0;
  }
  var isWhole = (value) => typeof value === "number" && Number.isInteger(value);
  function numberText(value) {
    return isWhole(value) ? String(value) : asFloat(
      /** @type {number} */
      numberOf(value)
    );
  }
  function isGroup(value) {
    return value !== null && typeof value === "object" && !Array.isArray(value) && !(value instanceof Float);
  }
  var folded = (text2) => text2.toLowerCase().replaceAll("ß", "ss");
  function quoted(text2) {
    const mark = text2.includes("'") && !text2.includes('"') ? '"' : "'";
    const inside = text2.replaceAll("\\", "\\\\").replaceAll("\n", "\\n").replaceAll("	", "\\t").replaceAll("\r", "\\r");
    return `${mark}${mark === "'" ? inside.replaceAll("'", "\\'") : inside}${mark}`;
  }
  var nameOf = (path) => path.slice(path.lastIndexOf(".") + 1);
  var around = (path) => path.slice(0, Math.max(path.lastIndexOf("."), 0));
  var under = (path, place2) => path === place2 || path.startsWith(`${place2}.`);
  function didYouMean(word, known) {
    const close = closest(word, [...known]);
    const begun = close.filter((name) => name.startsWith(word)).sort(byCode);
    const offered = begun.includes(close[0]) ? begun : close.slice(0, 1);
    return offered.length ? `Did you mean ${offered.map(quoted).join(" or ")}?` : "";
  }
  function byCode(a, b) {
    const [one, other] = [[...a], [...b]];
    for (let at2 = 0; at2 < Math.min(one.length, other.length); at2 += 1) {
      const apart = (
        /** @type {number} */
        one[at2].codePointAt(0) - /** @type {number} */
        other[at2].codePointAt(0)
      );
      if (apart) return apart;
    }
    return one.length - other.length;
  }
  function closest(word, known) {
    return known.map((name) => ({ name, score: likeness([...name], [...word]) })).filter(({ score }) => score >= CUTOFF).sort((a, b) => b.score - a.score || byCode(b.name, a.name)).slice(0, MOST_OFFERED).map(({ name }) => name);
  }
  function likeness(one, other) {
    const all = one.length + other.length;
    return all ? 2 * shared(one, other) / all : 1;
  }
  function shared(one, other) {
    let [begin, there, length] = [0, 0, 0];
    let before = /* @__PURE__ */ new Map();
    one.forEach((sign, i) => {
      const now = /* @__PURE__ */ new Map();
      other.forEach((same, j) => {
        if (same !== sign) return;
        const run = (before.get(j - 1) ?? 0) + 1;
        now.set(j, run);
        if (run > length) [begin, there, length] = [i - run + 1, j - run + 1, run];
      });
      before = now;
    });
    if (!length) return 0;
    return length + shared(one.slice(0, begin), other.slice(0, there)) + shared(one.slice(begin + length), other.slice(there + length));
  }

  // source/jsontext.js
  var MOST_DEPTH = 40;
  var SPACE = /[ \t\n\r]*/y;
  var TEXT = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
  var NUMBER = /-?(?:0|[1-9]\d*)(\.\d+)?([eE][-+]?\d+)?/y;
  var WORD = /true|false|null/y;
  var MOST_DIGITS = 20;
  var HALF = /[\ud800-\udfff]/u;
  var STEERING = /[\x7f-\x9f\xad\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]|[\u{110bd}\u{110cd}\u{13430}-\u{1343f}\u{1bca0}-\u{1bca3}\u{1d173}-\u{1d17a}\u{e0000}-\u{e007f}]/gu;
  var ProblemsFound = class extends Error {
    /** @param {Problem[]} problems */
    constructor(problems) {
      super(problems.map((one) => `${one.what} ${one.hint}`).join("\n"));
      this.problems = problems;
    }
  };
  var JsonDocument = class {
    /**
     * @param {string} text
     * @throws {ProblemsFound}
     */
    constructor(text2) {
      this.text = text2;
      this.at = 0;
      this.places = /* @__PURE__ */ new Map();
      this.twice = [];
      this.data = this.value([], 0);
      this.space();
      if (this.at < text2.length)
        this.refuse("Something stands after the end of the job.", "A file holds one job: take the rest out.");
      if (this.twice.length)
        throw new ProblemsFound(
          this.inOrder(
            this.twice.map(
              ({ at: at2, name }) => this.problem([...at2, name, "="], `'${name}' stands here twice.`, "Keep one of the two.")
            )
          )
        );
    }
    /** @param {At} at @param {number} depth @returns {any} */
    value(at2, depth) {
      this.space();
      this.places.set(at2.join("\0"), this.at);
      if (depth > MOST_DEPTH) this.refuse(`Nested more than ${MOST_DEPTH} deep.`, "Look for a bracket too many.");
      const sign = this.text[this.at];
      if (sign === "{") return this.group(at2, depth);
      if (sign === "[") return this.list(at2, depth);
      if (sign === '"') return this.string();
      const word = this.matched(WORD);
      if (word) return word[0] === "null" ? null : word[0] === "true";
      const number = this.matched(NUMBER);
      if (number) return this.number(number);
      return this.refuse(
        "A value is missing here, or a text is without its double quotes.",
        'Write "text", a number, true or false.'
      );
    }
    /** @param {RegExpExecArray} found */
    number([written4, part, power]) {
      const value = Number(written4);
      const whole2 = part === void 0 && power === void 0;
      if (!Number.isFinite(value) || whole2 && written4.length > MOST_DIGITS) {
        this.refuse(
          `${written4.slice(0, 20)} is not a number that can be judged.`,
          'Write the reading, or {"not_known": "why"}.'
        );
      }
      if (whole2) return value === 0 ? 0 : value;
      return Number.isInteger(value) ? new Float(value) : value;
    }
    string() {
      const found = this.matched(TEXT);
      if (!found)
        return this.refuse(
          "The text that begins here is not closed, or holds a sign that no text has.",
          'End it with ", and write it on one line.'
        );
      const text2 = (
        /** @type {string} */
        JSON.parse(found[0])
      );
      if (HALF.test(text2)) this.refuse("The text holds half a character.", "Type it again.");
      return text2;
    }
    /** @param {At} at @param {number} depth */
    group(at2, depth) {
      const found = /* @__PURE__ */ Object.create(null);
      this.parts("}", () => {
        const begin = this.at;
        if (this.text[begin] !== '"')
          this.refuse("A name in double quotes is wanted here.", 'Write "name": value, and no comma after the last one.');
        const name = this.string();
        this.space();
        if (this.text[this.at] !== ":") this.refuse("A colon is missing after the name.", 'Write "name": value.');
        this.at += 1;
        if (Object.hasOwn(found, name) && !this.twice.some((one) => one.name === name && one.at.join() === at2.join()))
          this.twice.push({ at: at2, name });
        this.places.set([...at2, name, "="].join("\0"), begin);
        found[name] = this.value([...at2, name], depth + 1);
      });
      return found;
    }
    /** @param {At} at @param {number} depth */
    list(at2, depth) {
      const found = [];
      this.parts("]", () => found.push(this.value([...at2, found.length], depth + 1)));
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
      for (; ; ) {
        this.space();
        part();
        this.space();
        if (this.text[this.at] === end) break;
        if (this.text[this.at] !== ",")
          this.refuse(
            "A comma or a closing bracket is missing before this.",
            "Each entry of a group but the last ends in a comma."
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
      const told3 = `This is not JSON: ${what[0].toLowerCase()}${what.slice(1)}`;
      const own = what.startsWith("Nested") || what.includes("judged") || what.includes("half a");
      throw new ProblemsFound([{ at: [], line: this.lineOf(this.at), what: own ? what : told3, hint }]);
    }
    /** @param {number} at */
    lineOf(at2) {
      return this.text.slice(0, at2).split("\n").length;
    }
    /** Where a part begins; where it is missing, the nearest around it. @param {At} at @returns {number} */
    begins(at2) {
      const found = this.places.get(at2.join("\0"));
      return found !== void 0 ? found : at2.length ? this.begins(at2.slice(0, -1)) : -1;
    }
    /** @param {At} at @param {string} what @param {string} hint @returns {Problem} */
    problem(at2, what, hint) {
      return { at: at2, line: this.lineOf(this.begins(at2)), what, hint };
    }
    /** Problems in the order of the text, each once. @param {Problem[]} problems */
    inOrder(problems) {
      const seen = /* @__PURE__ */ new Set();
      return problems.filter((one) => {
        const key = `${this.begins(one.at)} ${one.what} ${one.hint}`;
        return !seen.has(key) && seen.add(key);
      }).sort((a, b) => this.begins(a.at) - this.begins(b.at) || byCode(a.what, b.what));
    }
  };
  var writtenJob = (data) => `${indented(data, "")}
`;
  function indented(data, before) {
    const step = `${before}  `;
    if (Array.isArray(data))
      return bracketed(
        "[",
        data.map((one) => indented(one, step)),
        "]",
        before
      );
    if (isGroup(data)) {
      return bracketed(
        "{",
        Object.entries(data).map(([name, one]) => `${onOneLine(name)}: ${indented(one, step)}`),
        "}",
        before
      );
    }
    return onOneLine(data);
  }
  function bracketed(open2, parts, close, before) {
    return parts.length ? `${open2}
${parts.map((one) => `${before}  ${one}`).join(",\n")}
${before}${close}` : open2 + close;
  }
  function onOneLine(data) {
    if (Array.isArray(data)) return `[${data.map(onOneLine).join(", ")}]`;
    if (isGroup(data))
      return `{${Object.entries(data).map(([name, one]) => `${onOneLine(name)}: ${onOneLine(one)}`).join(", ")}}`;
    if (typeof data === "string") return JSON.stringify(data).replace(STEERING, escaped);
    return data === null || typeof data === "boolean" ? String(data) : numberText(data);
  }
  var escaped = (sign) => sign.split("").map((half) => `\\u${half.charCodeAt(0).toString(16).padStart(4, "0")}`).join("");

  // source/units.js
  var MOST = 1e12;
  var USUAL_DIGITS2 = 4;
  var NUMBER2 = /^\s*([-+]?(?:(?:[1-9]\d{0,2}(?:,\d{3})+|0|[1-9]\d*)(?:\.\d+)?|\.\d+)(?:[eE][-+]?\d+)?)(?!\d)\s*(.*?)\s*$/s;
  var LeafError = class extends Error {
    /** @param {string} what @param {string} hint */
    constructor(what, hint) {
      super(`${what} ${hint}`);
      this.what = what;
      this.hint = hint;
    }
  };
  var sound = (written4) => folded(written4).replace(/[\s.]/g, "");
  var Units = class {
    /** @param {Unit[]} all */
    constructor(all) {
      this.all = all;
      this.bySound = /* @__PURE__ */ new Map();
      for (const unit of all) {
        for (const word of [unit.name, unit.shown, ...unit.also, ...unit.typed ?? []]) {
          this.bySound.set(`${unit.kind} ${sound(word)}`, unit);
        }
      }
    }
    /** The unit of a kind that is written so. @param {string} kind @param {string} written */
    find(kind, written4) {
      const exact = this.all.find(
        (unit) => unit.kind === kind && (unit.name === written4 || unit.shown === written4 || unit.also.includes(written4))
      );
      return exact ?? this.bySound.get(`${kind} ${sound(written4)}`);
    }
    /** The unit of a kind that is written so, or its base unit. @param {string} kind @param {string} written @returns {Unit} */
    unit(kind, written4) {
      const base = (unit) => unit.kind === kind && unit.scale === 1 && unit.offset === 0;
      return this.find(kind, written4) ?? /** @type {Unit} */
      this.all.find(base);
    }
    /** How a unit is printed. @param {string} name */
    shown(name) {
      return this.all.find((unit) => unit.name === name)?.shown ?? name;
    }
    /**
     * An amount in base units as a person reads it.
     * @param {number} amount
     * @param {string} kind
     * @param {string} written
     * @param {number|null} [digits]
     */
    write(amount, kind, written4, digits = null) {
      const unit = this.unit(kind, written4);
      let text2 = roundedDecimal(fromBase(amount, unit), digits ?? USUAL_DIGITS2);
      if (digits === null && text2.includes(".")) text2 = text2.replace(/0+$/, "").replace(/\.$/, "");
      return unit.shown ? `${text2} ${unit.shown}` : text2;
    }
    /**
     * Read `118 psig` or `42.5 °C`: the amount in base units, its unit, and the number as written.
     * @param {string} text
     * @param {string} kind
     * @param {string} declared The unit to name where the text has none.
     * @returns {{amount: number, unit: Unit, number: string}}
     * @throws {LeafError}
     */
    read(text2, kind, declared) {
      const found = NUMBER2.exec(this.plain(text2, kind, declared));
      const shown2 = this.shown(declared);
      if (!found) throw new LeafError(`'${text2}' is not a number with a unit.`, `Write it as "10 ${shown2}".`);
      const number = found[1].replaceAll(",", "");
      let written4 = found[2];
      if (written4.startsWith("/")) throw this.slash(text2, declared);
      if (/^[,.]/.test(written4)) {
        throw new LeafError(
          `'${text2}' is not one number.`,
          `Write one number with a point for its decimals: "10.5 ${shown2}".`
        );
      }
      if (!written4 && kind !== "number") throw new LeafError(`'${text2}' has no unit.`, `Write "${number} ${shown2}".`);
      if (IN_DEGREES.includes(kind) && DEGREES_ALONE.test(written4)) written4 = declared;
      const unit = this.find(kind, written4);
      if (!unit) throw this.wrong(written4, kind, declared);
      if (isFraction(text2) && unit.name !== IN_FRACTIONS[kind]) throw this.slash(text2, declared);
      if (Math.abs(Number(number)) > MOST) {
        throw new LeafError(`'${text2}' is too large to be an amount.`, "Write the reading as the meter shows it.");
      }
      return { amount: toBase(Number(number), unit), unit, number };
    }
    /** @param {string} text @param {string} kind @param {string} declared */
    plain(text2, kind, declared) {
      try {
        return plainAmount(text2, kind, declared);
      } catch (error) {
        throw error instanceof NotOneNumber ? this.slash(text2, declared) : error;
      }
    }
    /** @param {string} text @param {string} declared */
    slash(text2, declared) {
      const what = `'${text2}' holds a slash, which is read in a fraction of an inch such as 1-1/8 and nowhere else.`;
      return new LeafError(what, `Write one value, such as "10 ${this.shown(declared)}".`);
    }
    /** @param {string} written @param {string} kind @param {string} declared */
    wrong(written4, kind, declared) {
      const name = kind.replaceAll("_", " ");
      const other = this.all.find((unit) => [unit.name, unit.shown, ...unit.also].includes(written4));
      if (other) {
        const what = `'${written4}' is a unit of ${other.kind.replaceAll("_", " ")}; ${name} is wanted here.`;
        return new LeafError(what, `Write it in ${this.shown(declared)}.`);
      }
      const known = this.all.filter((unit) => unit.kind === kind).flatMap((unit) => [unit.name, ...unit.also]);
      return new LeafError(
        `'${written4}' is not a unit of ${name}.`,
        didYouMean(written4, known) || `Use ${this.shown(declared)}.`
      );
    }
  };
  var toBase = (number, { scale, offset }) => settled(number * scale + offset);

  // source/factreader.js
  var SAYS_NOTHING = ["n/a", "na", "n.a.", "-", "--", "—", "?", "??", "tbd", "unknown", "not known"];
  var NEEDED = ["job_id", "key"];
  var MOST_COUNTED = 1e6;
  var HAIR = 1e-9;
  var saysNothing = (text2) => SAYS_NOTHING.includes(folded(text2.trim()));
  var reading = (value, written4, more = {}) => ({
    value,
    written: written4,
    unit: "",
    digits: 0,
    instrument: "",
    origin: "",
    addedFrom: [],
    ...more
  });
  function called(value) {
    if (typeof value === "boolean") return "yes or no";
    if (numberOf(value) !== void 0) return "a number";
    if (typeof value === "string") return "text";
    if (Array.isArray(value)) return "a list";
    return isGroup(value) ? "a group of facts" : "that";
  }
  function readLeaf(units, leaf, value) {
    if (leaf.form === "quantity") return quantity(units, leaf, value);
    if (leaf.form === "count") return count(units, leaf, value);
    if (leaf.form === "flag") return flag(value);
    if (leaf.form === "text") return text(leaf, value);
    if (leaf.form === "choice") return choice(leaf, value);
    if (leaf.form === "date") return date(value);
    return isWhole(value) ? reading(value, String(value)) : reading(pythonText(value), pythonText(value));
  }
  function quantity(units, leaf, value) {
    const shown2 = units.shown(leaf.unit);
    if (!isGroup(value)) return amountOf(units, leaf, value, "");
    const what = misshapen(value);
    if (what) throw new LeafError(what, `Write {"value": 10, "unit": "${shown2}", "instrument": "its key"}.`);
    const told3 = "unit" in value ? `${numberText(value.value)} ${value.unit}` : value.value;
    return amountOf(units, leaf, told3, value.instrument ?? "");
  }
  function misshapen(value) {
    if (numberOf(value.value) === void 0) return "a number is wanted under 'value'.";
    for (const name of Object.keys(value).sort(byCode)) {
      if (name === "value") continue;
      if (name !== "unit" && name !== "instrument") return `'${name}' is not a part of a reading.`;
      if (typeof value[name] !== "string" || !value[name].trim()) return `text is wanted under '${name}'.`;
    }
    return "";
  }
  function amountOf(units, leaf, value, instrument) {
    const number = numberOf(value);
    if (number === void 0 && typeof value !== "string") {
      const shown2 = units.shown(leaf.unit);
      throw new LeafError(`a number of ${shown2} is wanted, not ${called(value)}.`, `Write 10 or "10 ${shown2}".`);
    }
    const {
      amount,
      unit,
      text: told3
    } = number === void 0 ? fromText(units, leaf, value) : fromNumber(units, leaf, number);
    const digits = (told3.split(".")[1] ?? "").split("e")[0].length;
    const written4 = `${told3} ${unit.shown}`.trimEnd();
    lookAtBounds(units, leaf, amount, written4);
    return reading(amount, written4, { unit: unit.name, digits, instrument });
  }
  function fromText(units, leaf, value) {
    const told3 = leaf.either_way ? value.replace(DIFFERENCE, "") : value;
    const { amount, unit, number } = units.read(told3, leaf.kind, leaf.unit);
    if (unit.name !== leaf.unit && number === told3.trim().replaceAll(",", "")) {
      throw new LeafError(`'${told3}' has no unit.`, `Write "${number} ${units.shown(leaf.unit)}".`);
    }
    return { amount, unit, text: number };
  }
  function fromNumber(units, leaf, number) {
    if (Math.abs(number) > MOST) {
      throw new LeafError(
        `${asGeneral(number, 6)} is too large to be an amount.`,
        "Write the reading as the meter shows it."
      );
    }
    const unit = units.unit(leaf.kind, leaf.unit);
    return { amount: toBase(number, unit), unit, text: asGeneral(number, 10) };
  }
  function lookAtBounds(units, leaf, amount, written4) {
    if (!leaf.bounds) return;
    const low2 = leaf.bounds[0] ?? -Infinity;
    const high = leaf.bounds[1] ?? Infinity;
    const hair = HAIR * Math.max(Math.abs(low2), Math.abs(high));
    if (low2 - hair <= amount && amount <= high + hair) return;
    if (amount < 0 && low2 === 0) {
      throw new LeafError(
        `${written4} is below zero, and this cannot be.`,
        "Write it without the minus sign, or measure again."
      );
    }
    const [end, side] = amount < low2 ? [low2, "less"] : [high, "more"];
    const told3 = units.write(end, leaf.kind, leaf.unit);
    throw new LeafError(
      `${written4} is ${side} than this can be: ${told3} is the end.`,
      "Look at the reading and its unit again."
    );
  }
  function count(units, leaf, value) {
    if (!isWhole(value) || value < 0 || value > MOST_COUNTED) {
      throw new LeafError("a whole number is wanted.", "Write 0, 1, 2 …");
    }
    lookAtBounds(units, leaf, value, String(value));
    return reading(value, String(value), { unit: "one" });
  }
  function flag(value) {
    if (typeof value !== "boolean") {
      throw new LeafError(`yes or no is wanted, not ${called(value)}.`, "Write true or false, without quotes.");
    }
    return reading(value, value ? "yes" : "no");
  }
  function text(leaf, value) {
    if (typeof value !== "string" || !value.trim()) {
      const what = typeof value === "string" ? "the text is empty." : `text is wanted, not ${called(value)}.`;
      throw new LeafError(what, NEEDED.includes(nameOf(leaf.path)) ? 'Write "…".' : 'Write "…", or leave it out.');
    }
    if (saysNothing(value)) {
      const hint = 'Leave it out, or write {"not_known": "why"}';
      throw new LeafError(`'${value}' says nothing.`, hint + (leaf.may_be_none ? ', or {"none": "why"}.' : "."));
    }
    return reading(value, value);
  }
  function choice(leaf, value) {
    if (typeof value !== "string" || !leaf.possible.includes(value)) {
      const word = pythonText(value);
      const key = word.toLowerCase().replaceAll("_", " ");
      const meant2 = Object.hasOwn(leaf.said, key) ? leaf.said[key] : [];
      const hint = meant2.length ? `Did you mean ${meant2.map((one) => `'${one}'`).join(" or ")}?` : didYouMean(word, leaf.possible);
      throw new LeafError(
        `${onOneLine(value)} is not one of its values.`,
        `${hint} One of: ${leaf.possible.join(", ")}.`.trim()
      );
    }
    return reading(value, value.replaceAll("_", " "));
  }
  function pythonText(value) {
    if (typeof value === "string") return value;
    if (typeof value === "boolean") return value ? "True" : "False";
    return numberOf(value) === void 0 ? onOneLine(value) : numberText(value);
  }
  function date(value) {
    const pair = isGroup(value) && Object.keys(value).join() === "between" ? value.between : null;
    if (!Array.isArray(pair) || pair.length !== 2) return reading(day(value), pythonText(value));
    const [low2, high] = pair.map(day);
    if (low2 > high) throw new LeafError("the two days are the wrong way round.", "Write the earlier day first.");
    return reading({ low: low2, high }, `between ${pair[0]} and ${pair[1]}`);
  }
  function day(value) {
    const found = dayOf(value);
    if (!found) throw new LeafError(`${onOneLine(value)} is not a date.`, 'Write year-month-day, as in "2026-05-04".');
    return found;
  }

  // source/scope.js
  var POSITION = /\.\d+(?=\.|$)/g;
  var NOTHING = /* @__PURE__ */ new Map();
  var pattern = (path) => path.replace(POSITION, "");
  var Facts = class _Facts {
    /**
     * @param {import("./program.js").Program} program
     * @param {Record<string, any>} values By full path, in base units: null for a known none, two ends for a day between two days.
     * @param {Record<string, string[]>} lists The keys of each recorded list.
     * @param {Record<string, string>} [doubts] The readings of which nobody knows whether they are right, with why: not known.
     */
    constructor(program, values, lists, doubts = {}) {
      this.handed = values;
      this.doubts = doubts;
      this.watch = { asked: null };
      this.undoubted = null;
      this.doubtless = false;
      this.program = program;
      this.lists = lists;
      this.values = /* @__PURE__ */ new Map();
      this.read = /* @__PURE__ */ new Map();
      for (const [path, value] of Object.entries(values)) this.values.set(path, asValue(path, value));
      for (const [path, why] of Object.entries(doubts)) {
        this.values.set(path, new Unknown(cause("implausible", path, why), `fact(${path})`));
      }
    }
    /** The same, each reading taken as it is recorded. */
    get asRecorded() {
      if (!this.undoubted) {
        this.undoubted = new _Facts(this.program, this.handed, this.lists);
        this.undoubted.watch = this.watch;
        this.undoubted.doubtless = true;
      }
      return this.undoubted;
    }
    /** What is recorded at a full path; undefined where nothing is. @param {string} path */
    value(path) {
      this.watch.asked?.add(path);
      return this.values.get(path);
    }
    /**
     * Where what nodes read of this job is kept, of one rule at one place: it is asked for again with each value that is tried.
     * @param {object} rule The names of the rule.
     * @param {string} place
     * @returns {Map<any, string[]>}
     */
    readBy(rule, place2) {
      const places2 = this.read.get(rule) ?? /* @__PURE__ */ new Map();
      if (!places2.size) this.read.set(rule, places2);
      const found = places2.get(place2) ?? /* @__PURE__ */ new Map();
      if (!found.size) places2.set(place2, found);
      return found;
    }
    /** Ask for what nodes read as if it were the first time. */
    forgetReads() {
      this.read.clear();
      this.undoubted?.read.clear();
    }
    /** The keys of a recorded list, in order; undefined where it is not recorded. @param {string} path */
    items(path) {
      this.watch.asked?.add(path);
      return Object.hasOwn(this.lists, path) ? this.lists[path] : void 0;
    }
    /**
     * What is known of a fact before any job; undefined where the program has no such fact.
     * @param {string} path
     */
    domain(path) {
      const at2 = pattern(path);
      return Object.hasOwn(this.program.facts, at2) ? this.program.facts[at2] : void 0;
    }
    /**
     * Every value that an unrecorded fact could have, where that is a closed list or a range.
     * @param {string} path
     * @returns {Value[]|Range|undefined}
     */
    possible(path) {
      const domain = this.domain(path);
      if (!domain) return void 0;
      const at2 = pattern(path);
      const ends4 = Object.hasOwn(this.program.ranges, at2) ? this.program.ranges[at2] : domain.range;
      if (ends4) return new Range(ends4[0], ends4[1], cause("not_recorded", path));
      if (!domain.values.length) return void 0;
      return domain.may_be_none ? [...domain.values, NONE] : domain.values;
    }
  };
  function asValue(path, value) {
    if (value === null) return NONE;
    return typeof value === "object" ? new Range(value.low, value.high, cause("date_unknown", path)) : value;
  }
  var Scope = class _Scope {
    /**
     * @param {Facts} facts
     * @param {Record<string, Node>} where
     * @param {string} [item]
     * @param {string} [outer]
     * @param {Map<string, Value>} [assumed]
     * @param {Map<string, number>} [moved]
     * @param {Guard|null} [guard]
     */
    constructor(facts, where, item = "", outer = "", assumed = NOTHING, moved = NOTHING, guard = null) {
      this.facts = facts;
      this.where = where;
      this.item = item;
      this.outer = outer;
      this.assumed = assumed;
      this.moved = moved;
      this.guard = guard;
      this.named = /* @__PURE__ */ new Map();
    }
    /** The same look with some unrecorded facts taken to have these values. @param {Map<string, Value>} assumed */
    assuming(assumed) {
      const all = new Map([...this.assumed, ...assumed]);
      return new _Scope(this.facts, this.where, this.item, this.outer, all, this.moved, this.guard);
    }
    /** The same look at other facts, of which those that it read say the same. @param {Facts} facts */
    on(facts) {
      return new _Scope(facts, this.where, this.item, this.outer, this.assumed, this.moved, this.guard);
    }
    /** The same look with some readings moved by so much, in base units. @param {Map<string, number>} moved */
    moving(moved) {
      return new _Scope(this.facts, this.where, this.item, this.outer, this.assumed, moved);
    }
    /** The full path of a fact. @param {Node} fact */
    path(fact) {
      const before = fact.frame === "item" ? this.item : fact.frame === "outer" ? this.outer : "";
      return before && fact.path ? `${before}.${fact.path}` : before || fact.path;
    }
    /** What is known at a full path. @param {string} path @returns {Value} */
    read(path) {
      const assumed = this.assumed.get(path);
      if (assumed !== void 0) return assumed;
      const found = this.facts.value(path);
      if (found === void 0) {
        const possible = this.facts.possible(path);
        return possible instanceof Range ? possible : missing(path);
      }
      const step = this.moved.get(path);
      return step !== void 0 && typeof found === "number" ? found + step : found;
    }
  };

  // source/addedup.js
  function recorded(paths, wanted2) {
    const found = /* @__PURE__ */ new Map();
    for (const path of paths) {
      const fact = pattern(path);
      if (!wanted2.has(fact)) continue;
      const positions = (path.match(/\.\d+(?=\.)/g) ?? []).join("");
      found.set(fact, (found.get(fact) ?? /* @__PURE__ */ new Map()).set(positions, path));
    }
    return found;
  }
  function withSums(readings, vocabulary) {
    let all = readings;
    for (const one of vocabulary.told.sums) if (one.adds) all = { ...all, ...added(one, all, vocabulary) };
    return all;
  }
  function added(one, readings, vocabulary) {
    const found = recorded(Object.keys(readings), /* @__PURE__ */ new Set([one.whole, ...one.parts]));
    const whole2 = found.get(one.whole) ?? /* @__PURE__ */ new Map();
    const [first, ...others] = one.parts.map((part) => found.get(part) ?? /* @__PURE__ */ new Map());
    const sums = {};
    for (const [positions, path] of first) {
      const paths = [
        path,
        ...others.map((part) => part.get(positions)).filter(Boolean)
      ];
      const parts = paths.map((part) => readings[part]);
      const amount = sumOf(one, parts);
      if (whole2.has(positions) || paths.length < one.parts.length || amount === null) continue;
      const at2 = `${around(path)}.${nameOf(one.whole)}`;
      sums[at2] = ofParts(vocabulary, at2, amount, parts, paths);
    }
    return sums;
  }
  function sumOf(one, parts) {
    const values = parts.map(({ value }) => value);
    if (!values.every((value) => typeof value === "number")) return null;
    return total(one.without_signs ? values.map(Math.abs) : values);
  }
  function ofParts(vocabulary, path, amount, parts, paths) {
    const { kind, unit } = (
      /** @type {import("./vocabulary.js").Leaf} */
      vocabulary.leaf(path)
    );
    const digits = Math.max(...parts.map((part) => part.digits));
    const summands = parts.map(({ written: written5 }) => written5.split(" ")[0].replace(/^-+/, "")).join(" + ");
    const written4 = `${vocabulary.units.write(amount, kind, unit, digits)} (${summands})`;
    return reading(amount, written4, { unit, digits, addedFrom: paths });
  }

  // source/knownby.js
  var ROLE = "known_by";
  var ways = (vocabulary) => vocabulary.told.commands[ROLE] ?? [];
  function sectionOf(data, vocabulary) {
    const told3 = data[vocabulary.at(ROLE)];
    if (!vocabulary.at(ROLE) || !isGroup(told3)) return [];
    return Object.entries(told3).filter(([, paths]) => Array.isArray(paths)).map(([name, paths]) => [name, paths.filter((path) => typeof path === "string")]);
  }
  var stated = (vocabulary) => ways(vocabulary).find((way) => way.asked)?.name ?? "";
  function answered(vocabulary, path) {
    const measured = Boolean(vocabulary.leaf(path)?.measured) || holdsReadings(vocabulary, path);
    const found = ways(vocabulary).find(
      (way) => way.readings && measured || (way.holds ?? []).some((sort) => vocabulary.holds(path, sort))
    );
    return found?.name ?? stated(vocabulary);
  }
  function holdsReadings(vocabulary, path) {
    const at2 = pattern(path);
    if (!vocabulary.lists.has(at2)) return false;
    return [...vocabulary.leaves.values()].some((leaf) => leaf.measured && leaf.path.startsWith(`${at2}.`));
  }
  function answers(vocabulary, facts, ticked) {
    const found = {};
    for (const [at2, told3] of Object.entries(facts)) {
      for (const [path, value] of factsIn(vocabulary, at2, told3)) {
        const unknown = isGroup(value) && Object.hasOwn(value, "not_known");
        found[path] = unknown ? "" : ticked ? stated(vocabulary) : answered(vocabulary, path);
      }
    }
    return found;
  }
  function factsIn(vocabulary, path, value) {
    const entry = vocabulary.list(path);
    if (vocabulary.leaf(path) || Array.isArray(value) && entry && !entry.keyed) return [[path, value]];
    if (Array.isArray(value)) return value.flatMap((item, index) => factsIn(vocabulary, `${path}.${index}`, item));
    if (!isGroup(value)) return [];
    return Object.keys(value).filter((name) => name !== "key").flatMap((name) => factsIn(vocabulary, `${path}.${name}`, value[name]));
  }
  function noted(data, vocabulary, names) {
    const section2 = vocabulary.at(ROLE);
    if (!section2) return data;
    const kept = new Map(
      sectionOf(data, vocabulary).map(([name, paths]) => [name, paths.filter((one) => !Object.hasOwn(names, one))])
    );
    for (const [path, name] of Object.entries(names)) if (name) kept.set(name, [...kept.get(name) ?? [], path]);
    const told3 = ways(vocabulary).map(({ name }) => name).filter((name) => kept.get(name)?.length);
    const others = Object.fromEntries(Object.entries(data).filter(([name]) => name !== section2));
    return told3.length ? { ...others, [section2]: Object.fromEntries(told3.map((name) => [name, kept.get(name)])) } : others;
  }
  function mistakes(data, vocabulary) {
    const section2 = vocabulary.at(ROLE);
    const known = ways(vocabulary).map(({ name }) => name);
    const found = [];
    const seen = /* @__PURE__ */ new Map();
    for (const [name, paths] of sectionOf(data, vocabulary)) {
      if (!known.includes(name)) {
        found.push({
          at: [section2, name, "="],
          what: `'${name}' is no way of knowing a fact.`,
          hint: `One of: ${known.join(", ")}.`
        });
      }
      paths.forEach((path, index) => {
        const at2 = [section2, name, index];
        if (!vocabulary.placeAt(pattern(path))) {
          found.push({ at: at2, what: `'${path}' is not a fact of a job.`, hint: didYouMean(path, vocabulary.places) });
        } else if (seen.has(path)) {
          found.push({
            at: at2,
            what: `'${path}' stands under '${seen.get(path)}' and under '${name}'.`,
            hint: "Keep one of the two."
          });
        }
        seen.set(path, name);
      });
    }
    return found;
  }
  function unrecorded(data, vocabulary, there) {
    const named4 = sectionOf(data, vocabulary).flatMap(([, paths]) => paths);
    return named4.filter((path) => !there.some((one) => under(one, path)));
  }

  // source/jobreader.js
  var SCHEMA_VERSION = 1;
  var MOST_ITEMS = 500;
  var MOST_TOLD = 100;
  var WITHOUT = ["not_known", "none"];
  var Reader2 = class {
    /** @param {JsonDocument} document @param {Vocabulary} vocabulary */
    constructor(document, vocabulary) {
      this.document = document;
      this.vocabulary = vocabulary;
      this.readings = {};
      this.notKnown = {};
      this.lists = {};
      this.problems = [];
      this.withInstrument = [];
      this.at = [];
    }
    /** Read all that stands in the document. @throws {ProblemsFound} */
    everything() {
      const { data } = this.document;
      if (!isGroup(data)) {
        const hint = 'Begin with {"job_id": "…", "schema_version": 1, … }.';
        throw new ProblemsFound([this.document.problem([], "A job is a group of facts.", hint)]);
      }
      this.group(data, [], "", this.vocabulary.top);
      this.jobId();
      this.version();
      this.unlistedInstruments();
      for (const { at: at2, what, hint } of mistakes(data, this.vocabulary)) {
        this.at = at2;
        this.wrong(what, hint);
      }
      if (this.problems.length) throw new ProblemsFound(this.document.inOrder(this.problems));
    }
    /** @param {Record<string, any>} data @param {At} at @param {string} path @param {Place} place */
    group(data, at2, path, place2) {
      for (const [name, value] of Object.entries(data)) {
        this.part(value, [...at2, name], path ? `${path}.${name}` : name, place2.under.get(name));
      }
    }
    /** @param {any} value @param {At} at @param {string} path @param {Place|undefined} place */
    part(value, at2, path, place2) {
      if (path === "$schema") return;
      this.at = at2;
      if (value === null) {
        const named4 = place2?.leaf ? `${place2.leaf.title}: null` : "null";
        const orNone = place2?.leaf?.may_be_none ? ', or {"none": "why"} where there is none.' : ".";
        this.wrong(`${named4} says nothing.`, `Leave it out, or write {"not_known": "why"}${orNone}`);
      } else if (!place2) this.unknownFact(at2, path);
      else if (place2.leaf) this.leaf(place2.leaf, value, path);
      else if (place2.list) this.list(value, at2, path, place2);
      else if (isGroup(value)) this.group(value, at2, path, place2);
      else {
        const hint = `Under it may stand: ${some(this.vocabulary.children(pattern(path)))}.`;
        this.wrong(`'${path}' groups facts and cannot be ${called(value)}.`, hint);
      }
    }
    /** @param {At} at @param {string} path */
    unknownFact(at2, path) {
      if (this.isFree(pattern(path))) return;
      const siblings = this.vocabulary.children(path.includes(".") ? pattern(path.slice(0, path.lastIndexOf("."))) : "");
      const hint = this.elsewhere(nameOf(path), path) || didYouMean(nameOf(path), siblings);
      this.at = [...at2, "="];
      const known = siblings.length ? `Known here: ${some(siblings)}.` : "Take it out.";
      this.wrong(`'${path}' is not a fact of a job.`, hint || known);
    }
    /** Whether anything may stand at a path. @param {string} path */
    isFree(path) {
      return this.vocabulary.told.free.some((free) => path.startsWith(`${free}.`));
    }
    /** Where a fact of this name does stand: in the same group if there, else wherever it is. @param {string} name @param {string} path */
    elsewhere(name, path) {
      const found = [...this.vocabulary.leaves.keys()].filter((one) => nameOf(one) === name);
      const near = found.filter((one) => one.split(".")[0] === path.split(".")[0]);
      const close = near.length ? near : found;
      return close.length && close.length <= 3 ? `There is ${close.map((one) => `'${one}'`).join(" and ")}.` : "";
    }
    /** @param {any} value @param {At} at @param {string} path @param {Place} place */
    list(value, at2, path, place2) {
      if (!Array.isArray(value)) {
        this.wrong(`'${path}' is a list and cannot be ${called(value)}.`, "Write [ … ], and [] where there are none.");
        return;
      }
      if (value.length > MOST_ITEMS) {
        this.wrong(`'${path}' holds more than ${MOST_ITEMS} items.`, "A job is one replacement at one address.");
        return;
      }
      const keys = [];
      const keyed = Boolean(place2.list?.keyed);
      value.forEach((item, index) => {
        this.at = [...at2, index];
        if (!isGroup(item)) {
          this.wrong(`Each item of '${path}' is a group of facts, not ${called(item)}.`, "Write { … }.");
          return;
        }
        const key = keyed ? keyOf(item.key) : String(index);
        if (keyed) this.key(key, keys, path);
        keys.push(key);
        this.group(item, [...at2, index], `${path}.${index}`, place2);
      });
      this.lists[path] = keys;
    }
    /** @param {string} key @param {string[]} keys @param {string} path */
    key(key, keys, path) {
      if (!key) {
        this.wrong(`This item of '${path}' has no 'key'.`, 'Give it a short name of its own, such as "first".');
      } else if (key.includes("/")) {
        this.at = [...this.at, "key"];
        this.wrong(`The key '${key}' holds a '/'.`, "A '/' stands between a key and a key inside it; use another sign.");
      } else if (keys.includes(key)) {
        this.at = [...this.at, "key"];
        this.wrong(`Two items of '${path}' have the key '${key}'.`, "Give each a name of its own.");
      }
    }
    /** @param {Leaf} leaf @param {any} value @param {string} path */
    leaf(leaf, value, path) {
      if (isGroup(value) && Object.keys(value).length === 1 && WITHOUT.includes(Object.keys(value)[0])) {
        this.withoutValue(leaf, value, path);
        return;
      }
      try {
        const found = readLeaf(this.vocabulary.units, leaf, value);
        this.readings[path] = found;
        if (found.instrument) this.withInstrument.push(path);
      } catch (error) {
        if (!(error instanceof LeafError)) throw error;
        this.wrong(`${leaf.title}: ${error.what}`, error.hint);
      }
    }
    /** @param {Leaf} leaf @param {Record<string, any>} value @param {string} path */
    withoutValue(leaf, value, path) {
      const [word, why] = Object.entries(value)[0];
      if (typeof why !== "string" || !why.trim()) {
        this.wrong(`${leaf.title}: '${word}' needs its reason.`, `Write {"${word}": "why"}.`);
      } else if (word === "not_known") this.notKnown[path] = why;
      else if (leaf.may_be_none) this.readings[path] = reading(null, `none (${why})`);
      else this.wrong(`${leaf.title}: this cannot be none.`, 'If it could not be found out, write {"not_known": "why"}.');
    }
    /** @param {string} what @param {string} hint @throws {ProblemsFound} As many are told as are told of. */
    wrong(what, hint) {
      this.problems.push(this.document.problem(this.at, what, hint));
      if (this.problems.length < MOST_TOLD) return;
      const more = `${MOST_TOLD} mistakes were found here, and what comes after them was not looked at.`;
      const last = { at: [], line: 0, what: more, hint: "Mend these, and then try again." };
      throw new ProblemsFound([last, ...this.document.inOrder(this.problems)]);
    }
    jobId() {
      this.at = [];
      if (!Object.hasOwn(this.document.data, "job_id")) {
        this.wrong("The job has no 'job_id'.", 'Write "job_id": "a name of its own".');
      }
    }
    version() {
      this.at = [];
      const version = this.document.data.schema_version ?? null;
      if (version === null) this.wrong("The job has no 'schema_version'.", `Write "schema_version": ${SCHEMA_VERSION}.`);
      else if (version !== SCHEMA_VERSION && !(version instanceof Float && version.value === SCHEMA_VERSION)) {
        this.at = ["schema_version"];
        const hint = `Write "schema_version": ${SCHEMA_VERSION}, or use the program that the job was made for.`;
        this.wrong(`This program reads jobs of schema version ${SCHEMA_VERSION}.`, hint);
      }
    }
    /** Readings that name an instrument which nothing lists. */
    unlistedInstruments() {
      const listed = this.vocabulary.at("instruments");
      const keys = this.lists[listed] ?? [];
      for (const path of this.withInstrument) {
        const { instrument } = this.readings[path];
        if (keys.includes(instrument)) continue;
        this.at = [...path.split(".").map((step) => /^\d+$/.test(step) ? Number(step) : step), "instrument"];
        const hint = didYouMean(instrument, keys) || `List it under '${listed}' with this key.`;
        this.wrong(`${this.vocabulary.title(path)}: '${instrument}' is not among the job's instruments.`, hint);
      }
    }
  };
  function keyOf(key) {
    if (typeof key === "string") return key;
    return key === void 0 ? "" : String(key instanceof Float ? key.value : key);
  }
  var some = (names) => names.slice(0, 8).join(", ") + (names.length > 8 ? " and more" : "");

  // source/job.js
  var newJob = (id) => writtenJob({ job_id: id, schema_version: SCHEMA_VERSION });
  function readJob(vocabulary, text2) {
    const reader = new Reader2(new JsonDocument(text2), vocabulary);
    reader.everything();
    const { readings, notKnown: notKnown2, lists, document } = reader;
    const missing2 = unrecorded(document.data, vocabulary, [...Object.keys(readings), ...Object.keys(lists)]);
    const notes = missing2.length ? [`Nothing is recorded of what '${vocabulary.at(ROLE)}' names: ${missing2.join(", ")}.`] : [];
    return {
      id: String(document.data.job_id ?? ""),
      data: document.data,
      readings: withSums(readings, vocabulary),
      notKnown: notKnown2,
      lists,
      notes
    };
  }
  function withFacts(vocabulary, job, facts, ticked = false) {
    const data = noted(placed(job.data, facts), vocabulary, answers(vocabulary, facts, ticked));
    return readJob(vocabulary, writtenJob(data));
  }
  function without(vocabulary, job, path) {
    const data = copied(noted(job.data, vocabulary, { [path]: "" }));
    const steps = path.split(".");
    const last = (
      /** @type {string} */
      steps.pop()
    );
    const at2 = steps.reduce((found, step) => found?.[step], data);
    if (Array.isArray(at2)) at2.splice(Number(last), 1);
    else if (at2) delete at2[last];
    return readJob(vocabulary, writtenJob(data));
  }
  function placed(data, facts) {
    const job = copied(data);
    for (const [path, value] of Object.entries(facts)) {
      const steps = path.split(".");
      const last = (
        /** @type {string} */
        steps.pop()
      );
      let at2 = job;
      for (const step of steps) {
        if (Array.isArray(at2)) at2 = at2[Number(step)];
        else {
          if (!Object.hasOwn(at2, step)) at2[step] = {};
          at2 = at2[step];
        }
      }
      if (Array.isArray(at2)) at2.splice(Number(last), 0, copied(value));
      else at2[last] = copied(value);
    }
    return job;
  }
  function copied(data) {
    if (Array.isArray(data)) return data.map(copied);
    return isGroup(data) ? Object.fromEntries(Object.entries(data).map(([name, one]) => [name, copied(one)])) : data;
  }

  // source/conditions.js
  var MOST_COMBINATIONS = 64;
  function truth(node, scope) {
    switch (node.is) {
      case "compare":
        return compare(node, scope);
      case "member":
        return member(node, scope);
      case "truth":
        return truthOf(node, scope);
      case "given":
        return given(node, scope);
      case "not":
        return negated(truth(node.condition, scope));
      case "all":
        return allOf(node.conditions.map((part) => truth(part, scope)));
      case "any_of":
        return anyOf(node.branches.map((branch) => truth(branch.condition, scope)));
      case "none_of":
        return negated(anyOf(node.conditions.map((part) => truth(part, scope))));
      case "constantly":
        return node.value;
      default:
        return unsettled(node);
    }
  }
  function unsettled(node) {
    return new Unknown(
      cause("not_adopted", "", `which edition of ${node.code} is in force`),
      `edition(${node.code},${node.text})`
    );
  }
  function compare(node, scope) {
    const found = comparePlainly(node, scope);
    if (found instanceof Unknown) return overEveryValue(node, scope, found, comparePlainly);
    return (scope.guard && scope.guard(node, scope)) ?? found;
  }
  function comparePlainly(node, scope) {
    const values = node.operands.map((one) => evaluate(one, scope));
    return allOf(
      node.operators.map(
        (operator, index) => compared(operator, values[index], values[index + 1], node.grain)
      )
    );
  }
  function member(node, scope) {
    const found = memberPlainly(node, scope);
    return found instanceof Unknown ? overEveryValue(node, scope, found, memberPlainly) : found;
  }
  function memberPlainly(node, scope) {
    const value = evaluate(node.value, scope);
    if (value instanceof Unknown)
      return new Unknown(value.causes, `in(${node.words.join()},${node.negated},${value.trace})`);
    return node.words.includes(value) !== node.negated;
  }
  function truthOf(node, scope) {
    const value = evaluate(node.value, scope);
    return value instanceof Unknown ? new Unknown(value.causes, `flag(${value.trace})`) : value === true;
  }
  function given(node, scope) {
    const path = scope.path(node.fact);
    const value = scope.read(path);
    if (value instanceof Unknown || value instanceof Range) {
      const trace = value instanceof Unknown ? value.trace : `fact(${path})`;
      return new Unknown(value.causes, `given(${node.none},${trace})`);
    }
    return value === NONE === node.none;
  }
  function overEveryValue(node, scope, found, plainly2) {
    const choices = openChoices([node], scope);
    if (!choices.size) return found;
    let answer = null;
    for (const world of combinations(choices)) {
      const one = plainly2(node, scope.assuming(world));
      if (one instanceof Unknown || answer !== null && one !== answer) return found;
      answer = one;
    }
    return answer ?? found;
  }
  function openChoices(nodes, scope) {
    const found = /* @__PURE__ */ new Map();
    let size2 = 1;
    for (const path of factsRead(nodes, scope)) {
      if (scope.assumed.has(path)) continue;
      const value = scope.facts.value(path);
      const possible = value === void 0 ? scope.facts.possible(path) : days(path, value, nodes, scope);
      if (Array.isArray(possible)) {
        found.set(path, possible);
        size2 *= possible.length;
      }
    }
    return size2 <= MOST_COMBINATIONS ? found : /* @__PURE__ */ new Map();
  }
  function days(path, value, nodes, scope) {
    if (!(value instanceof Range) || ![...value.causes.values()].some((one) => one.reason === "date_unknown"))
      return void 0;
    const parts = nodes.flatMap((node) => [...walkThrough(node, scope.where)]);
    if (parts.some((part) => part.is === "call" || part.is === "fold" || movesDays(part))) return void 0;
    const others = new Set(
      parts.filter((part) => part.is === "fact" && part.kind === "date").map((part) => scope.path(part))
    );
    others.delete(path);
    const limits = parts.filter((part) => part.is === "constant" && part.kind === "date").map((part) => part.value);
    const all = [...limits, ...[...others].map((other) => scope.facts.value(other))];
    if (all.some((day3) => typeof day3 !== "number")) return void 0;
    const cut = [value.low, value.high, ...all.flatMap((day3) => [day3 - 1, day3, day3 + 1])];
    return [...new Set(cut)].filter((day3) => value.low <= day3 && day3 <= value.high).sort((a, b) => a - b);
  }
  function movesDays(part) {
    return part.is === "arithmetic" && (part.kind === "date" || part.kind === "duration");
  }
  function combinations(choices) {
    let worlds = [
      /** @type {[string, Value][]} */
      []
    ];
    for (const [path, values] of choices)
      worlds = worlds.flatMap(
        (world) => values.map((value) => [
          ...world,
          /** @type {[string, Value]} */
          [path, value]
        ])
      );
    return worlds.map((world) => new Map(world));
  }

  // source/judge.js
  var [PASS, FAIL, VERIFY, DOES_NOT_APPLY] = ["pass", "fail", "verify_locally", "does_not_apply"];
  var REASONS = ["implausible", "not_recorded", "date_unknown", "not_adopted", "too_close", "authority_decides"];
  var ORDER = [FAIL, VERIFY, PASS, DOES_NOT_APPLY];
  var FINE = [PASS, DOES_NOT_APPLY];
  var NOWHERE = { item: "", outer: "", key: "", missing: "" };
  function said(outcome, more = {}) {
    return { outcome, causes: NO_CAUSES, needs: [], exact: true, question: -1, trace: "", ...more };
  }
  function reasonOf(verdict) {
    if (verdict.outcome !== VERIFY) return "";
    const present = new Set([...verdict.causes.values()].map((one) => one.reason));
    return REASONS.find((reason) => present.has(reason)) ?? "authority_decides";
  }
  var outcomeOf = ({ judged }) => judged?.verdict.outcome ?? DOES_NOT_APPLY;
  var ordered = (version) => ORDER.indexOf(outcomeOf(version));
  function worstFirst(a, b) {
    const [first, second] = [a.setting.label, b.setting.label];
    return ordered(a) - ordered(b) || (first < second ? -1 : first > second ? 1 : 0);
  }
  function judge(rule, facts, accuracy) {
    const found = places(rule.for_each, facts).map((place2) => judgedAt(rule, facts, place2, accuracy));
    return found.length ? found : [{ place: NOWHERE, verdict: said(DOES_NOT_APPLY), scope: new Scope(facts, rule.where) }];
  }
  function judgedAt(rule, facts, place2, accuracy) {
    const found = judgeAt(rule, facts, place2, accuracy);
    if (![...found.verdict.causes.values()].some((one) => Object.hasOwn(facts.doubts, one.fact))) return found;
    const asRecorded = judgeAt(rule, facts.asRecorded, place2, accuracy);
    return asRecorded.verdict.outcome === FAIL ? asRecorded : found;
  }
  function judgeAt(rule, facts, place2, accuracy) {
    if (place2.missing) return ofTheList(rule, facts, place2);
    const guard = rule.judged === "guarded" ? (node, scope2) => tooClose(node, scope2, accuracy) : null;
    const scope = new Scope(facts, rule.where, place2.item, place2.outer, void 0, void 0, guard);
    return { place: place2, verdict: settle(rule, scope), scope };
  }
  function places(forEach, facts) {
    if (!forEach.length) return [NOWHERE];
    const [list, inside] = forEach;
    const keys = facts.items(list);
    if (keys === void 0) return [{ ...NOWHERE, missing: list }];
    return keys.flatMap((key, index) => {
      const item = `${list}.${index}`;
      if (!inside) return [{ ...NOWHERE, item, key }];
      const inner = facts.items(`${item}.${inside}`);
      if (inner === void 0) return [{ item: "", outer: item, key, missing: `${item}.${inside}` }];
      return inner.map((innerKey, at2) => ({
        item: `${item}.${inside}.${at2}`,
        outer: item,
        key: `${key}/${innerKey}`,
        missing: ""
      }));
    });
  }
  function ofTheList(rule, facts, place2) {
    const scope = new Scope(facts, rule.where, "", place2.outer);
    const applies = truth(outright(rule, Boolean(place2.outer)), scope);
    if (applies === false) return { place: place2, verdict: said(DOES_NOT_APPLY), scope };
    const causes = together([missing(place2.missing).causes, applies instanceof Unknown ? applies.causes : NO_CAUSES]);
    return { place: place2, verdict: said(VERIFY, { causes, needs: factsOf(causes) }), scope };
  }
  function outright(rule, outer) {
    const known = outer ? ["job", "outer"] : ["job"];
    const stands = (one) => [...walkThrough(one, rule.where)].every((part) => part.is !== "fact" || known.includes(part.frame));
    return { is: "all", conditions: rule.applies.conditions.filter(stands) };
  }
  function conditionsOf(rule) {
    return [rule.applies, rule.require, ...rule.verify.map((ask) => ask.condition)];
  }
  function settle(rule, scope) {
    const plain2 = plainly(rule, scope, /* @__PURE__ */ new Map());
    if (plain2.outcome !== VERIFY || plain2.question >= 0) return doubted(rule, plain2);
    const nodes = conditionsOf(rule);
    const choices = openChoices(nodes, scope);
    if (!choices.size) return { ...plain2, needs: factsOf(plain2.causes), exact: readOnce(nodes, scope, plain2) };
    const same = sameInAll(rule, scope, choices);
    const worlds = combinations(choices).map((world) => {
      const inside = scope.assuming(world);
      return { values: [...world.values()], inside, verdict: plainly(rule, inside, same) };
    });
    const all = agreed(worlds.map(({ verdict }) => verdict.outcome));
    if (all !== "" && all !== VERIFY) return doubted(rule, said(all));
    const matter = thatMatter(
      [...choices.keys()],
      worlds.map(({ values, verdict }) => [values, marked(verdict)])
    );
    const needs = [.../* @__PURE__ */ new Set([...worlds.flatMap(({ verdict }) => factsOf(verdict.causes)), ...matter])].sort();
    const exact = worlds.every(({ inside, verdict }) => readOnce(nodes, inside, verdict));
    const open2 = needs.filter((fact) => choices.has(fact)).map((fact) => cause(scope.facts.value(fact) === void 0 ? "not_recorded" : "date_unknown", fact));
    const causes = together([...open2, ...worlds.map(({ verdict }) => verdict.causes)]);
    return said(VERIFY, { causes, needs, exact, question: Math.max(...worlds.map(({ verdict }) => verdict.question)) });
  }
  function sameInAll(rule, scope, open2) {
    const parts = [
      ...rule.applies.conditions,
      ...rule.require.conditions,
      ...rule.verify.map((ask) => ask.condition)
    ];
    return new Map(
      parts.filter((part) => !reads(part, scope).some((path) => open2.has(path))).map((part) => [part, truth(part, scope)])
    );
  }
  function plainly(rule, scope, known) {
    const held = (part) => known.get(part) ?? truth(part, scope);
    const applies = allOf(rule.applies.conditions.map(held));
    if (applies === false) return said(DOES_NOT_APPLY);
    const asked = rule.verify.map((ask) => held(ask.condition));
    if (asked.includes(true)) return said(VERIFY, { question: asked.indexOf(true) });
    if (rule.stale) return said(VERIFY, { causes: cause("authority_decides", "", rule.stale) });
    const verify = anyOf(asked);
    if (verify instanceof Unknown) return said(VERIFY, { causes: verify.causes, trace: `verify(${verify.trace})` });
    const require2 = allOf(rule.require.conditions.map(held));
    if (require2 === true) return said(PASS);
    if (require2 === false && applies === true) return said(FAIL);
    const causes = together([applies, require2].flatMap((part) => part instanceof Unknown ? [part.causes] : []));
    return said(VERIFY, { causes, trace: `${traced(applies)} ${traced(require2)}` });
  }
  function agreed(outcomes) {
    const found = new Set(outcomes);
    if (found.size === 2 && FINE.every((one) => found.has(one))) return PASS;
    return found.size === 1 ? outcomes[0] : "";
  }
  function thatMatter(paths, marks) {
    return paths.filter((_, index) => {
      const met = /* @__PURE__ */ new Map();
      return marks.some(([values, mark]) => {
        const others = values.map((value, at2) => at2 === index ? "" : `${typeof value}${traced(value)}`).join("");
        const before = met.get(others);
        if (before === void 0) met.set(others, mark);
        return before !== void 0 && before !== mark;
      });
    });
  }
  function marked(verdict) {
    return `${FINE.includes(verdict.outcome) ? "fine" : verdict.outcome} ${verdict.question} ${verdict.trace}`;
  }
  function readOnce(nodes, scope, verdict) {
    const times = /* @__PURE__ */ new Map();
    for (const node of nodes) for (const path of reads(node, scope)) times.set(path, (times.get(path) ?? 0) + 1);
    return [...verdict.causes.values()].every((one) => one.reason !== "not_recorded" || (times.get(one.fact) ?? 0) <= 1);
  }
  function doubted(rule, verdict) {
    const firm = verdict.outcome === PASS || verdict.outcome === FAIL;
    if (!rule.doubtful.length || !firm || rule.life_safety && verdict.outcome === FAIL) return verdict;
    return said(VERIFY, {
      causes: cause("authority_decides", "", `${rule.doubtful.join(" and ")} to be confirmed in the adopted book`)
    });
  }
  function tooClose(node, scope, accuracy) {
    const found = margin(node, scope, accuracy);
    if (found === null) return null;
    if (found.unstated.length) {
      const causes = together(found.unstated.map((path) => cause("not_recorded", path, "accuracy of the instrument")));
      return new Unknown(causes, `unstated(${node.text},${scope.item})`);
    }
    if (found.expanded !== null && Math.abs(found.amount) >= found.expanded) return null;
    const paths = reads(node, scope).filter((path) => accuracy(path));
    return new Unknown(together(paths.map((path) => cause("too_close", path))), `close(${node.text},${scope.item})`);
  }

  // source/words.js
  function titleOf(program, path) {
    const at2 = pattern(path);
    return program.facts[at2]?.title ?? program.listed[at2]?.[0] ?? path;
  }
  function limitTitle(rule, name) {
    return rule.limits.filter((one) => one.name === name).pop()?.title ?? name;
  }
  function filled(sentences, scope, job, blank = "") {
    const full = sentences.filter((sentence) => !withNone(sentence, scope));
    const said2 = (full.length ? full : sentences).map(
      (sentence) => sentence.map(
        (part) => typeof part === "string" ? part : shown(part.value, part.unit, part.digits, scope, job) || blank || null
      )
    );
    return said2.filter((parts) => !parts.includes(null)).map((parts) => parts.join("")).join(" ");
  }
  var withNone = (sentence, scope) => sentence.some((part) => typeof part !== "string" && evaluate(part.value, scope) === NONE);
  function shown(value, unit, digits, scope, job) {
    const found = evaluate(value, scope);
    if (value.is === "fact") {
      const path = scope.path(value);
      if (scope.assumed.has(path)) return null;
      if (Object.hasOwn(job.written, path) && !scope.moved.size) return job.written[path];
    }
    return writtenValue(job.program, found, value.kind, unit, digits);
  }
  function chosen(ways2, scope, told3, job, blank = "") {
    const said2 = [];
    for (const way of ways2) {
      const held = truth(way.condition, scope);
      const words2 = held === false ? "" : filled(way.say, told3, job, blank);
      if (words2) said2.push(inCase(held === true ? "" : way.words, said2.length > 0, words2));
      if (held === true) break;
    }
    return said2.join(" ");
  }
  function inCase(condition, afterAnother, what) {
    return `${condition ? `If ${condition}: ` : afterAnother ? "Otherwise: " : ""}${what}`;
  }
  function headline(rule, told3, job) {
    for (const way of rule.failed) {
      if (truth(way.condition, told3) !== true) continue;
      const said2 = way.say.map((end) => withNone(end, told3) ? "" : filled([end], told3, job));
      if (said2[0]) return said2.filter(Boolean).join(": ");
    }
    return rule.title;
  }
  function whatFailed(rule, scope, job) {
    const worlds = [...combinations(openChoices([rule.applies, rule.require], scope))];
    let told3 = scope;
    let most = -1;
    for (const one of worlds.length > 1 ? worlds.map((world) => scope.assuming(world)) : []) {
      const says = sayable(rule.on_fail, one);
      if (says > most) [told3, most] = [one, says];
    }
    const branches = branchWords(rule, scope, told3, job);
    return {
      headline: headline(rule, told3, job),
      message: [filled(rule.on_fail, told3, job), branches.failed].filter(Boolean).join(" "),
      remedy: [chosen(rule.remedy, scope, told3, job), branches.remedies].filter(Boolean).join(" ")
    };
  }
  function sayable(sentences, scope) {
    const known = (part) => {
      if (typeof part === "string") return true;
      if (part.value.is === "fact" && scope.assumed.has(scope.path(part.value))) return false;
      const found = evaluate(part.value, scope);
      return found !== NONE && !(found instanceof Unknown);
    };
    return sentences.filter((sentence) => sentence.every(known)).length;
  }
  function branchWords(rule, scope, told3, job) {
    const failing = rule.require.conditions.filter(
      (node) => node.is === "any_of" && truth(node, told3) === false
    );
    const branches = failing.flatMap((node) => node.branches);
    const said2 = (words2) => branches.map((branch) => [branch.option, words2(branch)]).map(([option, text2]) => option && text2 ? `${option}: ${text2}` : text2).filter(Boolean).join(" ");
    return {
      failed: said2((branch) => filled(branch.on_fail, told3, job)),
      remedies: said2((branch) => chosen(branch.remedy, scope, told3, job))
    };
  }
  function needsOf(verdict, job) {
    const details = {};
    for (const one of sorted(verdict.causes)) if (one.detail) details[one.fact] = one.detail;
    return verdict.needs.map((fact) => {
      const at2 = pattern(fact);
      const noted2 = Object.hasOwn(job.notKnown, fact) ? `noted as not known: ${job.notKnown[fact]}` : "";
      return {
        fact,
        title: titleOf(job.program, fact),
        ask: job.program.facts[at2]?.ask ?? job.program.listed[at2]?.[1] ?? "",
        detail: details[fact] || noted2
      };
    });
  }
  var lowTitle = (program, path) => low(titleOf(program, path));

  // source/brought.js
  var BLANK = "____";
  function bringOf(rule, scope, job) {
    const parts = rule.parts.flatMap((one) => wanted(one, scope, job));
    return parts.join("; ") || chosen(rule.bring, scope, scope, job, BLANK);
  }
  function wanted(one, scope, job) {
    const held = truth(one.condition, scope);
    if (held === false) return [];
    const hole = one.least ?? one.most;
    const [low2, high] = [one.least, one.most].map((end) => {
      const value = end && evaluate(end.value, scope);
      return typeof value === "number" ? writtenAmount(job.program, value, hole.value.kind, hole.unit, hole.digits) : "";
    });
    const words2 = [job.program.parts[one.part] ?? one.part, filled(one.size, scope, job), ends(low2, high), one.note].filter(Boolean).join(", ");
    return [held === true || !one.words ? words2 : `${words2} (if ${one.words})`];
  }
  function ends(low2, high) {
    if (low2 && high) return low2 === high ? low2 : `${low2} to ${high}`;
    return low2 ? `${low2} or more` : high ? `${high} at most` : "";
  }

  // source/citations.js
  var section = ({ document, edition, section: its }) => `${document}${edition ? ` ${edition}` : ""}, ${its}`;
  var citationsOf = (finding) => finding.same ? allCitations(finding) : finding.rule.citations;
  function allCitations({ versions }) {
    const applying = versions.filter((one) => one.rule && one.judged && one.judged.verdict.outcome !== DOES_NOT_APPLY);
    return mergedCitations(applying.map((one) => (
      /** @type {Node} */
      one.rule.citations
    )));
  }
  function mergedCitations(each) {
    const found = /* @__PURE__ */ new Map();
    for (const citation of each.flat()) {
      const { document, section: its, section_sure, requirement_sure, note, read: read2 } = citation;
      const key = JSON.stringify([document, its, section_sure, requirement_sure, note, read2]);
      const known = found.get(key) ?? { citation, editions: /* @__PURE__ */ new Set() };
      found.set(key, known);
      known.editions.add(citation.edition);
    }
    return [...found.values()].map(({ citation, editions }) => ({ ...citation, edition: span([...editions]) }));
  }
  var span = (editions) => editions.length === 1 ? editions[0] : `${editions[0]} to ${editions[editions.length - 1]}`;

  // source/program.js
  var FORMAT2 = 1;
  var Refused = class extends Error {
  };
  function loaded(document) {
    if (!document || document.program !== FORMAT2) throw new Refused(`This is no program of format ${FORMAT2}.`);
    const unknown = notKnown(document);
    if (unknown.length) throw new Refused(`This reader does not know ${unknown.join(", ")}.`);
    const nodes = linked(document.nodes);
    const rules = {};
    for (const [name, versions] of Object.entries(document.rules)) {
      rules[name] = /** @type {any[]} */
      versions.map((one) => ({
        ...one,
        rule: one.rule === null ? null : nodes[one.rule]
      }));
    }
    const lines = {};
    for (const [name, places2] of Object.entries(document.written_for)) {
      lines[name] = /** @type {number[]} */
      places2.map((at2) => nodes[at2]);
    }
    return { ...document, nodes: void 0, rules, written_for: lines };
  }
  function notKnown(document) {
    const found = /* @__PURE__ */ new Set();
    for (const node of document.nodes) {
      if (!Object.hasOwn(KINDS, node.is)) found.add(`the node '${node.is}'`);
      else if (node.is === "fold" && !FOLDS.includes(node.name)) found.add(`the fold '${node.name}'`);
    }
    for (const [name, one] of Object.entries(
      /** @type {Record<string, FunctionUsed>} */
      document.functions
    )) {
      if (!FORMS.includes(one.form) || !readable(one, document.functions)) found.add(`the function '${name}'`);
    }
    return [...found].sort();
  }
  function readable(used, functions) {
    const names = /* @__PURE__ */ new Set([...used.arguments.map(([name]) => name), ...Object.keys(used.data ?? {})]);
    const formulas = [
      ...used.form === "formula" ? [used.says] : [],
      ...(used.serves ?? []).map(([condition]) => condition)
    ];
    try {
      return formulas.map(parsed).every(
        ({ names: asked, calls }) => [...asked].every((name) => names.has(name)) && [...calls].every((name) => Object.hasOwn(functions, name))
      );
    } catch {
      return false;
    }
  }
  function linked(items) {
    const made2 = [];
    const part = (data) => {
      if (typeof data === "number") return made2[data];
      if (Array.isArray(data)) return data.map(part);
      if (data !== null && typeof data === "object") {
        return Object.fromEntries(Object.entries(data).map(([name, one]) => [name, part(one)]));
      }
      return data;
    };
    for (const item of items) {
      const kind = KINDS[item.is];
      const node = { ...kind.usual, ...item };
      for (const field of kind.holds) node[field] = part(node[field]);
      if (item.is === "row") node.keys = item.keys.map(ends2);
      made2.push(node);
    }
    return made2;
  }
  function ends2(key) {
    return typeof key === "string" ? key : [key[0] === null ? -Infinity : key[0], key[1] === null ? Infinity : key[1]];
  }
  function ruleOn(program, name, editions, day3) {
    let found = null;
    for (const one of program.rules[name]) {
      const holds = one.day <= day3 && (one.until === null || day3 < one.until);
      if (holds && one.editions.every(([code, edition]) => (editions[code] ?? null) === edition)) {
        if (found === null || one.editions.length > found.editions.length) found = one;
      }
    }
    if (found === null) throw new Refused(`${name} on day ${day3} under ${JSON.stringify(editions)}`);
    return found.rule;
  }

  // source/spoken.js
  var FOLLOW = ["state", "local", "group"];
  function spokenOf(program, scope) {
    const outside = /* @__PURE__ */ new Map();
    const apart = /* @__PURE__ */ new Map();
    for (const source of program.sources) {
      const unmet = (program.written_for[source.id] ?? []).filter((line) => truth(line.condition, scope) === false);
      apart.set(
        source.id,
        unmet.filter((line) => line.only.length)
      );
      const whole2 = unmet.filter((line) => !line.only.length);
      const follows = (program.written_for[source.id] ?? []).every((line) => line.only.length) ? followed(program, source) : [];
      if (follows.length && follows.every((code) => outside.has(code))) whole2.push(following(follows));
      if (whole2.length) outside.set(source.id, whole2);
    }
    return (ruleset, rule) => {
      const lines = [
        ...(outside.get(ruleset) ?? []).filter((line) => !line.hold_beyond.includes(rule)),
        ...(apart.get(ruleset) ?? []).filter((line) => line.only.includes(rule))
      ];
      return [...new Set(lines.map((line) => line.otherwise))];
    };
  }
  function following(codes) {
    const otherwise = `It follows the codes that it stands on (${codes.join(", ")}), which are not written for this job.`;
    return { is: "line", otherwise, hold_beyond: [], only: [] };
  }
  function followed(program, source) {
    if (!FOLLOW.includes(source.owner_kind)) return [];
    const used = [...source.uses];
    for (const name of used) {
      const other = program.sources.find((one) => one.id === name);
      used.push(...(other?.uses ?? []).filter((one) => !used.includes(one)));
    }
    return program.sources.filter((one) => used.includes(one.id) && one.owner_kind === "code").map((one) => one.id);
  }

  // source/versions.js
  var NOT_IN_FORCE = "not in force";
  var TWO_EDITIONS = "Two editions of one code are given; one is in force at a time.";
  function pathOf(program, role, ...positions) {
    const left = [...positions];
    let path = "";
    for (const step of (program.roles[role] ?? "").split(".").filter(Boolean)) {
      path += path ? `.${step}` : step;
      if (left.length && Object.hasOwn(program.lists, pattern(path))) path += `.${left.shift()}`;
    }
    return path;
  }
  var WronglyTold = class extends Error {
  };
  var Versions = class {
    /**
     * @param {Program} program
     * @param {Facts} facts
     * @throws {WronglyTold}
     */
    constructor(program, facts) {
      this.program = program;
      this.facts = facts;
      this.told = toldIn(program, facts);
      this.either = program.either.some((code) => this.ruled(code)) ? [] : program.either;
      this.passedOver = this.givingWay();
    }
    /**
     * A rule under every edition and day that could hold, each different one once, labelled with all it stands for.
     * @param {string} name
     * @returns {Variant[]}
     */
    variants(name) {
      const found = [];
      for (const setting of this.settings(name)) {
        const out = setting.editions.some(([, edition]) => edition === NOT_IN_FORCE);
        const rule = out ? null : ruleOn(this.program, name, Object.fromEntries(setting.editions), setting.day);
        const same = found.find((one) => one.rule === rule);
        if (!same) found.push({ setting, rule });
        else same.setting = { ...same.setting, label: [same.setting.label, setting.label].filter(Boolean).join(", ") };
      }
      return found;
    }
    /**
     * @param {string} name
     * @returns {Setting[]}
     */
    settings(name) {
      const { home, codes: asked, laws } = this.program.hangs_on[name];
      const codes = [.../* @__PURE__ */ new Set([...asked, ...laws.filter((code) => this.chosen(code) && this.sole(code))])].sort();
      if (codes.includes(home) && !this.inUse(home)) return [];
      const open2 = this.either.includes(home);
      const { days: days2, doubt } = this.days(name, codes);
      const found = days2.flatMap((day3) => {
        const possible = codes.map((code) => this.possibleEditions(code, day3));
        const several = open2 || possible.some((editions) => editions.length > 1);
        const when = days2.length > 1 && day3 > 1 ? ` from ${dateOf(day3)}` : "";
        return product(possible).map((editions) => ({
          editions: codes.map((code, index) => (
            /** @type {[string, string|null]} */
            [code, editions[index]]
          )),
          day: day3,
          label: codes.map((code, index) => `${code} ${editions[index]}`).join(", ") + when,
          doubt: several ? "not_adopted" : doubt
        }));
      });
      if (!open2) return found;
      return [
        ...found,
        { editions: [[home, NOT_IN_FORCE]], day: 1, label: `${home} ${NOT_IN_FORCE}`, doubt: "not_adopted" }
      ];
    }
    /** Whether a code is told of or adopted here. @param {string} code */
    chosen(code) {
      return this.told.has(code) || this.adopted(code);
    }
    /** @param {string} code */
    adopted(code) {
      return this.program.calendar.some((one) => one.code === code);
    }
    /** @param {string} code */
    inUse(code) {
      return !this.passedOver.has(code);
    }
    /** Whether the office says that a code holds: its word, or a ruleset of the place that is not a report. @param {string} code */
    ruled(code) {
      return this.told.has(code) || this.program.calendar.some((one) => one.code === code && !one.by_report);
    }
    /** Whether no other code may hold in a code's place. @param {string} code */
    sole(code) {
      return !this.either.includes(code) && !this.passedOver.has(code);
    }
    /**
     * Whether the job's word on the edition counts: no ruleset of the place says it, at most what is published.
     * @param {string} code
     */
    toldAlone(code) {
      return this.told.has(code) && this.program.calendar.every((one) => one.code !== code || one.by_report);
    }
    /**
     * The codes that give way, since a house is not under two codes for one thing. What the office says goes before what is
     * published.
     */
    givingWay() {
      const pairs = this.program.sources.flatMap(({ id, instead_of }) => instead_of.map((other) => [id, other]));
      return new Set(
        pairs.flatMap((pair) => {
          const used = this.usedOf(pair);
          return pair.filter((code) => !used.includes(code) && !this.either.includes(code));
        })
      );
    }
    /** Of a code and the one whose place it takes: those that are judged by. @param {string[]} pair */
    usedOf(pair) {
      const ruled = pair.filter((code) => this.ruled(code));
      const chosen2 = pair.filter((code) => this.chosen(code));
      const left = pair.filter((code) => !this.program.set_aside.includes(code));
      if (ruled.length) return ruled;
      if (left.length === 1) return left;
      return chosen2.length ? chosen2 : [pair[1]];
    }
    /**
     * The edition of a code in force on a day; null where that is not known.
     * @param {string} code
     * @param {number} day
     */
    editionOn(code, day3) {
      const holding = this.program.calendar.filter(
        (one) => one.code === code && one.day <= day3 && (one.until === null || day3 < one.until)
      );
      return holding.length ? holding[holding.length - 1].edition : null;
    }
    /**
     * @param {string} code
     * @param {number} day
     * @returns {string[]}
     */
    possibleEditions(code, day3) {
      const edition = this.toldAlone(code) ? this.told.get(code) : this.editionOn(code, day3);
      return edition ? [edition] : this.program.sources.find((one) => one.id === code)?.editions ?? [];
    }
    /**
     * The first day of each period that could hold, cut where something that the rule stands on changes.
     * @param {string} name
     * @param {string[]} codes
     */
    days(name, codes) {
      const adoptions = this.program.calendar.filter((one) => codes.includes(one.code) && !this.toldAlone(one.code));
      const starts = adoptions.flatMap(({ day: day3, until }) => until === null ? [day3] : [day3, until]);
      const cuts = [.../* @__PURE__ */ new Set([1, ...this.program.hangs_on[name].days, ...starts])].sort((a, b) => a - b);
      const path = this.program.dates[name];
      const value = path ? this.facts.value(path) : void 0;
      if (typeof value === "number") return { days: [cuts.filter((cut) => cut <= value).pop() ?? 1], doubt: "" };
      if (value instanceof Range) {
        const inside = cuts.filter((cut) => value.low < cut && cut <= value.high);
        return { days: [...inside, cuts.filter((cut) => cut <= value.low).pop() ?? 1], doubt: "date_unknown" };
      }
      const known = cuts.filter(
        (day3) => codes.every((code) => this.toldAlone(code) || !this.adopted(code) || this.editionOn(code, day3) !== null)
      );
      return { days: value === void 0 && known.length ? known : cuts, doubt: "date_unknown" };
    }
  };
  function product(lists) {
    return lists.reduce(
      (found, list) => found.flatMap((one) => list.map((last) => [...one, last])),
      [
        /** @type {string[]} */
        []
      ]
    );
  }
  function toldIn(program, facts) {
    const found = /* @__PURE__ */ new Map();
    const items = facts.items(pathOf(program, "adopted")) ?? [];
    items.forEach((_, index) => {
      const said2 = ["code", "edition"].map((field) => facts.value(pathOf(program, `adopted.${field}`, index)));
      const [code, edition] = said2.map((one) => typeof one === "string" ? one : "");
      if (!code || !edition) return;
      const known = program.sources.find((one) => one.id === code.toLowerCase());
      if (!known) throw new WronglyTold(`'${code}' is not a code in use here.`);
      if (!known.editions.includes(edition))
        throw new WronglyTold(`'${code} ${edition}' is not an edition that is shipped.`);
      if (found.has(known.id)) throw new WronglyTold(TWO_EDITIONS);
      found.set(known.id, edition);
    });
    return found;
  }

  // source/findings.js
  var ANSWERS = "The answers of the authority that a job records are not read here: judge this job with changeout check.";
  function findings(program, facts, accuracy, remembered = (_, judge3) => judge3()) {
    if (facts.items(pathOf(program, "authority_answers"))?.length) throw new Refused(ANSWERS);
    const versions = new Versions(program, facts.asRecorded);
    const leftOut = spokenOf(program, new Scope(facts, {}));
    return Object.keys(program.rules).filter((name) => !leftOut(program.hangs_on[name].home, name).length).flatMap((name) => remembered(name, () => ofRule(versions.variants(name), facts, accuracy)));
  }
  function ofRule(variants, facts, accuracy) {
    const all = /* @__PURE__ */ new Map();
    const own = variants.map(
      ({ rule }) => new Map((rule ? places(rule.for_each, facts) : []).map((place2) => [named2(place2), place2]))
    );
    for (const some2 of own) for (const [name, place2] of some2) all.set(name, place2);
    return [...all].flatMap(([name, place2]) => {
      const versions = variants.map((variant, index) => ({
        ...variant,
        judged: variant.rule && own[index].has(name) ? judgedAt(variant.rule, facts, place2, accuracy) : null
      }));
      return foundAt(versions) ?? [];
    });
  }
  var named2 = ({ item, outer, missing: missing2 }) => `${item} ${outer} ${missing2}`;
  function foundAt(versions) {
    const applying = versions.filter((one) => outcomeOf(one) !== DOES_NOT_APPLY);
    if (!applying.length) return null;
    const together2 = agreed(versions.map(outcomeOf));
    const same = versions.length === 1 || together2 !== "";
    const worst = [...applying].sort(
      (a, b) => ordered(a) - ordered(b) || b.setting.label.length - a.setting.label.length
    )[0];
    const told3 = same ? applying[applying.length - 1] : worst;
    const judged = (
      /** @type {Judged} */
      told3.judged
    );
    return {
      rule: (
        /** @type {Node} */
        told3.rule
      ),
      item: judged.place.key,
      outcome: same ? judged.verdict.outcome : VERIFY,
      reason: same ? reasonOf(judged.verdict) : reasonWhereTheyDiffer(versions, judged),
      alternatives: same ? [] : alternativesOf(versions),
      needs: judged.verdict.needs,
      exact: judged.verdict.exact,
      same,
      judged,
      versions
    };
  }
  function reasonWhereTheyDiffer(versions, judged) {
    const present = [
      versions[0].setting.doubt || "not_adopted",
      ...[...judged.verdict.causes.values()].map((one) => one.reason)
    ];
    return (
      /** @type {string} */
      REASONS.find((reason) => present.includes(reason))
    );
  }
  function alternativesOf(versions) {
    return [...versions].sort(worstFirst).map((one) => ({ label: one.setting.label, outcome: outcomeOf(one) }));
  }
  function settleFirst(finding, all) {
    const after = finding.outcome === FAIL ? finding.rule.remedy_after : [];
    const open2 = all.filter(
      (other) => after.includes(other.rule.id) && other.outcome !== PASS && onOneItem(finding.item, other.item)
    );
    return open2.length ? `Settle first: ${[...new Set(open2.map((other) => other.rule.title))].join("; ")}.` : "";
  }
  function onOneItem(one, other) {
    if (!one || !other) return true;
    const [a, b] = [one.split("/"), other.split("/")];
    return a.every((part, index) => index >= b.length || part === b[index]);
  }

  // source/limits.js
  function limitsOf(rule, scope) {
    return rule.limits.map((held) => {
      const { name, title, below, set_by } = held;
      const own = set_by.ruleset === rule.ruleset && below === null;
      const before = below && {
        name: below.name,
        title: below.title,
        value: shownOf(below, held, rule, scope),
        set_by: below.set_by.source
      };
      return { name, title, value: shownOf(held, held, rule, scope), own, set_by: set_by.source, instead_of: before };
    });
  }
  function shownOf(held, upper, rule, scope) {
    const program = scope.facts.program;
    if (!held.rows.length) return shownLimit(program, held.value, held.kind, held.unit);
    const parts = [rule.require, rule.applies, ...rule.verify, ...Object.values(rule.where)];
    const tables = [...walkThrough(parts, rule.where)].filter((one) => one.is === "lookup" && one.table === upper.name);
    const rows = tables.map((table) => evaluate(held === upper ? table : { ...table, rows: held.rows }, scope));
    const known = rows.filter((row) => !(row instanceof Unknown || row instanceof Range));
    return [
      ...new Set(known.map((row) => row === NONE ? "none" : shownLimit(program, row, held.kind, held.unit)))
    ].join("; ");
  }

  // source/memory.js
  var Memory = class {
    /** @param {Program} program */
    constructor(program) {
      this.program = program;
      this.rules = /* @__PURE__ */ new Map();
      this.asked = /* @__PURE__ */ new Set();
      this.before = () => "";
      this.judged = 0;
    }
    /**
     * Every finding of a job.
     * @param {Facts} facts
     * @param {AccuracyOf} accuracy
     * @returns {Finding[]}
     */
    findings(facts, accuracy) {
      const now = telling(facts, accuracy);
      const compared2 = /* @__PURE__ */ new Map();
      const same = (path) => {
        let known = compared2.get(path);
        if (known === void 0) {
          known = this.before(path) === now(path);
          compared2.set(path, known);
        }
        return known;
      };
      if (![...this.asked].every(same)) this.rules.clear();
      this.judged = 0;
      const asked = /* @__PURE__ */ new Set();
      facts.watch.asked = asked;
      const found = findings(this.program, facts, accuracy, (name, judge3) => {
        const said2 = this.again(name, same, facts) ?? this.anew(name, judge3, facts);
        facts.watch.asked = asked;
        return said2;
      });
      facts.watch.asked = null;
      this.asked = asked;
      this.before = now;
      return found;
    }
    /** What a rule said before, looked at in the facts of now; undefined where it has to be judged. @param {string} name @param {(path: string) => boolean} same @param {Facts} facts */
    again(name, same, facts) {
      const before = this.rules.get(name);
      if (!before || ![...before.asked].every(same)) return void 0;
      before.said = before.said.map((one) => lookedAt(one, facts));
      return before.said;
    }
    /** @param {string} name @param {() => Finding[]} judge @param {Facts} facts */
    anew(name, judge3, facts) {
      this.judged += 1;
      const asked = /* @__PURE__ */ new Set();
      facts.watch.asked = asked;
      facts.forgetReads();
      const said2 = judge3();
      this.rules.set(name, { asked, said: said2 });
      return said2;
    }
  };
  var telling = (facts, accuracy) => (path) => JSON.stringify([facts.handed[path], facts.lists[path], facts.doubts[path], accuracy(path)]);
  function lookedAt(finding, facts) {
    const versions = finding.versions.map((one) => {
      if (!one.judged) return one;
      const { scope } = one.judged;
      return { ...one, judged: { ...one.judged, scope: scope.on(scope.facts.doubtless ? facts.asRecorded : facts) } };
    });
    const told3 = finding.versions.findIndex((one) => one.judged === finding.judged);
    return { ...finding, versions, judged: versions[told3].judged ?? finding.judged };
  }

  // source/workings.js
  var UNSTATED = "accuracy unstated: ";
  var BEYOND = "how sure the reading is cannot be told: its accuracy reaches beyond what the rule can work out";
  var DIFFERENCE_UNIT = {
    degF: "delta_degF",
    degC: "delta_degC",
    K: "delta_degC",
    psig: "psi",
    kPag: "kPa",
    micron: "micron_rise"
  };
  function workings(rule, scope, job, accuracy) {
    return singleConditions(rule.require).map((node) => working(node, rule, scope, job, accuracy));
  }
  function working(node, rule, scope, job, accuracy) {
    const held = truth(node, scope);
    const holds = held instanceof Unknown ? "not known" : held ? "holds" : "does not hold";
    const nothing = { margin: "", uncertainty: "", probability: "", note: "", amounts: [], unit: "", spread: null };
    const made2 = { text: node.text, values: [], operators: [], holds, ...nothing };
    if (node.is !== "compare") {
      const fact = node.fact ?? (node.is === "truth" || node.is === "member" ? node.value : null);
      return fact ? { ...made2, values: [shown(fact, ...unitAndDigits(fact, rule, job, scope), scope, job) || "not recorded"] } : made2;
    }
    const [unit, digits] = ofAll(node, rule, job, scope);
    const values = node.operands.map(
      (part) => amountShown(part, node, rule, scope, job) || "not recorded"
    );
    const compared2 = { ...made2, values, operators: node.operators };
    if (!isKind(job.program, node.kind)) return compared2;
    const of = unitOf(job.program, node.kind, unit);
    const amounts = node.operands.map((part) => {
      const value = evaluate(part, scope);
      return typeof value === "number" ? fromBase(value, of) : null;
    });
    return withMargin({ ...compared2, amounts, unit }, node, margin(node, scope, accuracy), unit, digits, job);
  }
  function withMargin(made2, node, found, unit, digits, job) {
    if (!found) return made2;
    const program = job.program;
    const kind = DIFFERENCE_OF[node.kind] ?? node.kind;
    const its = kind === node.kind ? unit : differenceUnit(program, kind, unit);
    const said2 = writtenAmount(program, found.amount, kind, its, digits);
    if (found.standard === 0) return { ...made2, margin: said2 };
    if (found.unstated.length) {
      return { ...made2, margin: said2, note: UNSTATED + found.unstated.map((path) => lowTitle(program, path)).join(", ") };
    }
    if (found.expanded === null) return { ...made2, margin: said2, note: BEYOND };
    const spread = fromBase(found.expanded, unitOf(program, kind, its));
    const figures = spread !== 0 ? Math.max(0, 1 - Math.floor(Math.log10(Math.abs(spread)))) : 0;
    const near = Math.abs(found.amount) < found.expanded;
    return {
      ...made2,
      margin: said2,
      uncertainty: `±${writtenAmount(program, found.expanded, kind, its, figures)} (k = 2)`,
      probability: found.probability === null ? "" : asFixed(found.probability, 3),
      note: near ? `margin ${said2} is closer to the limit than the instruments can tell` : "",
      spread
    };
  }
  function differenceUnit(program, kind, unit) {
    return DIFFERENCE_UNIT[unit] ?? (isKind(program, kind) ? unitOf(program, kind, "").name : "day");
  }
  function amountShown(part, node, rule, scope, job) {
    const own = unitAndDigits(part, rule, job, scope);
    return shown(part, ...own[0] ? own : ofAll(node, rule, job, scope), scope, job);
  }
  function unitAndDigits(value, rule, job, scope) {
    if (value.is === "named") return rule.units[value.name] ?? ["", null];
    if (value.is === "constant") return [value.unit, null];
    const domain = value.is === "fact" ? scope.facts.domain(scope.path(value)) : void 0;
    return domain ? [domain.unit, domain.measured ? domain.digits : null] : ["", null];
  }
  function ofAll(node, rule, job, scope) {
    const found = node.operands.map((part) => unitAndDigits(part, rule, job, scope));
    const digits = found.flatMap(([, one]) => one === null ? [] : [one]);
    return [found.map(([unit]) => unit).find(Boolean) ?? "", digits.length ? Math.max(...digits) : null];
  }
  function measurementNotes(made2) {
    const notes = made2.map((one) => one.note).filter(Boolean);
    const unstated = notes.filter((note) => note.startsWith(UNSTATED)).flatMap((note) => note.slice(UNSTATED.length).split(", "));
    const rest = notes.filter((note) => !note.startsWith(UNSTATED));
    return unstated.length ? [...rest, UNSTATED + [...new Set(unstated)].join(", ")] : rest;
  }
  function tooCloseNotes(made2) {
    return made2.filter(isNear).map(
      (one) => `${one.values.join(" against ")} is too close to tell: the reading may be off by ${one.uncertainty}. Get farther inside the limit, or measure with a better instrument.`
    );
  }
  function isNear({ amounts, spread }) {
    const known = amounts.filter((amount) => amount !== null);
    if (spread === null || known.length !== amounts.length) return false;
    return known.slice(1).some((amount, index) => Math.abs(known[index] - amount) < spread);
  }

  // source/notes.js
  var SETTLED = "Settled by ";
  var THE_WORDS = / \([^()]*\)$/;
  function notesOf(rule, { verdict, scope }, job, made2) {
    const paths = factsRead(conditionsOf(rule), scope);
    const unsettled2 = sorted(verdict.causes).filter((one) => one.detail && !one.fact);
    const found = [
      ...answersOf(rule, scope, verdict.outcome),
      ...unsettled2.map((one) => inWords(one.detail, rule)),
      ...inherited(paths, job),
      ...verdict.outcome === FAIL ? doubted2(paths, job) : [],
      ...remarks(rule, scope),
      ...verdict.outcome === VERIFY ? [] : measurementNotes(made2),
      ...reasonOf(verdict) === "too_close" ? tooCloseNotes(made2) : []
    ];
    return [...new Set(found)];
  }
  function answersOf(rule, scope, outcome) {
    const arising = rule.settled.filter((one) => truth(one.condition, scope) !== false);
    return arising.flatMap(
      (one) => one.answer ? [`${SETTLED}${one.words}`] : outcome === PASS ? [] : [one.words]
    );
  }
  function inWords(detail, rule) {
    if (!detail.startsWith(OPEN)) return detail;
    const title = limitTitle(rule, detail.slice(OPEN.length));
    return `Nothing here settles this: ${low(title.replace(THE_WORDS, ""))}.`;
  }
  function inherited(paths, job) {
    const found = /* @__PURE__ */ new Map();
    for (const path of paths) {
      const origin = job.origins[path];
      if (origin) found.set(origin, [...found.get(origin) ?? [], lowTitle(job.program, path)]);
    }
    return [...found].map(([origin, titles]) => `inherited ${origin}: ${titles.join(", ")}`);
  }
  function doubted2(paths, job) {
    return paths.filter((path) => Object.hasOwn(job.doubts, path)).map((path) => `Look at the readings first: ${job.doubts[path]}.`);
  }
  function remarks(rule, scope) {
    const program = scope.facts.program;
    const parts = [rule.applies, rule.require, ...Object.values(rule.where)];
    const calls = parts.flatMap((part) => [...walk(part)]).filter((one) => one.is === "call" && hasRemark(program.functions[one.function]));
    return calls.flatMap((call2) => {
      const values = call2.arguments.map((one) => evaluate(one, scope));
      if (values.some((value) => value === NONE || value instanceof Unknown || value instanceof Range))
        return [];
      try {
        return [remark(program, call2.function, values)].filter(Boolean);
      } catch (error) {
        if (error instanceof OutOfRange) return [];
        throw error;
      }
    });
  }

  // source/questions.js
  var TO_DECIDE = ["authority_decides", "not_adopted"];
  var MOST_SECTIONS = 3;
  var MOST_READINGS = 4;
  var READINGS = ["quantity", "count", "choice"];
  var IN_DOUBT = [
    { label: "yes", means: "as_written", values: [] },
    { label: "no", means: "not_asked", values: [] }
  ];
  var NOTHING_ASKED = { ask: "", question: "", asked_of: "", answers: (
    /** @type {Reply[]} */
    []
  ) };
  var Asker = class {
    /**
     * @param {Job} job
     * @param {import("./uncertainty.js").AccuracyOf} accuracy
     */
    constructor(job, accuracy) {
      this.job = job;
      this.accuracy = accuracy;
    }
    /**
     * The question of a finding, its last part alone, who is asked, and the answers; empty where nobody else decides.
     * @param {Finding} finding
     */
    put(finding) {
      const { rule, judged, versions } = finding;
      if (finding.outcome !== VERIFY || !TO_DECIDE.includes(finding.reason)) return NOTHING_ASKED;
      const codes = finding.same ? [] : this.inDoubt(versions);
      const { question, replies } = finding.alternatives.length && codes.length ? this.whichEdition(codes, versions) : this.ofTheRule(rule, judged);
      const facts = [this.when(rule.id), ...this.readings(rule, judged.scope)].filter(Boolean).join("; ");
      const about = `About ${sections(allCitations(finding))}${facts ? ` (${facts})` : ""}`;
      return { ask: `${about}: ${question}`, question, asked_of: rule.asked_of, answers: replies };
    }
    /** The date that counts for a rule, in words. @param {string} rule */
    when(rule) {
      const path = this.job.program.dates[rule] || pathOf(this.job.program, "adoption_date");
      return path ? `${lowTitle(this.job.program, path)} ${this.job.written[path] ?? "not recorded"}` : "";
    }
    /**
     * The recorded facts that tell a size or a kind, amounts first.
     * @param {Node} rule
     * @param {Scope} scope
     */
    readings(rule, scope) {
      const paths = factsRead(conditionsOf(rule), scope).filter((path) => Object.hasOwn(this.job.written, path));
      const form = (path) => READINGS.indexOf(scope.facts.domain(path)?.form ?? "");
      return paths.filter((path) => form(path) >= 0).sort((a, b) => form(a) - form(b)).slice(0, MOST_READINGS).map((path) => `${lowTitle(this.job.program, path)} ${this.job.written[path].replaceAll("_", " ")}`);
    }
    // --- which edition ---
    /** The codes of which more than one edition could hold, by their owner's title. @param {Version[]} versions */
    inDoubt(versions) {
      const editions = /* @__PURE__ */ new Map();
      for (const [code, edition] of versions.flatMap((one) => one.setting.editions)) {
        editions.set(code, (editions.get(code) ?? /* @__PURE__ */ new Set()).add(edition));
      }
      const several = [...editions].filter(([, ones]) => ones.size > 1).map(([code]) => code);
      return several.map(
        (code) => (this.job.program.sources.find((one) => one.id === code)?.title ?? code).split(",")[0]
      );
    }
    /**
     * What follows from each edition, those that come to the same together.
     * @param {string[]} codes
     * @param {Version[]} versions
     * @returns {Put}
     */
    whichEdition(codes, versions) {
      const sortedOnes = [...versions].sort(worstFirst);
      const names = short(sortedOnes.map((one) => one.setting.label.split(", ")));
      const led = /* @__PURE__ */ new Map();
      sortedOnes.forEach((version, index) => {
        const leads = this.said(version);
        led.set(leads, [...led.get(leads) ?? [], ...names[index]]);
      });
      const replies = [...led].map(([leads_to, labels]) => ({ answer: either(labels), leads_to }));
      return { question: `Which edition of ${codes.join(" and ")} is in force for this job?`, replies };
    }
    /** @param {Version} version */
    said({ rule, judged }) {
      if (!rule || !judged) return this.leads(null, null);
      const { verdict } = judged;
      if (verdict.outcome !== VERIFY || !TO_DECIDE.includes(reasonOf(verdict))) return this.leads(rule, judged);
      const { question, replies } = this.ofTheRule(rule, judged);
      const led = replies.map((one) => `${one.answer}, ${one.leads_to.replace(/\.+$/, "")}`);
      return `then this too: ${question} If ${led.join("; if ")}`;
    }
    // --- one version of a rule ---
    /**
     * The question of a rule and its answers: its own, or one made of its title and what is open in it.
     * @param {Node} rule
     * @param {Judged} judged
     * @returns {Put}
     */
    ofTheRule(rule, judged) {
      const { verdict, scope } = judged;
      const own = verdict.question >= 0 ? rule.verify[verdict.question].question : rule.stale ? [] : rule.ask;
      const asked = filled(own, scope, this.job);
      if (verdict.question >= 0 || asked) {
        const replies2 = (rule.replies.length ? rule.replies : IN_DOUBT).map((one) => ({
          answer: one.label,
          leads_to: this.with(rule, judged, one.means, Object.fromEntries(one.values))
        }));
        return { question: asked || asTitled(rule), replies: replies2 };
      }
      const yes = {
        answer: "yes",
        leads_to: rule.stale || rule.doubtful.length ? this.with(rule, judged, "as_written", {}) : ""
      };
      if (rule.stale) {
        const question = `${rule.stale}. Does it still hold as it was written: ${rule.title}?`;
        return { question, replies: [yes, { answer: "no", leads_to: "the book decides, by the sections above" }] };
      }
      if (rule.doubtful.length) {
        return {
          question: asTitled(rule),
          replies: [yes, { answer: "no", leads_to: "what the book says there holds instead" }]
        };
      }
      const replies = [{ answer: "whatever it is", leads_to: "the rule is judged by it, once it is recorded" }];
      return { question: `What holds here for this: ${leftOpen(rule)}?`, replies };
    }
    /**
     * What follows where an answer is given.
     * @param {Node} rule
     * @param {Judged} judged
     * @param {string} means
     * @param {Record<string, any>} values
     */
    with(rule, judged, means, values) {
      if (means === "not_asked") return this.leads(null, null);
      if (means === "met") return "it passes";
      if (means === "not_met") return this.fails(rule, judged.scope);
      const given2 = (part) => Object.keys(values).length ? withValues(part, values) : part;
      const parts = { applies: given2(rule.applies), require: given2(rule.require), where: given2(rule.where) };
      const answered2 = { ...rule, doubtful: [], stale: "", verify: [], ...parts };
      return this.leads(answered2, judgeAt(answered2, judged.scope.facts, judged.place, this.accuracy));
    }
    /**
     * An outcome as what follows.
     * @param {Node|null} rule
     * @param {Judged|null} judged
     */
    leads(rule, judged) {
      if (!rule || !judged || judged.verdict.outcome === DOES_NOT_APPLY) return "nothing is asked here";
      if (judged.verdict.outcome === PASS) return "it passes";
      if (judged.verdict.outcome === FAIL) return this.fails(rule, judged.scope);
      const needed = judged.verdict.needs.map((path) => titleOf(this.job.program, path));
      return needed.length ? `it hangs on what is to be recorded: ${needed.join(", ")}` : "more is open in it";
    }
    /** @param {Node} rule @param {Scope} scope */
    fails(rule, scope) {
      return `it fails. ${whatFailed(rule, scope, this.job).remedy}`.trim();
    }
  };
  var asTitled = (rule) => `Does the book that is in force ask this there: ${rule.title}?`;
  function leftOpen(rule) {
    const open2 = [...walk([rule.applies, rule.require, rule.where])].filter(
      (one) => one.is === "constant" && one.value === null
    );
    const titles = [...new Set(open2.map((one) => one.name))].map((name) => limitTitle(rule, name));
    return titles.join("; ") || rule.title;
  }
  function withValues(part, values) {
    if (Array.isArray(part)) return part.map((one) => withValues(one, values));
    if (part === null || typeof part !== "object") return part;
    if (typeof part.is !== "string")
      return Object.fromEntries(Object.entries(part).map(([name, one]) => [name, withValues(one, values)]));
    if (part.is === "constant")
      return part.value === null && Object.hasOwn(values, part.name) ? { ...part, value: values[part.name] } : part;
    return {
      ...part,
      ...Object.fromEntries(KINDS[part.is].holds.map((field) => [field, withValues(part[field], values)]))
    };
  }
  function short(labels) {
    const codes = new Set(labels.flat().map((name) => name.split(" ")[0]));
    if (codes.size === 1) return labels.map((names) => names.map((name) => name.split(" ").slice(1).join(" ")));
    return labels.map((names) => [names.join(", ")]);
  }
  var either = (labels) => [labels.slice(0, -1).join(", "), labels[labels.length - 1]].filter(Boolean).join(" or ");
  function sections(citations) {
    const found = [...new Set(citations.map(section))];
    const more = found.length > MOST_SECTIONS ? ` and ${found.length - MOST_SECTIONS} more` : "";
    return found.slice(0, MOST_SECTIONS).join("; ") + more;
  }

  // source/secondlook.js
  function secondLook(vocabulary, job, on) {
    const { orders, sums } = vocabulary.told;
    const wanted2 = [
      ...orders.flatMap((one) => [one.lower, one.upper]),
      ...sums.flatMap((one) => [one.whole, ...one.parts])
    ];
    const found = recorded(Object.keys(job.readings), new Set(wanted2));
    return [
      ...Object.entries(job.readings).flatMap(([path, reading2]) => alone(vocabulary, path, reading2, on)),
      ...photographs(vocabulary, job, on),
      ...orders.flatMap((one) => inOrder(vocabulary, job, one, found)),
      ...sums.flatMap((one) => addedUp(vocabulary, job, one, found)),
      ...Object.keys(job.lists).flatMap((path) => clock(vocabulary, job, path))
    ];
  }
  function doubtsOf(looks) {
    const found = {};
    for (const { why, doubted: doubted3 } of looks) for (const path of doubted3) found[path] ??= why;
    return found;
  }
  function alone(vocabulary, path, reading2, on) {
    const leaf = typeof reading2.value === "number" || isRange(reading2.value) ? vocabulary.leaf(path) : void 0;
    if (!leaf) return [];
    if (leaf.form === "date") {
      const late = (
        /** @type {number[]} */
        ends3(reading2)[0] > on && !leaf.ahead
      );
      return late ? [{ why: `${leaf.title}, ${reading2.written}, is after the day of this check`, doubted: [] }] : [];
    }
    const usual = leaf.bounds && farFromUsual(vocabulary, leaf, reading2.value);
    return usual ? [{ why: `${leaf.title}, ${reading2.written}. ${usual}`, doubted: [] }] : [];
  }
  function farFromUsual(vocabulary, leaf, amount) {
    const [, , low2, high] = (
      /** @type {(number|null)[]} */
      leaf.bounds
    );
    if ((low2 ?? -Infinity) <= amount && amount <= (high ?? Infinity)) return "";
    const told3 = [low2, high].map((end) => vocabulary.units.write(
      /** @type {number} */
      end,
      leaf.kind,
      leaf.unit
    ));
    return `${told3.join(" to ")} is usual`;
  }
  function photographs(vocabulary, job, on) {
    const days2 = (vocabulary.told.commands.photographed_within ?? []).flatMap(
      (path) => daysOf(job, path)
    );
    if (!days2.length) return [];
    return (job.lists[vocabulary.at("photographs")] ?? []).flatMap((key, index) => {
      const [day3] = daysOf(job, vocabulary.at("photographs.taken", index));
      if (day3 === void 0) return [];
      const side = day3 < Math.min(...days2) ? "before the first" : Math.max(...days2) < day3 && day3 <= on ? "after the last" : "";
      const why = `the photograph ${key} was taken on ${dateOf(day3)}, ${side} day of this job`;
      return side ? [{ why, doubted: [] }] : [];
    });
  }
  var daysOf = (job, path) => Object.hasOwn(job.readings, path) ? ends3(job.readings[path]) ?? [] : [];
  function inOrder(vocabulary, job, order, found) {
    const leaf = vocabulary.leaf(order.lower);
    const uppers = found.get(order.upper);
    if (!leaf || !uppers) return [];
    return [...found.get(order.lower) ?? []].flatMap(([positions, lower]) => {
      const upper = uppers.get(positions);
      const [low2, high] = upper === void 0 ? [null, null] : [ends3(job.readings[lower]), ends3(job.readings[upper])];
      const past = low2 && high ? low2[0] - high[1] : 0;
      if (past <= 0 || upper === void 0) return [];
      const isPast = leaf.form === "date" ? "is after" : "is more than";
      const why = `${named3(vocabulary, job, lower)} ${isPast} ${named3(vocabulary, job, upper)}`;
      return [{ why, doubted: !order.usual && past > within(vocabulary, leaf, order) ? [lower, upper] : [] }];
    });
  }
  function addedUp(vocabulary, job, one, found) {
    const leaf = vocabulary.leaf(one.whole);
    const parts = one.parts.map((part) => found.get(part) ?? /* @__PURE__ */ new Map());
    return [...found.get(one.whole) ?? []].flatMap(([positions, whole2]) => {
      const paths = parts.map((part) => part.get(positions));
      if (!leaf || paths.includes(void 0)) return [];
      const { value } = job.readings[whole2];
      const amount = sumOf(
        one,
        paths.map((path) => job.readings[path])
      );
      if (typeof value !== "number" || amount === null || Math.abs(value - amount) <= within(vocabulary, leaf, one))
        return [];
      const together2 = paths.map((path) => named3(vocabulary, job, path)).join(" and ");
      return [{ why: `${named3(vocabulary, job, whole2)} is not ${together2} together`, doubted: [whole2, ...paths] }];
    });
  }
  function clock(vocabulary, job, path) {
    const entry = vocabulary.list(path);
    if (!entry?.clock) return [];
    const timed2 = job.lists[path].map((_, index) => job.readings[`${path}.${index}.${entry.clock}`]).filter((reading2) => typeof reading2?.value === "number");
    const at2 = timed2.findIndex((reading2, index) => index > 0 && reading2.value < timed2[index - 1].value);
    return at2 < 0 ? [] : [{ why: `${entry.title}: ${timed2[at2].written} stands below ${timed2[at2 - 1].written}`, doubted: [] }];
  }
  function within(vocabulary, leaf, one) {
    const unit = vocabulary.units.find(leaf.kind, leaf.unit);
    if (!unit || one.within === void 0) return 0;
    return Math.abs(toBase(one.within, unit) - toBase(0, unit)) * (1 + HAIR);
  }
  var named3 = (vocabulary, job, path) => `${vocabulary.title(pattern(path))} (${job.readings[path].written})`;
  var isRange = (value) => value !== null && typeof value === "object";
  function ends3({ value }) {
    if (isRange(value)) return [value.low, value.high];
    return typeof value === "number" ? [value, value] : null;
  }

  // source/vocabulary.js
  var LEAF = {
    form: "",
    kind: "",
    title: "",
    ask: "",
    unit: "",
    digits: null,
    measured: "",
    possible: [],
    may_be_none: false,
    names: "",
    stage: 0,
    said: {},
    beside: "",
    labels: [],
    either_way: false,
    alarming: [],
    bounds: null,
    ahead: false
  };
  var LIST = { title: "", ask: "", keyed: false, key_says: "", item_line: [], untimed: false, clock: "" };
  var place = () => ({ free: false, under: /* @__PURE__ */ new Map() });
  var Vocabulary = class {
    /** @param {any} told */
    constructor(told3) {
      this.told = told3;
      this.units = new Units(told3.units);
      this.leaves = /* @__PURE__ */ new Map();
      this.lists = /* @__PURE__ */ new Map();
      this.top = place();
      for (const [path, one] of Object.entries(told3.facts)) {
        const leaf = { ...LEAF, path, .../** @type {any} */
        one };
        this.leaves.set(path, leaf);
        this.placeOf(path).leaf = leaf;
      }
      for (const [path, one] of Object.entries(told3.lists)) {
        const entry = { ...LIST, path, .../** @type {any} */
        one };
        this.lists.set(path, entry);
        this.placeOf(path).list = entry;
      }
      for (const path of told3.free) this.placeOf(path).free = true;
    }
    /** @param {string} path */
    placeOf(path) {
      let found = this.top;
      for (const name of path.split(".")) {
        if (!found.under.has(name)) found.under.set(name, place());
        found = /** @type {Place} */
        found.under.get(name);
      }
      return found;
    }
    /** What may stand at a path without list positions; undefined where nothing may. @param {string} path */
    placeAt(path) {
      let found = this.top;
      for (const name of path.split(".")) found = found?.under.get(name);
      return found;
    }
    /** Every path there is, of facts, lists and the sections around them. @returns {string[]} */
    get places() {
      const found = [];
      const gone = (at2, path) => {
        for (const [name, one] of at2.under) {
          const full = path ? `${path}.${name}` : name;
          found.push(full);
          gone(one, full);
        }
      };
      gone(this.top, "");
      return found;
    }
    /** The names that may stand directly under a section. @param {string} path */
    children(path) {
      const found = path ? this.placeAt(path) : this.top;
      return found ? [...found.under.keys()].sort(byCode) : [];
    }
    /** @param {string} path It may hold list positions. */
    leaf(path) {
      return this.leaves.get(pattern(path));
    }
    /** @param {string} path */
    list(path) {
      return this.lists.get(pattern(path));
    }
    /** A person's name for a path. @param {string} path */
    title(path) {
      return (this.leaf(path) ?? this.list(path))?.title ?? path;
    }
    /** The title of the section or item that a fact stands in. @param {string} path @returns {string} */
    sectionTitle(path) {
      return this.told.sections[around(pattern(path))] ?? "";
    }
    /** The place of a fact's station among the stations; the last where it names none. @param {string} path @returns {number} */
    station(path) {
      const name = this.told.station_of[pattern(path)] ?? "";
      const found = this.told.stations.findIndex((one) => one.name === name);
      return found < 0 ? this.told.stations.length - 1 : found;
    }
    /** Whether a path is in a section that holds facts of this sort. @param {string} path @param {string} what */
    holds(path, what) {
      const steps = pattern(path).split(".");
      return steps.some((_, n) => this.told.holds[steps.slice(0, n + 1).join(".")]?.includes(what));
    }
    /**
     * The path of what has a role, with the positions of the lists around it; empty where nothing has it.
     * @param {string} role
     * @param {number[]} positions
     */
    at(role, ...positions) {
      const left = [...positions];
      let path = "";
      for (const step of (this.told.roles[role] ?? "").split(".").filter(Boolean)) {
        path += path ? `.${step}` : step;
        if (left.length && this.lists.has(pattern(path))) path += `.${left.shift()}`;
      }
      return path;
    }
  };

  // source/opened.js
  function open(text2) {
    const { program: document, vocabulary: told3 } = unpacked(text2);
    const program = loaded(document);
    const { place: place2, covered, sources, calendar } = program;
    const { stations, stages, caution, roles } = told3;
    const about = { place: place2, covered, sources, calendar, stations, stages, caution, roles };
    return { program, vocabulary: new Vocabulary(told3), memory: new Memory(program), about };
  }
  var newJob2 = ({ vocabulary }, id) => readJob(vocabulary, newJob(id));
  var readJob2 = ({ vocabulary }, text2) => orProblems(() => readJob(vocabulary, text2));
  var writeJob = (job) => writtenJob(job.data);
  var withFacts2 = ({ vocabulary }, job, facts, { ticked = false } = {}) => orProblems(() => withFacts(vocabulary, job, facts, ticked));
  var without2 = ({ vocabulary }, job, path) => orProblems(() => without(vocabulary, job, path));
  function orProblems(made2) {
    try {
      return { job: made2() };
    } catch (error) {
      if (error instanceof ProblemsFound) return { problems: error.problems };
      throw error;
    }
  }
  function judge2({ program, vocabulary, memory }, job, day3) {
    const looks = secondLook(vocabulary, job, dayOf(day3));
    const doubts = doubtsOf(looks);
    const instruments = new Instruments(vocabulary, job, program.accuracies);
    const facts = new Facts(program, valuesOf(job), job.lists, doubts);
    const accuracy = (path) => instruments.of(path);
    const all = memory.findings(facts, accuracy);
    const { written: written4, origins } = asWritten2(job);
    return {
      job,
      headline: headlineOf(all),
      counts: Object.fromEntries(
        [FAIL, VERIFY, PASS].map((one) => [one, all.filter(({ outcome }) => outcome === one).length])
      ),
      notes: [...job.notes, ...looks.map(({ why }) => `Look again: ${why}.`)],
      findings: all.map((one, number) => told(one, number, vocabulary)),
      all,
      inWords: { program, written: written4, doubts, notKnown: job.notKnown, origins },
      accuracy
    };
  }
  function valuesOf(job) {
    const values = {};
    for (const [path, { value }] of Object.entries(job.readings)) values[path] = value;
    return values;
  }
  function asWritten2(job) {
    const written4 = {};
    const origins = {};
    for (const [path, reading2] of Object.entries(job.readings)) {
      written4[path] = reading2.written;
      if (reading2.origin) origins[path] = reading2.origin;
    }
    return { written: written4, origins };
  }
  function told({ rule, item, outcome, reason, needs, judged }, number, vocabulary) {
    return {
      number,
      rule: rule.id,
      item,
      outcome,
      reason,
      title: rule.title,
      weight: rule.weight,
      lifeSafety: rule.life_safety,
      practice: rule.obligation !== "shall",
      needs,
      get station() {
        return stationOf(factsRead(conditionsOf(rule), judged.scope), vocabulary);
      }
    };
  }
  function stationOf(paths, vocabulary) {
    const telling2 = paths.filter((path) => !path.startsWith(`${vocabulary.at("scope")}.`));
    const counted = /* @__PURE__ */ new Map();
    for (const path of telling2.length ? telling2 : paths) {
      counted.set(vocabulary.station(path), (counted.get(vocabulary.station(path)) ?? 0) + 1);
    }
    return [...counted].sort(([a, many], [b, more]) => more - many || b - a)[0]?.[0] ?? 0;
  }
  function words({ all, inWords: job, accuracy }, { number }) {
    const finding = all[number];
    const { rule, judged } = finding;
    const { verdict, scope } = judged;
    const made2 = workings(rule, scope, job, accuracy);
    const failed = verdict.outcome === FAIL ? whatFailed(rule, scope, job) : { headline: "", message: "", remedy: "" };
    return {
      ...failed,
      remedy: [settleFirst(finding, all), failed.remedy].filter(Boolean).join(" "),
      ...new Asker(job, accuracy).put(finding),
      bring: bringOf(rule, scope, job),
      photograph: filled(rule.photograph, scope, job),
      sections: citationsOf(finding).map(section),
      record: needsOf(verdict, job),
      workings: made2,
      limits: limitsOf(rule, scope),
      notes: notesOf(rule, judged, job, made2),
      cautions: rule.cautions.map((one) => one.text ?? one)
    };
  }
  function headlineOf(all) {
    if (!all.length) return "Nothing was judged.";
    const failed = all.filter(({ outcome }) => outcome === FAIL);
    const open2 = all.filter(({ outcome }) => outcome === VERIFY);
    const practice = failed.filter(({ rule }) => rule.obligation !== "shall" && !rule.life_safety).length;
    const missing2 = open2.filter(({ reason }) => reason === "not_recorded").length;
    const parts = [`${failed.length - practice} failed`];
    if (practice) parts.push(`${practice} of practice not followed`);
    if (missing2) parts.push(`${missing2} not recorded`);
    if (open2.length > missing2) parts.push(`${open2.length - missing2} to verify locally`);
    return `${all.length - open2.length} of ${all.length} requirements answered: ${parts.join(", ")}.`;
  }

  // source/typeddates.js
  var IN_NUMBERS = /^(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d\d)$/;
  var YEAR_FIRST = /^(\d{4})[/.-](\d{1,2})[/.-](\d{1,2})$/;
  var MONTH_NAMED = /^([a-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})$/i;
  var DAY_FIRST = /^(\d{1,2})(?:st|nd|rd|th)?[\s-]+([a-z]{3,9})\.?,?[\s-]+(\d{4})$/i;
  var OF_A_MONTH = /^(?:(\d{1,2})[/-](\d{4})|(\d{4})[/-](\d{1,2})|([a-z]{3,9})\.?,?\s+(\d{4}))$/i;
  var OF_A_YEAR = /^(?:19|20)\d\d$/;
  var NO_YEAR = /^(?:\d{1,2}[/.-]\d{1,2}|[a-z]{3,9}\.?\s+\d{1,2}(?:st|nd|rd|th)?)$/i;
  var MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
  var PIVOT = 70;
  function day2(typed2) {
    const text2 = typed2.trim();
    const numbers = (found2) => found2.slice(1).map(Number);
    let found = YEAR_FIRST.exec(text2);
    if (found) return only(text2, numbers(found)[0], numbers(found)[1], numbers(found)[2]);
    found = MONTH_NAMED.exec(text2);
    if (found) return only(text2, Number(found[3]), month(found[1]), Number(found[2]));
    found = DAY_FIRST.exec(text2);
    if (found) return only(text2, Number(found[3]), month(found[2]), Number(found[1]));
    found = IN_NUMBERS.exec(text2);
    if (found) return inNumbers(text2, Number(found[1]), Number(found[3]), year(found[4]));
    found = OF_A_MONTH.exec(text2);
    if (found)
      return allOf2(
        text2,
        Number(found[2] ?? found[3] ?? found[6]),
        found[5] ? month(found[5]) : Number(found[1] ?? found[4])
      );
    if (OF_A_YEAR.test(text2)) return { between: [`${text2}-01-01`, `${text2}-12-31`] };
    if (NO_YEAR.test(text2)) {
      throw new LeafError(`'${text2}' does not say which year, or which day.`, "Write it as 9/14/2026, or as 9/2026.");
    }
    return text2;
  }
  function between(first, last) {
    const [low2, high] = [day2(first), day2(last)];
    return { between: [low2?.between?.[0] ?? low2, high?.between?.[1] ?? high] };
  }
  function inNumbers(text2, first, second, inYear) {
    if (first > 12 && second <= 12 && second > 0 && first <= daysIn(inYear, second)) {
      const what = `'${text2}': is ${first} ${MONTHS[second - 1]} ${String(inYear).padStart(4, "0")} meant?`;
      throw new LeafError(what, `The month stands first: ${second}/${first}/${inYear}.`);
    }
    return only(text2, inYear, first, second);
  }
  function only(text2, inYear, inMonth, number) {
    if (!dayNumber(inYear, inMonth, number)) {
      throw new LeafError(`There is no day '${text2}'.`, "Write it as month/day/year, such as 9/14/2026.");
    }
    return iso(inYear, inMonth, number);
  }
  var allOf2 = (text2, inYear, inMonth) => ({
    between: [only(text2, inYear, inMonth, 1), iso(inYear, inMonth, daysIn(inYear, inMonth))]
  });
  var month = (name) => MONTHS.findIndex((one) => one.toLowerCase().startsWith(name.toLowerCase())) + 1;
  var year = (written4) => written4.length === 4 ? Number(written4) : Number(written4) + (Number(written4) < PIVOT ? 2e3 : 1900);

  // source/typedinput.js
  var YES_NO = ["yes", "no"];
  var YES_NO_SAID = {
    ...Object.fromEntries(["y", "yep", "yup", "yeah", "true"].map((word) => [word, ["yes"]])),
    ...Object.fromEntries(["n", "nope", "nah", "false"].map((word) => [word, ["no"]]))
  };
  var FINE2 = ["ok", "okay", "good", "fine"];
  var NUMBER3 = "[-+]?(?:\\d[\\d,]*)?(?:\\.\\d+)?(?:[eE][-+]?\\d+)?";
  var BARE = new RegExp(`^(?:(?=[-+]?[.\\d])${NUMBER3}|(?:\\d+[ -])?\\d+/\\d+)$`);
  var TWO = /^\s*([\d.,]+)\s*[/+]\s*([\d.,]+)\s*([^\d\s/+][^\d/+]*)?$/;
  var BETWEEN = /^(?:between (\S+) and|(\S+) to) (\S+)$/i;
  var SIZE = /^\s*(?:#|no\.?)\s*|\s*(?:awg|ga(?:uge)?)\.?\s*$/gi;
  var WIRES = /^\s*#?(\d\d?)\s*[-/]\s*[2-4](?:\s*(?:w\s*\/?\s*g|with ground|g))?\s*$/i;
  var COUNTED = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
  var NUMBERS = { ...Object.fromEntries(COUNTED.map((word, number) => [word, number])), once: 1, twice: 2 };
  var TIMES = /^(\d{1,3})\s*(?:x|times)$/i;
  var Unclear = class extends LeafError {
    /** @param {string} word @param {string[]} candidates */
    constructor(word, candidates) {
      super(`'${word}' may mean ${candidates.join(" or ")}.`, "Write the one that is meant.");
      this.candidates = candidates;
    }
  };
  function valueOf(units, leaf, text2, unit = "") {
    const value = written2(units, leaf, unlabeled(leaf, text2), unit);
    readLeaf(units, leaf, value);
    return value;
  }
  function valuesOf2(units, leaf, text2, unit = "") {
    const two = leaf.beside ? TWO.exec(unlabeled(leaf, text2)) : null;
    if (!two) return { [nameOf(leaf.path)]: valueOf(units, leaf, text2, unit) };
    const label = (two[3] || unit || units.shown(leaf.unit)).trim();
    const names = [leaf.path, leaf.beside].map(nameOf);
    return Object.fromEntries(names.map((name, index) => [name, valueOf(units, leaf, `${two[index + 1]} ${label}`)]));
  }
  function unlabeled(leaf, text2) {
    if (leaf.form === "text" || leaf.form === "flag") return text2;
    for (const label of leaf.labels) {
      const word = label.replace(/[.*+?^${}()|[\]\\/-]/g, "\\$&");
      const found = new RegExp(`^(?:${word}\\b[\\s:=]*(\\S.*)|(.*\\S)\\s*\\b${word})$`, "i").exec(text2);
      if (found) return found[1] || found[2];
    }
    return text2;
  }
  function saidOf(leaf) {
    if (leaf.form !== "flag") return leaf.said;
    const fine = leaf.alarming.includes(false) && !leaf.alarming.includes(true) ? ["yes"] : YES_NO;
    return { ...YES_NO_SAID, ...Object.fromEntries(FINE2.map((word) => [word, fine])) };
  }
  function meant(text2, choices, said2) {
    const word = alike(choices.some((choice2) => /^\d/.test(choice2)) ? size(text2, choices) : text2);
    const exact = choices.filter((choice2) => alike(choice2) === word);
    const other = new Map(Object.entries(said2).map(([key, values]) => [alike(key), values]));
    const found = exact.length ? exact : other.get(word) ?? [];
    if (found.length === 1) return found[0];
    const candidates = found.length ? found : partly(word, choices, other);
    if (candidates.length) throw new Unclear(text2, candidates);
    const hint = `${didYouMean(text2, choices)} One of: ${choices.join(", ")}.`.trim();
    throw new LeafError(`${JSON.stringify(text2)} is not one of its values.`, hint);
  }
  function size(text2, choices) {
    const plain2 = text2.replace(SIZE, "");
    const wires = WIRES.exec(plain2);
    return wires && !choices.includes(plain2.trim()) ? wires[1] : plain2;
  }
  function partly(word, choices, said2) {
    const fits2 = (one) => one.startsWith(word) || word.length > 2 && one.includes(word);
    return choices.filter((choice2) => {
      const others = [...said2].filter(([, values]) => values.includes(choice2)).map(([key]) => key);
      return word && [alike(choice2), ...others].some(fits2);
    });
  }
  function alike(text2) {
    const plain2 = folded(text2).replaceAll("_", " ").split(/\s+/).filter(Boolean).join(" ");
    return /\p{L}/u.test(plain2) ? plain2.replace(/[ -]/g, "") : plain2;
  }
  function written2(units, leaf, text2, unit) {
    if (leaf.form === "quantity") return quantity2(units, leaf, text2, unit);
    if (leaf.form === "flag") return flag2(leaf, text2);
    if (leaf.form === "choice") return meant(text2, leaf.possible, saidOf(leaf));
    if (leaf.form === "count" || leaf.form === "constant") return count2(text2);
    if (leaf.form !== "date") return text2;
    const days2 = BETWEEN.exec(text2);
    return days2 ? between(days2[1] || days2[2], days2[3]) : day2(text2);
  }
  function flag2(leaf, text2) {
    try {
      return meant(text2, YES_NO, saidOf(leaf)) === "yes";
    } catch (error) {
      if (error instanceof Unclear) throw new LeafError(error.what, "Write yes or no.");
      if (error instanceof LeafError)
        throw new LeafError(`yes or no is wanted, not '${text2.slice(0, 60)}'.`, "Write yes or no.");
      throw error;
    }
  }
  function count2(text2) {
    const number = TIMES.exec(text2)?.[1] ?? text2;
    if (/^[0-9]{1,9}$/.test(number)) return Number(number);
    const word = folded(text2);
    return Object.hasOwn(NUMBERS, word) ? NUMBERS[word] : text2;
  }
  function quantity2(units, leaf, typed2, unit) {
    const label = unit || units.shown(leaf.unit);
    let text2 = withoutDegrees(typed2, leaf.kind);
    if (leaf.either_way) text2 = text2.replace(DIFFERENCE, "");
    if (!BARE.test(text2)) return text2;
    if (BY_THE_THOUSAND.includes(leaf.unit) && label === units.shown(leaf.unit)) {
      if (few(text2))
        throw new LeafError(
          `'${text2}' may be ${text2} ${label} or ${text2} thousand.`,
          `Write it as ${text2}k, or with its unit.`
        );
      return CODE.test(text2) ? plainAmount(text2, leaf.kind, leaf.unit) : `${text2} ${label}`;
    }
    return `${text2} ${label}`.trimEnd();
  }

  // source/vectors.js
  function accuracyOf({ accuracies }) {
    return (path) => Object.hasOwn(accuracies, path) ? accuracies[path] : false;
  }
  function verdicts(program, vector) {
    const facts = new Facts(program, vector.values, vector.lists, vector.doubts);
    const rules = vector.versions.map(({ editions, day: day3 }) => ruleOn(program, vector.rule, editions, day3));
    const found = /* @__PURE__ */ new Map();
    rules.forEach((rule, number) => {
      for (const one of rule ? judge(rule, facts, accuracyOf(vector)) : []) {
        const place2 = JSON.stringify(one.place);
        if (!found.has(place2))
          found.set(
            place2,
            rules.map(() => null)
          );
        found.get(place2)[number] = one;
      }
    });
    return found;
  }
  function told2(program, vector) {
    const places2 = [...verdicts(program, vector).values()];
    const outcomes = places2.map((each) => [...new Set(each.map((one) => one?.verdict.outcome ?? DOES_NOT_APPLY))]);
    const applying = outcomes.filter((said2) => said2.length > 1 || said2[0] !== DOES_NOT_APPLY);
    return {
      outcomes: applying.length ? applying.map((said2) => agreed(said2) || VERIFY) : [DOES_NOT_APPLY],
      verdicts: places2.map((each) => each.map((one) => one && plain(one)))
    };
  }
  function plain({ place: place2, verdict }) {
    const causes = [...verdict.causes.keys()].sort();
    const { outcome, needs, exact, question } = verdict;
    return {
      place: [place2.item, place2.outer, place2.key, place2.missing],
      outcome,
      reason: reasonOf(verdict),
      needs,
      exact,
      question,
      causes
    };
  }
  function typed({ vocabulary }, rows) {
    return rows.map(([path, text2]) => {
      const leaf = (
        /** @type {import("./vocabulary.js").Leaf} */
        vocabulary.leaf(path)
      );
      try {
        return { values: valuesOf2(vocabulary.units, leaf, text2) };
      } catch (error) {
        if (error instanceof LeafError) return { what: error.what, hint: error.hint };
        throw error;
      }
    });
  }
  function read(opened, text2) {
    const found = readJob2(opened, text2);
    return "problems" in found ? found : { ...found.job, data: void 0, written: writeJob(found.job) };
  }
  function findingsOf(opened, text2, day3) {
    const found = readJob2(opened, text2);
    if ("problems" in found) return found;
    const report = judge2(opened, found.job, day3);
    return report.findings.map((one) => {
      const { alternatives, exact } = report.all[one.number];
      return { ...one, alternatives, exact, ...words(report, one) };
    });
  }

  // source/index.js
  function workedOut(program, name, rows, tables) {
    return rows.map((values) => {
      try {
        return [result(program, name, values, tables), remark(program, name, values)];
      } catch (error) {
        if (error instanceof OutOfRange) return error.message;
        throw error;
      }
    });
  }
  function written3(numbers, figures, places2) {
    return numbers.map((number) => [asGeneral(number, figures), asFixed(number, places2), asFloat(number)]);
  }
  var errors = (numbers) => numbers.map(erfc);
  return __toCommonJS(index_exports);
})();
