/**
 * Which editions and days could hold for a rule on a job, and are therefore judged.
 *
 * A date that is known gives one day. One that is unknown, or between two days, gives every period that could hold. A code that
 * nobody has put in force, and that the job does not say is, gives every shipped edition.
 */

import { dateOf } from "./functions.js";
import { Range } from "./kleene.js";
import { ruleOn } from "./program.js";
import { pattern } from "./scope.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Facts} Facts */
/**
 * @typedef {{editions: [string, string|null][], day: number, label: string, doubt: string, published?: string[]}} Setting
 * `published` are the codes whose edition is the one published for the state: the office has not been heard on it.
 */
/** @typedef {{setting: Setting, rule: Node|null}} Variant A rule under an edition and a day that could hold. */

const NOT_IN_FORCE = "not in force"; // in place of an edition: the code may not hold here at all
const TWO_EDITIONS = "Two editions of one code are given; one is in force at a time.";

/**
 * The path of what has a role, with the positions of the lists around it; empty where the job has none such.
 * @param {Program} program
 * @param {string} role
 * @param {number[]} positions
 */
export function pathOf(program, role, ...positions) {
  const left = [...positions];
  let path = "";
  for (const step of (program.roles[role] ?? "").split(".").filter(Boolean)) {
    path += path ? `.${step}` : step;
    if (left.length && Object.hasOwn(program.lists, pattern(path))) path += `.${left.shift()}`;
  }
  return path;
}

/** A job that says of its editions what cannot be. */
export class WronglyTold extends Error {}

/** The settings of one job's rules. */
export class Versions {
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
    /** @type {Variant[]} */
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
    const codes = [...new Set([...asked, ...laws.filter((code) => this.chosen(code) && this.sole(code))])].sort();
    if (codes.includes(home) && !this.inUse(home)) return [];
    const open = this.either.includes(home);
    const { days, doubt } = this.days(name, codes);
    const found = days.flatMap((day) => {
      const possible = codes.map((code) => this.possibleEditions(code, day));
      const several = open || possible.some((editions) => editions.length > 1);
      const when = days.length > 1 && day > 1 ? ` from ${dateOf(day)}` : "";
      return product(possible).map((editions) => ({
        editions: codes.map((code, index) => /** @type {[string, string|null]} */ ([code, editions[index]])),
        day,
        label: codes.map((code, index) => `${code} ${editions[index]}`).join(", ") + when,
        doubt: several ? "not_adopted" : doubt,
        published: codes.filter((code, index) => this.isPublished(code, editions[index], day)),
      }));
    });
    if (!open) return found;
    return [
      ...found,
      { editions: [[home, NOT_IN_FORCE]], day: 1, label: `${home} ${NOT_IN_FORCE}`, doubt: "not_adopted" },
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
      }),
    );
  }

  /** Of a code and the one whose place it takes: those that are judged by. @param {string[]} pair */
  usedOf(pair) {
    const ruled = pair.filter((code) => this.ruled(code));
    const chosen = pair.filter((code) => this.chosen(code));
    const left = pair.filter((code) => !this.program.set_aside.includes(code));
    if (ruled.length) return ruled;
    if (left.length === 1) return left;
    return chosen.length ? chosen : [pair[1]];
  }

  /**
   * The edition of a code in force on a day; null where that is not known.
   * @param {string} code
   * @param {number} day
   */
  editionOn(code, day) {
    return this.adoptionOn(code, day)?.edition ?? null;
  }

  /** @param {string} code @param {number} day */
  adoptionOn(code, day) {
    const holding = this.program.calendar.filter(
      (one) => one.code === code && one.day <= day && (one.until === null || day < one.until),
    );
    return holding[holding.length - 1];
  }

  /** @param {string} code @param {string|null} edition @param {number} day */
  isPublished(code, edition, day) {
    const adoption = this.adoptionOn(code, day);
    return !this.told.has(code) && !!adoption?.by_report && adoption.edition === edition;
  }

  /**
   * @param {string} code
   * @param {number} day
   * @returns {string[]}
   */
  possibleEditions(code, day) {
    const edition = this.toldAlone(code) ? this.told.get(code) : this.editionOn(code, day);
    return edition ? [edition] : (this.program.sources.find((one) => one.id === code)?.editions ?? []);
  }

  /**
   * The first day of each period that could hold, cut where something that the rule stands on changes.
   * @param {string} name
   * @param {string[]} codes
   */
  days(name, codes) {
    const adoptions = this.program.calendar.filter((one) => codes.includes(one.code) && !this.toldAlone(one.code));
    const starts = adoptions.flatMap(({ day, until }) => (until === null ? [day] : [day, until]));
    const cuts = [...new Set([1, ...this.program.hangs_on[name].days, ...starts])].sort((a, b) => a - b);
    const path = this.program.dates[name];
    const value = path ? this.facts.value(path) : undefined;
    if (typeof value === "number") return { days: [cuts.filter((cut) => cut <= value).pop() ?? 1], doubt: "" };
    if (value instanceof Range) {
      const inside = cuts.filter((cut) => value.low < cut && cut <= value.high);
      return { days: [...inside, cuts.filter((cut) => cut <= value.low).pop() ?? 1], doubt: "date_unknown" };
    }
    // with nothing known of the date, the days before anything was in force are no help
    const known = cuts.filter((day) =>
      codes.every((code) => this.toldAlone(code) || !this.adopted(code) || this.editionOn(code, day) !== null),
    );
    return { days: value === undefined && known.length ? known : cuts, doubt: "date_unknown" };
  }
}

/**
 * Every way of taking one of each list, the last changing fastest.
 * @param {string[][]} lists
 * @returns {string[][]}
 */
function product(lists) {
  return lists.reduce(
    (found, list) => found.flatMap((one) => list.map((last) => [...one, last])),
    [/** @type {string[]} */ ([])],
  );
}

/**
 * Editions that the job says are in force, by code.
 * @param {Program} program
 * @param {Facts} facts
 * @returns {Map<string, string>}
 */
function toldIn(program, facts) {
  /** @type {Map<string, string>} */
  const found = new Map();
  const items = facts.items(pathOf(program, "adopted")) ?? [];
  items.forEach((_, index) => {
    const said = ["code", "edition"].map((field) => facts.value(pathOf(program, `adopted.${field}`, index)));
    const [code, edition] = said.map((one) => (typeof one === "string" ? one : ""));
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
