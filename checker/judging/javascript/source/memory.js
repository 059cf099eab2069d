/** What each rule said of the job that was judged last: only those are judged again that read a fact which says something else. */

import { findings } from "./findings.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./scope.js").Facts} Facts */
/** @typedef {import("./findings.js").Finding} Finding */
/** @typedef {import("./uncertainty.js").AccuracyOf} AccuracyOf */
/** @typedef {(path: string) => string} Telling All that is known of a path, as one text. */

export class Memory {
  /** @param {Program} program */
  constructor(program) {
    this.program = program;
    /** @type {Map<string, {asked: Set<string>, said: Finding[]}>} */
    this.rules = new Map();
    /** What was asked for to know which editions hold, and which rulesets speak of the job. @type {Set<string>} */
    this.asked = new Set();
    /** @type {Telling} */
    this.before = () => "";
    this.judged = 0; // rules that were judged the last time
  }

  /**
   * Every finding of a job.
   * @param {Facts} facts
   * @param {AccuracyOf} accuracy
   * @returns {Finding[]}
   */
  findings(facts, accuracy) {
    const now = telling(facts, accuracy);
    /** @type {Map<string, boolean>} */
    const compared = new Map();
    const same = (/** @type {string} */ path) => {
      let known = compared.get(path);
      if (known === undefined) {
        known = this.before(path) === now(path);
        compared.set(path, known);
      }
      return known;
    };
    if (![...this.asked].every(same)) this.rules.clear();
    this.judged = 0;
    /** @type {Set<string>} */
    const asked = new Set();
    facts.watch.asked = asked;
    const found = findings(this.program, facts, accuracy, (name, judge) => {
      const said = this.again(name, same, facts) ?? this.anew(name, judge, facts);
      facts.watch.asked = asked;
      return said;
    });
    facts.watch.asked = null;
    this.asked = asked;
    this.before = now;
    return found;
  }

  /** What a rule said before, looked at in the facts of now; undefined where it has to be judged. @param {string} name @param {(path: string) => boolean} same @param {Facts} facts */
  again(name, same, facts) {
    const before = this.rules.get(name);
    if (!before || ![...before.asked].every(same)) return undefined;
    before.said = before.said.map((one) => lookedAt(one, facts));
    return before.said;
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
 * All that is known of a path in a job.
 * @param {Facts} facts
 * @param {AccuracyOf} accuracy
 * @returns {Telling}
 */
const telling = (facts, accuracy) => (path) =>
  JSON.stringify([facts.handed[path], facts.lists[path], facts.doubts[path], accuracy(path)]);

/** A finding of the facts of now. @param {Finding} finding @param {Facts} facts @returns {Finding} */
function lookedAt(finding, facts) {
  const versions = finding.versions.map((one) => {
    if (!one.judged) return one;
    const { scope } = one.judged;
    return { ...one, judged: { ...one.judged, scope: scope.on(scope.facts.doubtless ? facts.asRecorded : facts) } };
  });
  const told = finding.versions.findIndex((one) => one.judged === finding.judged);
  return { ...finding, versions, judged: versions[told].judged ?? finding.judged };
}
