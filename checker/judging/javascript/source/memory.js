/** What each rule said of the job that was judged last: only those are judged again that read a fact which says something else. */

import { findings } from "./findings.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./scope.js").Facts} Facts */
/** @typedef {import("./findings.js").Finding} Finding */
/** @typedef {import("./uncertainty.js").AccuracyOf} AccuracyOf */
/** @typedef {{facts: Facts, accuracy: AccuracyOf}} Look */

export class Memory {
  /** @param {Program} program */
  constructor(program) {
    this.program = program;
    /** @type {Map<string, {asked: Set<string>, said: Finding[]}>} */
    this.rules = new Map();
    /** What was asked for to know which editions hold, and which rulesets speak of the job. @type {Set<string>} */
    this.asked = new Set();
    /** @type {Look|null} */
    this.before = null;
    this.judged = 0; // rules that were judged the last time
  }

  /**
   * Every finding of a job.
   * @param {Facts} facts
   * @param {AccuracyOf} accuracy
   * @returns {Finding[]}
   */
  findings(facts, accuracy) {
    const changed = this.before ? differing(this.before, { facts, accuracy }) : [];
    const touched = (/** @type {Set<string>} */ asked) => changed.some((path) => asked.has(path));
    if (!this.before || touched(this.asked)) this.rules.clear();
    for (const [name, { asked }] of this.rules) if (touched(asked)) this.rules.delete(name);
    this.judged = 0;
    this.before = null; // where judging breaks off, nothing is kept
    const found = this.all(facts, accuracy);
    this.before = { facts, accuracy };
    return found;
  }

  /** @param {Facts} facts @param {AccuracyOf} accuracy */
  all(facts, accuracy) {
    /** @type {Set<string>} */
    const asked = new Set();
    facts.watch.asked = asked;
    const found = findings(this.program, facts, accuracy, (name, judge) => {
      const before = this.rules.get(name);
      const said = before ? before.said.map((one) => lookedAt(one, facts)) : this.anew(name, judge, facts);
      if (before) before.said = said;
      facts.watch.asked = asked;
      return said;
    });
    facts.watch.asked = null;
    this.asked = asked;
    return found;
  }

  /** @param {string} name @param {() => Finding[]} judge @param {Facts} facts */
  anew(name, judge, facts) {
    this.judged += 1;
    /** @type {Set<string>} */
    const asked = new Set();
    facts.watch.asked = asked;
    facts.forgetReads();
    const said = judge();
    this.rules.set(name, { asked, said });
    return said;
  }
}

/**
 * The paths of which two jobs say something else, or know it more or less accurately.
 * @param {Look} before
 * @param {Look} now
 */
function differing(before, now) {
  const [one, other] = [before.facts, now.facts];
  const paths = new Set(
    [one, other].flatMap(({ handed, lists, doubts }) => [handed, lists, doubts].flatMap(Object.keys)),
  );
  return [...paths].filter(
    (path) =>
      !same(one.handed[path], other.handed[path]) ||
      !same(one.lists[path], other.lists[path]) ||
      one.doubts[path] !== other.doubts[path] ||
      !same(before.accuracy(path), now.accuracy(path)),
  );
}

/**
 * Whether two values are the same: plain ones, the ends of a range, the keys of a list, an accuracy.
 * @param {any} one
 * @param {any} other
 */
function same(one, other) {
  if (one === other) return true;
  if (!one || !other || typeof one !== "object" || typeof other !== "object") return false;
  const names = Object.keys(one);
  return names.length === Object.keys(other).length && names.every((name) => one[name] === other[name]);
}

/** A finding in the facts of now. @param {Finding} finding @param {Facts} facts @returns {Finding} */
function lookedAt(finding, facts) {
  const versions = finding.versions.map((one) => {
    if (!one.judged) return one;
    const { scope } = one.judged;
    return { ...one, judged: { ...one.judged, scope: scope.on(scope.facts.doubtless ? facts.asRecorded : facts) } };
  });
  const told = finding.versions.findIndex((one) => one.judged === finding.judged);
  return { ...finding, versions, judged: versions[told].judged ?? finding.judged };
}
