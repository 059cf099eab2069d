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
    judged: () => judged,
    loaded: () => loaded,
    notKnown: () => notKnown,
    told: () => told,
    workedOut: () => workedOut,
    written: () => written2
  });

  // source/numbers.js
  var EXACT = 100;
  var total = (numbers) => numbers.reduce((so_far, number) => so_far + number, 0);
  var mean = (numbers) => total(numbers) / numbers.length;
  function deviation(numbers) {
    const middle = mean(numbers);
    return Math.sqrt(total(numbers.map((number) => (number - middle) * (number - middle))) / (numbers.length - 1));
  }
  function decimalOf(text) {
    const [, sign, whole, part = "", power = "0"] = (
      /** @type {RegExpExecArray} */
      /^(-?)(\d+)(?:\.(\d+))?(?:e([-+]?\d+))?$/.exec(text)
    );
    const all = whole + part;
    const digits = all.replace(/^0+/, "");
    return {
      negative: sign === "-",
      digits: digits || "0",
      point: digits ? whole.length + Number(power) - (all.length - digits.length) : 1
    };
  }
  function roundedTo(number, count) {
    const { negative, digits, point } = number;
    if (count >= digits.length) return number;
    if (count < 0) return { negative, digits: "0", point: 1 };
    const kept = digits.slice(0, count);
    const rest = digits.slice(count);
    const half = "5".padEnd(rest.length, "0");
    const odd = count > 0 && Number(kept[count - 1]) % 2 === 1;
    if (rest < half || rest === half && !odd)
      return kept ? { negative, digits: kept, point } : { negative, digits: "0", point: 1 };
    const up = (BigInt(kept || "0") + 1n).toString().padStart(count, "0");
    return { negative, digits: up, point: point + up.length - count };
  }
  function fixed({ negative, digits, point }, places2) {
    const padded = point <= 0 ? "0".repeat(1 - point) + digits : digits;
    const at2 = Math.max(point, 1);
    const whole = padded.slice(0, at2).padEnd(at2, "0");
    const part = padded.slice(at2).padEnd(places2, "0").slice(0, places2);
    return { negative, text: places2 ? `${whole}.${part}` : whole };
  }
  function roundedDecimal(number, places2) {
    const decimal = decimalOf(String(Math.abs(number)));
    const { text } = fixed(roundedTo(decimal, decimal.point + places2), places2);
    return number < 0 && /[1-9]/.test(text) ? `-${text}` : text;
  }
  function special(number) {
    if (Number.isNaN(number)) return "nan";
    return number === Infinity ? "inf" : number === -Infinity ? "-inf" : "";
  }
  function asFixed(number, places2) {
    if (special(number)) return special(number);
    const exact = decimalOf(Math.abs(number) === 0 ? "0" : Math.abs(number).toPrecision(EXACT));
    const { text } = fixed(roundedTo(exact, exact.point + places2), places2);
    return number < 0 || Object.is(number, -0) ? `-${text}` : text;
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
    const text = written(digits.replace(/0+$/, ""), point, 16);
    return sign + (/[.e]/.test(text) ? text : `${text}.0`);
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
    let fraction = x;
    for (let n = 120; n > 0; n -= 1) fraction = x + n / 2 / fraction;
    return Math.exp(-x * x) / Math.sqrt(Math.PI) / fraction;
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
  var formula = (text) => parsed(text).work;
  function parsed(text) {
    const known = READ.get(text);
    if (known) return known;
    const reader = new Reader(text);
    const made2 = { work: reader.whole(), names: reader.names, calls: reader.calls };
    READ.set(text, made2);
    return made2;
  }
  function tokens(text) {
    const found = [];
    TOKEN.lastIndex = 0;
    const end = text.trimEnd().length;
    while (TOKEN.lastIndex < end) {
      const at2 = TOKEN.lastIndex;
      const match = TOKEN.exec(text);
      if (!match) throw new Error(`'${text}' cannot be read at ${at2}.`);
      found.push(match[1]);
    }
    return found;
  }
  var Reader = class {
    /** @param {string} text */
    constructor(text) {
      this.text = text;
      this.tokens = tokens(text);
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
  function filledIn(text, names) {
    return text.replace(
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
    const { table, take, stands, within, none } = used.data;
    const value = names[used.arguments[0][0]];
    const entries = [...tables[table]].sort((a, b) => a - b);
    const found = entries.filter((entry) => {
      if (stands === "<=") return entry <= value + within;
      return stands === ">=" ? entry >= value - within : Math.abs(entry - value) <= within;
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
    const { axes, cells, within, none } = used.data;
    const given2 = used.arguments.map(([name]) => names[name]);
    const [across, down] = axes.map(
      (axis, index) => shares(axis, given2[index], within)
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
  function shares(steps, at2, within) {
    const on = steps.findIndex((step) => Math.abs(step - at2) <= within);
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
    const years = new Set([...closed].map((day2) => yearOf(day2, used.data)));
    let day = names[used.arguments[0][0]] + 1;
    for (; years.has(yearOf(day, used.data)); day += 1) {
      if ((day + 6) % 7 < MONDAY_TO_FRIDAY && !closed.has(day)) return day;
    }
    throw new OutOfRange(filledIn(used.data.unknown, { year: yearOf(day, used.data) }));
  }
  function yearOf(day, data) {
    if (!(1 <= day && day <= LAST_DAY)) throw new OutOfRange(data.outside);
    return Number(dateOf(day).slice(0, 4));
  }
  var EPOCH = 719163;
  function dateOf(day) {
    return new Date((day - EPOCH) * 864e5).toISOString().slice(0, 10);
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
    const open = () => new Unknown(together([left.causes, right.causes]), `${operator}(${traced(left)},${traced(right)})`);
    if (operator === "==" || operator === "!=") {
      if (left.high < right.low - grain || left.low > right.high + grain) return operator === "!=";
      const same = left.low === left.high && left.high === right.low && right.low === right.high;
      return same ? operator === "==" : open();
    }
    const ends3 = [left.low, left.high].flatMap(
      (a) => [right.low, right.high].map((b) => COMPARED[operator](a, b, grain))
    );
    return ends3.every((one) => one === ends3[0]) ? ends3[0] : open();
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
    let text = roundedDecimal(fromBase(amount, found), digits ?? USUAL_DIGITS);
    if (digits === null) text = text.replace(/0+$/, "").replace(/\.$/, "");
    return found.shown ? `${text} ${found.shown}` : text;
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
  function picked(pick, ends3) {
    return (node, scope, base, chosen2) => {
      const values = chosen2.map((index) => scope.read(`${base}.${index}.${node.field}`));
      const known = values.filter((value) => !(value === NONE || value instanceof Unknown || value instanceof Range));
      const unknown = unknownOf(values);
      if (!unknown.length) return known.length ? pick(known) : NONE;
      const left = joined(unknown, `fold(${node.name},${base})`);
      return known.length && ends3 ? new Range(...ends3(pick(known)), left.causes) : left;
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
      const [clock, value] = [node.clock, node.field].map((field) => scope.read(`${base}.${index}.${field}`));
      unknown.push(...[clock, value].filter((part) => part instanceof Unknown));
      if (typeof clock === "number" && typeof value === "number") pairs.push([clock, value]);
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
    const within = pairs.filter(([clock]) => clock <= until + SAME_TIME).map(([, value]) => value);
    if (!within.length) return missing(base);
    const reached = pairs[pairs.length - 1][0] >= until - SAME_TIME && pairs.some(([clock]) => Math.abs(clock - until) <= SAME_TIME);
    if (reached) return Math.max(...within);
    const after = pairs.filter(([clock]) => clock > until).map(([, value]) => value);
    const minutes = `${asGeneral(until, 6)} minutes`;
    const why = cause(
      "not_recorded",
      base,
      after.length ? `no reading at ${minutes}` : `the readings stop short of ${minutes}`
    );
    return new Range(Math.max(...within), after.length ? Math.max(...within, after[0]) : Infinity, why);
  }
  function at(node, scope, base, chosen2, evaluate2) {
    const pairs = timed(node, scope, base, chosen2);
    const until = evaluate2(node.until, scope);
    if (pairs instanceof Unknown) return pairs;
    if (until instanceof Unknown || until === NONE) return until;
    const found = pairs.find(([clock]) => typeof until === "number" && Math.abs(clock - until) <= SAME_TIME);
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
    return (day, minutes) => {
      const moved = ARITHMETIC[operator](day, minutes / MINUTES_A_DAY);
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
    const open = node.tables.find((table) => table.value === null);
    if (open) return constant(open);
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
    const open = values.some((value, index) => value instanceof Unknown || value instanceof Range && !moves[index]);
    const ranged = values.some((value) => value instanceof Range);
    if (!open && !ranged) return tried(() => work(...values), values, name);
    const causes = together(
      values.flatMap((value) => value instanceof Unknown || value instanceof Range ? [value.causes] : [])
    );
    const left = () => new Unknown(causes, `${name}(${values.map(traced).join()})`);
    if (open) return left();
    const end = (high) => work(
      ...values.map(
        (value, index) => value instanceof Range ? moves[index] > 0 === high ? value.high : value.low : value
      )
    );
    const ends3 = tried(() => [end(false), end(true)], values, name, causes);
    if (ends3 instanceof Unknown) return ends3;
    return ends3.some(Number.isNaN) ? left() : new Range(ends3[0], ends3[1], causes);
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
    let size = 1;
    for (const path of factsRead(nodes, scope)) {
      if (scope.assumed.has(path)) continue;
      const value = scope.facts.value(path);
      const possible = value === void 0 ? scope.facts.possible(path) : days(path, value, nodes, scope);
      if (Array.isArray(possible)) {
        found.set(path, possible);
        size *= possible.length;
      }
    }
    return size <= MOST_COMBINATIONS ? found : /* @__PURE__ */ new Map();
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
    if (all.some((day) => typeof day !== "number")) return void 0;
    const cut = [value.low, value.high, ...all.flatMap((day) => [day - 1, day, day + 1])];
    return [...new Set(cut)].filter((day) => value.low <= day && day <= value.high).sort((a, b) => a - b);
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
      return new _Facts(this.program, this.handed, this.lists);
    }
    /** What is recorded at a full path; undefined where nothing is. @param {string} path */
    value(path) {
      return this.values.get(path);
    }
    /**
     * Where what nodes read of this job is kept, of one rule at one place: it is asked for again with each value that is tried.
     * @param {object} rule The names of the rule.
     * @param {string} place
     * @returns {Map<any, string[]>}
     */
    readBy(rule, place) {
      const places2 = this.read.get(rule) ?? /* @__PURE__ */ new Map();
      if (!places2.size) this.read.set(rule, places2);
      const found = places2.get(place) ?? /* @__PURE__ */ new Map();
      if (!found.size) places2.set(place, found);
      return found;
    }
    /** The keys of a recorded list, in order; undefined where it is not recorded. @param {string} path */
    items(path) {
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
      const ends3 = Object.hasOwn(this.program.ranges, at2) ? this.program.ranges[at2] : domain.range;
      if (ends3) return new Range(ends3[0], ends3[1], cause("not_recorded", path));
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
  function chosen(ways, scope, told2, job, blank = "") {
    const said2 = [];
    for (const way of ways) {
      const held = truth(way.condition, scope);
      const words = held === false ? "" : filled(way.say, told2, job, blank);
      if (words) said2.push(inCase(held === true ? "" : way.words, said2.length > 0, words));
      if (held === true) break;
    }
    return said2.join(" ");
  }
  function inCase(condition, afterAnother, what) {
    return `${condition ? `If ${condition}: ` : afterAnother ? "Otherwise: " : ""}${what}`;
  }
  function headline(rule, told2, job) {
    for (const way of rule.failed) {
      if (truth(way.condition, told2) !== true) continue;
      const said2 = way.say.map((end) => withNone(end, told2) ? "" : filled([end], told2, job));
      if (said2[0]) return said2.filter(Boolean).join(": ");
    }
    return rule.title;
  }
  function whatFailed(rule, scope, job) {
    const worlds = [...combinations(openChoices([rule.applies, rule.require], scope))];
    let told2 = scope;
    let most = -1;
    for (const one of worlds.length > 1 ? worlds.map((world) => scope.assuming(world)) : []) {
      const says = sayable(rule.on_fail, one);
      if (says > most) [told2, most] = [one, says];
    }
    const branches = branchWords(rule, scope, told2, job);
    return {
      headline: headline(rule, told2, job),
      message: [filled(rule.on_fail, told2, job), branches.failed].filter(Boolean).join(" "),
      remedy: [chosen(rule.remedy, scope, told2, job), branches.remedies].filter(Boolean).join(" ")
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
  function branchWords(rule, scope, told2, job) {
    const failing = rule.require.conditions.filter(
      (node) => node.is === "any_of" && truth(node, told2) === false
    );
    const branches = failing.flatMap((node) => node.branches);
    const said2 = (words) => branches.map((branch) => [branch.option, words(branch)]).map(([option, text]) => option && text ? `${option}: ${text}` : text).filter(Boolean).join(" ");
    return {
      failed: said2((branch) => filled(branch.on_fail, told2, job)),
      remedies: said2((branch) => chosen(branch.remedy, scope, told2, job))
    };
  }
  function needsOf(verdict, job) {
    const details = {};
    for (const one of sorted(verdict.causes)) if (one.detail) details[one.fact] = one.detail;
    return verdict.needs.map((fact) => {
      const at2 = pattern(fact);
      const noted = Object.hasOwn(job.notKnown, fact) ? `noted as not known: ${job.notKnown[fact]}` : "";
      return {
        fact,
        title: titleOf(job.program, fact),
        ask: job.program.facts[at2]?.ask ?? job.program.listed[at2]?.[1] ?? "",
        detail: details[fact] || noted
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
    const words = [job.program.parts[one.part] ?? one.part, filled(one.size, scope, job), ends(low2, high), one.note].filter(Boolean).join(", ");
    return [held === true || !one.words ? words : `${words} (if ${one.words})`];
  }
  function ends(low2, high) {
    if (low2 && high) return low2 === high ? low2 : `${low2} to ${high}`;
    return low2 ? `${low2} or more` : high ? `${high} at most` : "";
  }

  // source/uncertainty.js
  var COVERAGE = 2;
  function margin(node, scope, accuracy) {
    const sides = sidesOf(node, scope);
    if (sides === null) return null;
    const stated = /* @__PURE__ */ new Map();
    const unstated = [];
    for (const path of factsRead([node], scope)) {
      const found = accuracy(path);
      if (found) stated.set(path, found);
      else if (found === null) unstated.push(path);
    }
    if (!stated.size && !unstated.length) return made(sides, 0, []);
    return made(sides, unstated.length ? null : standardOf(node, scope, stated), unstated);
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
  function standardOf(node, scope, stated) {
    const steps = [...stated].map(([path, { half_width, instrument }]) => [
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
  var outcomeOf = ({ judged: judged2 }) => judged2?.verdict.outcome ?? DOES_NOT_APPLY;
  var ordered = (version) => ORDER.indexOf(outcomeOf(version));
  function worstFirst(a, b) {
    const [first, second] = [a.setting.label, b.setting.label];
    return ordered(a) - ordered(b) || (first < second ? -1 : first > second ? 1 : 0);
  }
  function judge(rule, facts, accuracy) {
    const found = places(rule.for_each, facts).map((place) => judgedAt(rule, facts, place, accuracy));
    return found.length ? found : [{ place: NOWHERE, verdict: said(DOES_NOT_APPLY), scope: new Scope(facts, rule.where) }];
  }
  function judgedAt(rule, facts, place, accuracy) {
    const found = judgeAt(rule, facts, place, accuracy);
    if (![...found.verdict.causes.values()].some((one) => Object.hasOwn(facts.doubts, one.fact))) return found;
    const asRecorded = judgeAt(rule, facts.asRecorded, place, accuracy);
    return asRecorded.verdict.outcome === FAIL ? asRecorded : found;
  }
  function judgeAt(rule, facts, place, accuracy) {
    if (place.missing) return ofTheList(rule, facts, place);
    const guard = rule.judged === "guarded" ? (node, scope2) => tooClose(node, scope2, accuracy) : null;
    const scope = new Scope(facts, rule.where, place.item, place.outer, void 0, void 0, guard);
    return { place, verdict: settle(rule, scope), scope };
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
  function ofTheList(rule, facts, place) {
    const scope = new Scope(facts, rule.where, "", place.outer);
    const applies = truth(outright(rule, Boolean(place.outer)), scope);
    if (applies === false) return { place, verdict: said(DOES_NOT_APPLY), scope };
    const causes = together([missing(place.missing).causes, applies instanceof Unknown ? applies.causes : NO_CAUSES]);
    return { place, verdict: said(VERIFY, { causes, needs: factsOf(causes) }), scope };
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
    const open = needs.filter((fact) => choices.has(fact)).map((fact) => cause(scope.facts.value(fact) === void 0 ? "not_recorded" : "date_unknown", fact));
    const causes = together([...open, ...worlds.map(({ verdict }) => verdict.causes)]);
    return said(VERIFY, { causes, needs, exact, question: Math.max(...worlds.map(({ verdict }) => verdict.question)) });
  }
  function sameInAll(rule, scope, open) {
    const parts = [
      ...rule.applies.conditions,
      ...rule.require.conditions,
      ...rule.verify.map((ask) => ask.condition)
    ];
    return new Map(
      parts.filter((part) => !reads(part, scope).some((path) => open.has(path))).map((part) => [part, truth(part, scope)])
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
      const { document, section: its, section_sure, requirement_sure, note, read } = citation;
      const key = JSON.stringify([document, its, section_sure, requirement_sure, note, read]);
      const known = found.get(key) ?? { citation, editions: /* @__PURE__ */ new Set() };
      found.set(key, known);
      known.editions.add(citation.edition);
    }
    return [...found.values()].map(({ citation, editions }) => ({ ...citation, edition: span([...editions]) }));
  }
  var span = (editions) => editions.length === 1 ? editions[0] : `${editions[0]} to ${editions[editions.length - 1]}`;

  // source/program.js
  var FORMAT = 1;
  var Refused = class extends Error {
  };
  function loaded(document) {
    if (!document || document.program !== FORMAT) throw new Refused(`This is no program of format ${FORMAT}.`);
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
  function ruleOn(program, name, editions, day) {
    let found = null;
    for (const one of program.rules[name]) {
      const holds = one.day <= day && (one.until === null || day < one.until);
      if (holds && one.editions.every(([code, edition]) => (editions[code] ?? null) === edition)) {
        if (found === null || one.editions.length > found.editions.length) found = one;
      }
    }
    if (found === null) throw new Refused(`${name} on day ${day} under ${JSON.stringify(editions)}`);
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
      const whole = unmet.filter((line) => !line.only.length);
      const follows = (program.written_for[source.id] ?? []).every((line) => line.only.length) ? followed(program, source) : [];
      if (follows.length && follows.every((code) => outside.has(code))) whole.push(following(follows));
      if (whole.length) outside.set(source.id, whole);
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
      const open = this.either.includes(home);
      const { days: days2, doubt } = this.days(name, codes);
      const found = days2.flatMap((day) => {
        const possible = codes.map((code) => this.possibleEditions(code, day));
        const several = open || possible.some((editions) => editions.length > 1);
        const when = days2.length > 1 && day > 1 ? ` from ${dateOf(day)}` : "";
        return product(possible).map((editions) => ({
          editions: codes.map((code, index) => (
            /** @type {[string, string|null]} */
            [code, editions[index]]
          )),
          day,
          label: codes.map((code, index) => `${code} ${editions[index]}`).join(", ") + when,
          doubt: several ? "not_adopted" : doubt
        }));
      });
      if (!open) return found;
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
    editionOn(code, day) {
      const holding = this.program.calendar.filter(
        (one) => one.code === code && one.day <= day && (one.until === null || day < one.until)
      );
      return holding.length ? holding[holding.length - 1].edition : null;
    }
    /**
     * @param {string} code
     * @param {number} day
     * @returns {string[]}
     */
    possibleEditions(code, day) {
      const edition = this.toldAlone(code) ? this.told.get(code) : this.editionOn(code, day);
      return edition ? [edition] : this.program.sources.find((one) => one.id === code)?.editions ?? [];
    }
    /**
     * The first day of each period that could hold, cut where something that the rule stands on changes.
     * @param {string} name
     * @param {string[]} codes
     */
    days(name, codes) {
      const adoptions = this.program.calendar.filter((one) => codes.includes(one.code) && !this.toldAlone(one.code));
      const starts = adoptions.flatMap(({ day, until }) => until === null ? [day] : [day, until]);
      const cuts = [.../* @__PURE__ */ new Set([1, ...this.program.hangs_on[name].days, ...starts])].sort((a, b) => a - b);
      const path = this.program.dates[name];
      const value = path ? this.facts.value(path) : void 0;
      if (typeof value === "number") return { days: [cuts.filter((cut) => cut <= value).pop() ?? 1], doubt: "" };
      if (value instanceof Range) {
        const inside = cuts.filter((cut) => value.low < cut && cut <= value.high);
        return { days: [...inside, cuts.filter((cut) => cut <= value.low).pop() ?? 1], doubt: "date_unknown" };
      }
      const known = cuts.filter(
        (day) => codes.every((code) => this.toldAlone(code) || !this.adopted(code) || this.editionOn(code, day) !== null)
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
  function findings(program, facts, accuracy) {
    if (facts.items(pathOf(program, "authority_answers"))?.length) throw new Refused(ANSWERS);
    const versions = new Versions(program, facts.asRecorded);
    const leftOut = spokenOf(program, new Scope(facts, {}));
    return Object.keys(program.rules).filter((name) => !leftOut(program.hangs_on[name].home, name).length).flatMap((name) => ofRule(versions.variants(name), facts, accuracy));
  }
  function ofRule(variants, facts, accuracy) {
    const all = /* @__PURE__ */ new Map();
    const own = variants.map(
      ({ rule }) => new Map((rule ? places(rule.for_each, facts) : []).map((place) => [named2(place), place]))
    );
    for (const some of own) for (const [name, place] of some) all.set(name, place);
    return [...all].flatMap(([name, place]) => {
      const versions = variants.map((variant, index) => ({
        ...variant,
        judged: variant.rule && own[index].has(name) ? judgedAt(variant.rule, facts, place, accuracy) : null
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
    const told2 = same ? applying[applying.length - 1] : worst;
    const judged2 = (
      /** @type {Judged} */
      told2.judged
    );
    return {
      rule: (
        /** @type {Node} */
        told2.rule
      ),
      item: judged2.place.key,
      outcome: same ? judged2.verdict.outcome : VERIFY,
      reason: same ? reasonOf(judged2.verdict) : reasonWhereTheyDiffer(versions, judged2),
      alternatives: same ? [] : alternativesOf(versions),
      needs: judged2.verdict.needs,
      exact: judged2.verdict.exact,
      same,
      judged: judged2,
      versions
    };
  }
  function reasonWhereTheyDiffer(versions, judged2) {
    const present = [
      versions[0].setting.doubt || "not_adopted",
      ...[...judged2.verdict.causes.values()].map((one) => one.reason)
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
    const open = all.filter(
      (other) => after.includes(other.rule.id) && other.outcome !== PASS && onOneItem(finding.item, other.item)
    );
    return open.length ? `Settle first: ${[...new Set(open.map((other) => other.rule.title))].join("; ")}.` : "";
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
      const { rule, judged: judged2, versions } = finding;
      if (finding.outcome !== VERIFY || !TO_DECIDE.includes(finding.reason)) return NOTHING_ASKED;
      const codes = finding.same ? [] : this.inDoubt(versions);
      const { question, replies } = finding.alternatives.length && codes.length ? this.whichEdition(codes, versions) : this.ofTheRule(rule, judged2);
      const facts = [this.when(rule.id), ...this.readings(rule, judged2.scope)].filter(Boolean).join("; ");
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
    said({ rule, judged: judged2 }) {
      if (!rule || !judged2) return this.leads(null, null);
      const { verdict } = judged2;
      if (verdict.outcome !== VERIFY || !TO_DECIDE.includes(reasonOf(verdict))) return this.leads(rule, judged2);
      const { question, replies } = this.ofTheRule(rule, judged2);
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
    ofTheRule(rule, judged2) {
      const { verdict, scope } = judged2;
      const own = verdict.question >= 0 ? rule.verify[verdict.question].question : rule.stale ? [] : rule.ask;
      const asked = filled(own, scope, this.job);
      if (verdict.question >= 0 || asked) {
        const replies2 = (rule.replies.length ? rule.replies : IN_DOUBT).map((one) => ({
          answer: one.label,
          leads_to: this.with(rule, judged2, one.means, Object.fromEntries(one.values))
        }));
        return { question: asked || asTitled(rule), replies: replies2 };
      }
      const yes = {
        answer: "yes",
        leads_to: rule.stale || rule.doubtful.length ? this.with(rule, judged2, "as_written", {}) : ""
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
    with(rule, judged2, means, values) {
      if (means === "not_asked") return this.leads(null, null);
      if (means === "met") return "it passes";
      if (means === "not_met") return this.fails(rule, judged2.scope);
      const given2 = (part) => Object.keys(values).length ? withValues(part, values) : part;
      const parts = { applies: given2(rule.applies), require: given2(rule.require), where: given2(rule.where) };
      const answered = { ...rule, doubtful: [], stale: "", verify: [], ...parts };
      return this.leads(answered, judgeAt(answered, judged2.scope.facts, judged2.place, this.accuracy));
    }
    /**
     * An outcome as what follows.
     * @param {Node|null} rule
     * @param {Judged|null} judged
     */
    leads(rule, judged2) {
      if (!rule || !judged2 || judged2.verdict.outcome === DOES_NOT_APPLY) return "nothing is asked here";
      if (judged2.verdict.outcome === PASS) return "it passes";
      if (judged2.verdict.outcome === FAIL) return this.fails(rule, judged2.scope);
      const needed = judged2.verdict.needs.map((path) => titleOf(this.job.program, path));
      return needed.length ? `it hangs on what is to be recorded: ${needed.join(", ")}` : "more is open in it";
    }
    /** @param {Node} rule @param {Scope} scope */
    fails(rule, scope) {
      return `it fails. ${whatFailed(rule, scope, this.job).remedy}`.trim();
    }
  };
  var asTitled = (rule) => `Does the book that is in force ask this there: ${rule.title}?`;
  function leftOpen(rule) {
    const open = [...walk([rule.applies, rule.require, rule.where])].filter(
      (one) => one.is === "constant" && one.value === null
    );
    const titles = [...new Set(open.map((one) => one.name))].map((name) => limitTitle(rule, name));
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

  // source/vectors.js
  function accuracyOf({ accuracies }) {
    return (path) => Object.hasOwn(accuracies, path) ? accuracies[path] : false;
  }
  function verdicts(program, vector) {
    const facts = new Facts(program, vector.values, vector.lists, vector.doubts);
    const rules = vector.versions.map(({ editions, day }) => ruleOn(program, vector.rule, editions, day));
    const found = /* @__PURE__ */ new Map();
    rules.forEach((rule, number) => {
      for (const one of rule ? judge(rule, facts, accuracyOf(vector)) : []) {
        const place = JSON.stringify(one.place);
        if (!found.has(place))
          found.set(
            place,
            rules.map(() => null)
          );
        found.get(place)[number] = one;
      }
    });
    return found;
  }
  function told(program, vector) {
    const places2 = [...verdicts(program, vector).values()];
    const outcomes = places2.map((each) => [...new Set(each.map((one) => one?.verdict.outcome ?? DOES_NOT_APPLY))]);
    const applying = outcomes.filter((said2) => said2.length > 1 || said2[0] !== DOES_NOT_APPLY);
    return {
      outcomes: applying.length ? applying.map((said2) => agreed(said2) || VERIFY) : [DOES_NOT_APPLY],
      verdicts: places2.map((each) => each.map((one) => one && plain(one)))
    };
  }
  function plain({ place, verdict }) {
    const causes = [...verdict.causes.keys()].sort();
    const { outcome, needs, exact, question } = verdict;
    return {
      place: [place.item, place.outer, place.key, place.missing],
      outcome,
      reason: reasonOf(verdict),
      needs,
      exact,
      question,
      causes
    };
  }

  // source/index.js
  function judged(program, handed) {
    const accuracy = accuracyOf(handed);
    const { written: written3, doubts, not_known = {}, origins = {} } = handed;
    const all = findings(program, new Facts(program, handed.values, handed.lists, doubts), accuracy);
    return all.map((one) => ({
      rule: one.rule.id,
      item: one.item,
      outcome: one.outcome,
      reason: one.reason,
      alternatives: one.alternatives,
      needs: one.needs,
      exact: one.exact,
      ...written3 ? inWords2(one, { program, written: written3, doubts, notKnown: not_known, origins }, accuracy, all) : {}
    }));
  }
  function inWords2(finding, job, accuracy, all) {
    const { rule, judged: told2 } = finding;
    const asker = new Asker(job, accuracy);
    const { verdict, scope } = told2;
    const made2 = workings(rule, scope, job, accuracy);
    const failed = verdict.outcome === FAIL ? whatFailed(rule, scope, job) : { headline: "", message: "", remedy: "" };
    return {
      title: rule.title,
      ...failed,
      remedy: [settleFirst(finding, all), failed.remedy].filter(Boolean).join(" "),
      ...asker.put(finding),
      bring: bringOf(rule, scope, job),
      photograph: filled(rule.photograph, scope, job),
      sections: citationsOf(finding).map(section),
      record: needsOf(verdict, job),
      workings: made2,
      limits: limitsOf(rule, scope),
      notes: notesOf(rule, told2, job, made2)
    };
  }
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
  function written2(numbers, figures, places2) {
    return numbers.map((number) => [asGeneral(number, figures), asFixed(number, places2), asFloat(number)]);
  }
  var errors = (numbers) => numbers.map(erfc);
  return __toCommonJS(index_exports);
})();
