/**
 * What can still change an outcome, in the order in which an interview asks: core first, then where one stands, then until when a
 * thing can be seen. `checker/fieldwork/order_of_asking.py` says the same.
 */

import { truth } from "./conditions.js";
import { VERIFY, conditionsOf } from "./judge.js";
import { Unknown } from "./kleene.js";
import { isTold, stillToName } from "./handedover.js";
import { reads } from "./references.js";
import { Facts, Scope, pattern } from "./scope.js";

/** @typedef {import("./opened.js").Opened} Opened */
/** @typedef {import("./opened.js").Report} Report */
/** @typedef {import("./opened.js").Told} Told */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {{path: string, core: boolean, deciding: boolean, lifeSafety: boolean, station: string, stage: number, form: string}} Open */

const CORE = "core";

/**
 * What is worked out of a vocabulary once and not again for each answer.
 * @template T
 * @param {(vocabulary: Vocabulary) => T} work
 * @returns {(vocabulary: Vocabulary) => T}
 */
function once(work) {
  /** @type {WeakMap<Vocabulary, T>} */
  const known = new WeakMap();
  return (vocabulary) => {
    const found = known.get(vocabulary) ?? work(vocabulary);
    known.set(vocabulary, found);
    return found;
  };
}

/**
 * Every fact that is worth asking for.
 * @param {Opened} opened
 * @param {Job} job
 * @param {Report} report
 * @returns {Open[]}
 */
export function openQuestions({ program, vocabulary }, job, report) {
  const needed = neededBy(program, job, report);
  const deciding = decidingFacts(program, job, report);
  const stages = stagesOf(vocabulary);
  const places = placesOf(vocabulary);
  const toName = stillToName(vocabulary.told.commands, job, report.findings);
  const all = new Set([...deciding, ...toName, ...needed.keys()]);
  /** @type {Map<Told, string[]>} */
  const read = new Map();
  const readings = (/** @type {Told} */ one) => {
    const found = read.get(one) ?? readingsOf(report, one, vocabulary);
    read.set(one, found);
    return found;
  };
  const ranked = [...all].map((path) => {
    const findings = needed.get(path) ?? [];
    const decides = deciding.includes(path);
    const leaf = vocabulary.leaf(path);
    const lifeSafety = findings.some((one) => one.lifeSafety);
    const core = decides || findings.some((one) => one.weight === CORE);
    const station = vocabulary.station(path);
    const rank = [
      !decides,
      !core,
      station,
      stageOf(path, findings, all, readings, vocabulary),
      !lifeSafety,
      -findings.length,
      !leaf?.may_be_none,
      !(leaf && (leaf.possible.length || leaf.form === "flag")),
      ...positions(path),
      places.get(pattern(path)) ?? 0,
    ].map(Number);
    const { name } = vocabulary.told.stations[station];
    const stage = stages.get(pattern(path)) ?? 0;
    return {
      rank,
      open: { path, core, deciding: decides, lifeSafety, station: name, stage, form: leaf?.form ?? "list" },
    };
  });
  return ranked.sort((a, b) => compared(a.rank, b.rank)).map(({ open }) => open);
}

/** The positions of the list items around a fact, in three places: -1 where it is in none. @param {string} path */
function positions(path) {
  const found = path.split(".").filter((step) => /^\d+$/.test(step));
  return [0, 1, 2].map((n) => Number(found[n] ?? -1));
}

/** @param {number[]} one @param {number[]} other */
function compared(one, other) {
  for (const [n, value] of one.entries()) if (value !== other[n]) return value - other[n];
  return 0;
}

/**
 * The unrecorded facts that open findings need, each with those findings.
 * @param {import("./program.js").Program} program
 * @param {Job} job
 * @param {Report} report
 */
function neededBy(program, job, report) {
  /** @type {Map<string, Told[]>} */
  const found = new Map();
  for (const finding of report.findings) {
    if (finding.outcome !== VERIFY) continue;
    const date = finding.reason === "date_unknown" ? program.dates[finding.rule] : "";
    for (const path of new Set([...finding.needs, ...(date ? [date] : [])])) {
      if (!isTold(job, path)) found.set(path, [...(found.get(path) ?? []), finding]);
    }
  }
  return found;
}

/**
 * The unrecorded facts on which it hangs whether the rulesets of the place speak of this job.
 * @param {import("./program.js").Program} program
 * @param {Job} job
 * @param {Report} report
 */
function decidingFacts(program, job, report) {
  const values = Object.fromEntries(Object.entries(job.readings).map(([path, { value }]) => [path, value]));
  const scope = new Scope(new Facts(program, values, job.lists, report.inWords.doubts), {});
  const lines = Object.values(program.written_for).flat();
  const open = lines.filter((line) => truth(line.condition, scope) instanceof Unknown);
  return [...new Set(open.flatMap((line) => reads(line.condition, scope)))].filter((path) => !isTold(job, path));
}

/**
 * The stage a fact is asked in: its own, or for what can be read at any time the first that it helps.
 * @param {string} path
 * @param {Told[]} findings
 * @param {Set<string>} all
 * @param {(finding: Told) => string[]} readings The facts of a finding that are read on an instrument.
 * @param {Vocabulary} vocabulary
 */
function stageOf(path, findings, all, readings, vocabulary) {
  const stages = stagesOf(vocabulary);
  const own = stages.get(pattern(path)) ?? 0;
  const last = vocabulary.told.stages.length - 1;
  if (own < last || vocabulary.leaf(path)?.form === "date") return own;
  const helped = findings.flatMap((one) => [...one.needs.filter((need) => all.has(need)), ...readings(one)]);
  return Math.min(own, ...helped.map((one) => stages.get(pattern(one)) ?? last));
}

/** The facts that a finding rests on or needs and that are read on an instrument. @param {Report} report @param {Told} finding @param {Vocabulary} vocabulary */
function readingsOf(report, finding, vocabulary) {
  const { rule, judged } = report.all[finding.number];
  const paths = [...finding.needs, ...conditionsOf(rule).flatMap((node) => reads(node, judged.scope))];
  const measured = measuredIn(vocabulary);
  return [...new Set(paths)].filter((path) => measured.has(pattern(path)));
}

/** The facts that are read on an instrument, and the lists of readings that hold one. */
const measuredIn = once((vocabulary) => {
  const leaves = [...vocabulary.leaves.values()].filter((leaf) => leaf.measured);
  const lists = [...vocabulary.lists.values()].filter(
    (entry) => !entry.keyed && leaves.some((leaf) => leaf.path.startsWith(`${entry.path}.`)),
  );
  return new Set([...leaves, ...lists].map(({ path }) => path));
});

/** The last stage at which each fact can be seen; for a list that of whichever fact in it is gone first. */
const stagesOf = once((vocabulary) => {
  const found = new Map([...vocabulary.leaves.values()].map((leaf) => [leaf.path, leaf.stage]));
  const last = vocabulary.told.stages.length - 1;
  for (const name of vocabulary.lists.keys()) {
    const inside = [...vocabulary.leaves.values()].filter((leaf) => leaf.path.startsWith(`${name}.`));
    found.set(name, Math.min(last, ...inside.map((leaf) => leaf.stage)));
  }
  return found;
});

/** The place of every fact in the schema; a list stands where its first fact does. */
const placesOf = once((vocabulary) => {
  /** @type {Map<string, number>} */
  const found = new Map();
  for (const [place, path] of [...vocabulary.leaves.keys()].entries()) {
    found.set(path, place);
    for (const name of vocabulary.lists.keys()) {
      if (path.startsWith(`${name}.`) && !found.has(name)) found.set(name, place);
    }
  }
  return found;
});

/**
 * The open findings about what is read, or could be seen, at one stage of the visit and not after it.
 * @param {Opened} opened
 * @param {Report} report
 * @param {number} stage
 */
export function openAt({ vocabulary }, report, stage) {
  const stages = stagesOf(vocabulary);
  const then = (/** @type {string} */ path) => stages.get(pattern(path)) === stage;
  return report.findings.filter(
    (one) => one.outcome === VERIFY && (one.needs.some(then) || readingsOf(report, one, vocabulary).some(then)),
  );
}
