/** Units as people write them, and amounts read with a unit. */

import { DEGREES_ALONE, IN_DEGREES, IN_FRACTIONS, NotOneNumber, isFraction, plainAmount } from "./amounttext.js";
import { fromBase } from "./amounts.js";
import { roundedDecimal, settled, usualDigits } from "./numbers.js";
import { didYouMean, folded } from "./texts.js";

export const MOST = 1e12; // no reading of the trade is so large
// A number is written from its first digit that counts: 036 is a model's number and 0,5 no thousands.
const NUMBER =
  /^\s*([-+]?(?:(?:[1-9]\d{0,2}(?:,\d{3})+|0|[1-9]\d*)(?:\.\d+)?|\.\d+)(?:[eE][-+]?\d+)?)(?!\d)\s*(.*?)\s*$/s;

/** @typedef {{kind: string, name: string, shown: string, also: string[], typed: string[], scale: number, offset: number}} Unit */

/** A value that a fact cannot have: what is wrong and what to do. */
export class LeafError extends Error {
  /** @param {string} what @param {string} hint */
  constructor(what, hint) {
    super(`${what} ${hint}`);
    this.what = what;
    this.hint = hint;
  }
}

/** @param {string} written */
const sound = (written) => folded(written).replace(/[\s.]/g, "");

export class Units {
  /** @param {Unit[]} all */
  constructor(all) {
    this.all = all;
    /** @type {Map<string, Unit>} */
    this.bySound = new Map();
    for (const unit of all) {
      for (const word of [unit.name, unit.shown, ...unit.also, ...(unit.typed ?? [])]) {
        this.bySound.set(`${unit.kind} ${sound(word)}`, unit);
      }
    }
  }

  /** The unit of a kind that is written so. @param {string} kind @param {string} written */
  find(kind, written) {
    const exact = this.all.find(
      (unit) => unit.kind === kind && (unit.name === written || unit.shown === written || unit.also.includes(written)),
    );
    return exact ?? this.bySound.get(`${kind} ${sound(written)}`);
  }

  /** The unit of a kind that is written so, or its base unit. @param {string} kind @param {string} written @returns {Unit} */
  unit(kind, written) {
    const base = (/** @type {Unit} */ unit) => unit.kind === kind && unit.scale === 1 && unit.offset === 0;
    return this.find(kind, written) ?? /** @type {Unit} */ (this.all.find(base));
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
  write(amount, kind, written, digits = null) {
    const unit = this.unit(kind, written);
    let text = roundedDecimal(fromBase(amount, unit), digits ?? usualDigits(unit.name));
    if (digits === null && text.includes(".")) text = text.replace(/0+$/, "").replace(/\.$/, "");
    return unit.shown ? `${text} ${unit.shown}` : text;
  }

  /**
   * Read `118 psig` or `42.5 °C`: the amount in base units, its unit, and the number as written.
   * @param {string} text
   * @param {string} kind
   * @param {string} declared The unit to name where the text has none.
   * @returns {{amount: number, unit: Unit, number: string}}
   * @throws {LeafError}
   */
  read(text, kind, declared) {
    const found = NUMBER.exec(this.plain(text, kind, declared));
    const shown = this.shown(declared);
    if (!found) throw new LeafError(`'${text}' is not a number with a unit.`, `Write it as "10 ${shown}".`);
    const number = found[1].replaceAll(",", "");
    let written = found[2];
    if (written.startsWith("/")) throw this.slash(text, declared);
    if (/^[,.]/.test(written)) {
      throw new LeafError(`'${text}' is not one number.`, `Write one number with a decimal point: "10.5 ${shown}".`);
    }
    if (!written && kind !== "number") throw new LeafError(`'${text}' has no unit.`, `Write "${number} ${shown}".`);
    if (IN_DEGREES.includes(kind) && DEGREES_ALONE.test(written)) written = declared;
    const unit = this.find(kind, written);
    if (!unit) throw this.wrong(written, kind, declared);
    if (isFraction(text) && unit.name !== IN_FRACTIONS[kind]) throw this.slash(text, declared);
    if (Math.abs(Number(number)) > MOST) {
      throw new LeafError(`'${text}' is too large to be an amount.`, "Write the reading as the meter shows it.");
    }
    return { amount: toBase(Number(number), unit), unit, number };
  }

  /** @param {string} text @param {string} kind @param {string} declared */
  plain(text, kind, declared) {
    try {
      return plainAmount(text, kind, declared);
    } catch (error) {
      throw error instanceof NotOneNumber ? this.slash(text, declared) : error;
    }
  }

  /** @param {string} text @param {string} declared */
  slash(text, declared) {
    const what = `'${text}' has a slash. A slash is only for fractions of an inch, such as 1-1/8.`;
    return new LeafError(what, `Write one value, such as "10 ${this.shown(declared)}".`);
  }

  /** @param {string} written @param {string} kind @param {string} declared */
  wrong(written, kind, declared) {
    const name = kind.replaceAll("_", " ");
    const other = this.all.find((unit) => [unit.name, unit.shown, ...unit.also].includes(written));
    if (other) {
      const what = `'${written}' is a unit of ${other.kind.replaceAll("_", " ")}; ${name} is needed here.`;
      return new LeafError(what, `Write it in ${this.shown(declared)}.`);
    }
    const known = this.all.filter((unit) => unit.kind === kind).flatMap((unit) => [unit.name, ...unit.also]);
    return new LeafError(
      `'${written}' is not a unit of ${name}.`,
      didYouMean(written, known) || `Use ${this.shown(declared)}.`,
    );
  }
}

/** An amount in the base unit of its kind. @param {number} number @param {Unit} unit */
export const toBase = (number, { scale, offset }) => settled(number * scale + offset);
