/**
 * Which rulesets of a place speak of a job: each says itself what it is written for.
 *
 * A ruleset of a place or a group that says nothing of it follows the codes that it stands on: it speaks of the jobs that one of
 * them at least is written for.
 */

import { truth } from "./conditions.js";

/** @typedef {import("./program.js").Program} Program */
/** @typedef {import("./program.js").Source} Source */
/** @typedef {import("./program.js").Node} Node */
/** @typedef {import("./scope.js").Scope} Scope */

const FOLLOW = ["state", "local", "group"]; // kinds of owners whose rulesets follow the codes that they stand on

/**
 * Which rulesets are not written for a job, and why a rule of a ruleset is not judged on it, in words; nothing where it is.
 * @typedef {{outside: Map<string, Node[]>, why: (ruleset: string, rule: string) => string[]}} Spoken
 */

/**
 * @param {Program} program
 * @param {Scope} scope
 * @returns {Spoken}
 */
export function spokenOf(program, scope) {
  /** @type {Map<string, Node[]>} */
  const outside = new Map();
  /** @type {Map<string, Node[]>} */
  const apart = new Map();
  for (const source of program.sources) {
    const unmet = (program.written_for[source.id] ?? []).filter((line) => truth(line.condition, scope) === false);
    apart.set(
      source.id,
      unmet.filter((line) => line.only.length),
    );
    const whole = unmet.filter((line) => !line.only.length);
    const follows = (program.written_for[source.id] ?? []).every((line) => line.only.length)
      ? followed(program, source)
      : [];
    if (follows.length && follows.every((code) => outside.has(code))) whole.push(following(follows));
    if (whole.length) outside.set(source.id, whole);
  }
  /** @type {Spoken["why"]} */
  const why = (ruleset, rule) => {
    const lines = [
      ...(outside.get(ruleset) ?? []).filter((line) => !line.hold_beyond.includes(rule)),
      ...(apart.get(ruleset) ?? []).filter((line) => line.only.includes(rule)),
    ];
    return [...new Set(lines.map((line) => line.otherwise))];
  };
  return { outside, why };
}

/** @param {string[]} codes */
function following(codes) {
  const otherwise = `It follows the codes that it stands on (${codes.join(", ")}), which are not written for this job.`;
  return { is: "line", otherwise, hold_beyond: [], only: [] };
}

/**
 * The codes that a ruleset of a place or a group stands on, itself or through others.
 * @param {Program} program
 * @param {Source} source
 */
function followed(program, source) {
  if (!FOLLOW.includes(source.owner_kind)) return [];
  const used = [...source.uses];
  for (const name of used) {
    const other = program.sources.find((one) => one.id === name);
    used.push(...(other?.uses ?? []).filter((one) => !used.includes(one)));
  }
  return program.sources.filter((one) => used.includes(one.id) && one.owner_kind === "code").map((one) => one.id);
}
