/** What a page calls: a program opened, a job read or made, judged, and told in words. Nothing here has a clock or a screen. */

import { Acceptances, STANDS } from "./acceptances.js";
import { dayOf } from "./days.js";
import { Instruments } from "./instruments.js";
import { newJob as textOfNewJob, readJob as read, withFacts as put, without as taken } from "./job.js";
import { ProblemsFound, writtenJob } from "./jsontext.js";
import { FAIL, PASS, VERIFY, conditionsOf } from "./judge.js";
import { bringOf } from "./brought.js";
import { citationsOf, section } from "./citations.js";
import { notJudged, settleFirst } from "./findings.js";
import { headlineOf } from "./headline.js";
import { limitsOf } from "./limits.js";
import { Memory } from "./memory.js";
import { notesOf } from "./notes.js";
import { Asker } from "./questions.js";
import { filled, needsOf, whatFailed } from "./words.js";
import { workings } from "./workings.js";
import { unpacked } from "./packed.js";
import { loaded } from "./program.js";
import { factsRead } from "./references.js";
import { Facts } from "./scope.js";
import { doubtsOf, secondLook } from "./secondlook.js";
import { Vocabulary } from "./vocabulary.js";

/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./findings.js").Finding} Finding */
/** @typedef {import("./acceptances.js").Acceptance} Acceptance */
/**
 * A program made ready, with the vocabulary of its jobs, and what it said of the job that was judged last.
 * @typedef {object} Opened
 * @property {import("./program.js").Program} program
 * @property {Vocabulary} vocabulary
 * @property {Memory} memory
 * @property {import("./inherited.js").Inherited} inherited What every job takes over.
 * @property {import("./photographs.js").Pictures|null} pictures Those that a page keeps of the job that is read next.
 * @property {any} about
 * @property {Record<string, string>} roles
 * @property {any} commands
 */
/**
 * What is said of a job. `findings` has what everybody wants to know at once; `words` tells the rest of one of them.
 * @typedef {object} Report
 * @property {Job} job
 * @property {string} headline
 * @property {Record<string, number>} counts
 * @property {string[]} notes
 * @property {ReturnType<typeof notJudged>} notJudged
 * @property {Told[]} findings
 * @property {Finding[]} all
 * @property {import("./words.js").Job} inWords
 * @property {import("./uncertainty.js").AccuracyOf} accuracy
 */
/**
 * @typedef {object} Told
 * @property {number} number Its place among the findings of the report.
 * @property {string} rule
 * @property {string} item
 * @property {string} outcome
 * @property {string} reason
 * @property {string} title
 * @property {string} weight
 * @property {boolean} lifeSafety
 * @property {boolean} practice
 * @property {string[]} needs
 * @property {string} station
 * @property {Acceptance} [acceptance] What a job notes of the authority's word on a failure, and how it stands.
 * @property {boolean} accepted
 */

/**
 * @param {string} text As `checker.engine.for_browser` hands it over.
 * @returns {Opened}
 * @throws {import("./program.js").Refused}
 */
export function open(text) {
  const { program: document, vocabulary: told, inherited } = unpacked(text);
  const program = loaded(document);
  const { place, covered, sources, calendar } = program;
  const { stations, stages, caution, roles, commands } = told;
  const about = { place, covered, sources, calendar, stations, stages, caution };
  return {
    program,
    vocabulary: new Vocabulary(told),
    memory: new Memory(program),
    inherited,
    pictures: null,
    about,
    roles,
    commands,
  };
}

/** A job in which nothing is answered. @param {Opened} opened @param {string} id @returns {Job} */
export const newJob = (opened, id) => read(opened, textOfNewJob(id));

/** @param {Opened} opened @param {string} text */
export const readJob = (opened, text) => orProblems(() => read(opened, text));

/** A job as the text of its file. @param {Job} job */
export const writeJob = (job) => writtenJob(job.data);

/**
 * A job with some facts put into their places, and how they are known.
 * @param {Opened} opened
 * @param {Job} job
 * @param {Record<string, any>} facts
 * @param {{ticked?: boolean}} [how]
 */
export const withFacts = (opened, job, facts, { ticked = false } = {}) =>
  orProblems(() => put(opened, job, facts, ticked));

/** A job without what it says at a path. @param {Opened} opened @param {Job} job @param {string} path */
export const without = (opened, job, path) => orProblems(() => taken(opened, job, path));

/** @param {() => Job} made @returns {{job: Job}|{problems: import("./jsontext.js").Problem[]}} */
function orProblems(made) {
  try {
    return { job: made() };
  } catch (error) {
    if (error instanceof ProblemsFound) return { problems: error.problems };
    throw error;
  }
}

/**
 * Judge a job.
 * @param {Opened} opened
 * @param {Job} job
 * @param {string} day The day of the check, as in "2026-05-04".
 * @returns {Report}
 * @throws {import("./versions.js").WronglyTold|import("./program.js").Refused}
 */
export function judge({ program, vocabulary, memory }, job, day) {
  const on = dayOf(day);
  const looks = secondLook(vocabulary, job, on);
  const doubts = doubtsOf(looks);
  const instruments = new Instruments(vocabulary, job, program.accuracies);
  const facts = new Facts(program, valuesOf(job), job.lists, doubts);
  const accuracy = (/** @type {string} */ path) => instruments.of(path);
  const all = memory.findings(facts, accuracy);
  const { accepted, notes } = new Acceptances(program, vocabulary, job, doubts, on).among(all);
  const left = notJudged(program, facts);
  const findings = all.map((one, number) => told(one, number, vocabulary, accepted.get(number)));
  /** @type {import("./words.js").Job|undefined} */
  let inWords;
  return {
    job,
    headline: headlineOf(findings, left),
    counts: Object.fromEntries(
      [FAIL, VERIFY, PASS].map((one) => [one, all.filter(({ outcome }) => outcome === one).length]),
    ),
    notes: [...job.notes, ...looks.map(({ why }) => `Look again: ${why}.`), ...notes],
    notJudged: left,
    findings,
    all,
    get inWords() {
      inWords ??= { program, ...asWritten(job), doubts, notKnown: job.notKnown };
      return inWords;
    },
    accuracy,
  };
}

/** @param {Job} job */
function valuesOf(job) {
  /** @type {Record<string, any>} */
  const values = {};
  for (const [path, { value }] of Object.entries(job.readings)) values[path] = value;
  return values;
}

/** @param {Job} job */
function asWritten(job) {
  /** @type {Record<string, string>} */
  const written = {};
  /** @type {Record<string, string>} */
  const origins = {};
  for (const [path, reading] of Object.entries(job.readings)) {
    written[path] = reading.written;
    if (reading.origin) origins[path] = reading.origin;
  }
  return { written, origins };
}

/** @param {Finding} finding @param {number} number @param {Vocabulary} vocabulary @param {Acceptance} [acceptance] @returns {Told} */
function told({ rule, item, outcome, reason, needs, judged }, number, vocabulary, acceptance) {
  let station = "";
  return {
    number, rule: rule.id, item, outcome, reason, title: rule.title, weight: rule.weight, lifeSafety: rule.life_safety,
    practice: rule.obligation !== "shall", needs, acceptance, accepted: acceptance?.standing === STANDS,
    get station() {
      station ||= vocabulary.told.stations[stationOf(factsRead(conditionsOf(rule), judged.scope), vocabulary)].name;
      return station;
    },
  }; // prettier-ignore
}

/**
 * The place of the station that most of some facts have, the later one of two. What was replaced is seen everywhere.
 * @param {string[]} paths
 * @param {Vocabulary} vocabulary
 */
function stationOf(paths, vocabulary) {
  const telling = paths.filter((path) => !path.startsWith(`${vocabulary.at("scope")}.`));
  /** @type {Map<number, number>} */
  const counted = new Map();
  for (const path of telling.length ? telling : paths) {
    counted.set(vocabulary.station(path), (counted.get(vocabulary.station(path)) ?? 0) + 1);
  }
  return [...counted].sort(([a, many], [b, more]) => more - many || b - a)[0]?.[0] ?? 0;
}

/**
 * All that is to be said of a finding. It is worked out when somebody wants to know it.
 * @param {Report} report
 * @param {Told} finding
 */
export function words({ all, inWords: job, accuracy }, { number }) {
  const finding = all[number];
  const { rule, judged } = finding;
  const { verdict, scope } = judged;
  const made = workings(rule, scope, job, accuracy);
  const failed = verdict.outcome === FAIL ? whatFailed(rule, scope, job) : { headline: "", message: "", remedy: "" };
  return {
    ...failed,
    remedy: [settleFirst(finding, all), failed.remedy].filter(Boolean).join(" "),
    ...new Asker(job, accuracy).put(finding),
    bring: bringOf(rule, scope, job),
    photograph: filled(rule.photograph, scope, job),
    sections: citationsOf(finding).map((/** @type {import("./program.js").Node} */ one) => section(one)),
    record: needsOf(verdict, job),
    workings: made,
    limits: limitsOf(rule, scope),
    notes: notesOf(rule, judged, job, made),
    cautions: rule.cautions.map((/** @type {import("./program.js").Node} */ one) => one.text ?? one),
  };
}
