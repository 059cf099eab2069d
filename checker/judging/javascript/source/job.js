/** A job read from its text, and one made out of another with facts put into it. A job is never changed. */

import { withSums } from "./addedup.js";
import { withInherited } from "./inherited.js";
import { Reader, SCHEMA_VERSION } from "./jobreader.js";
import { JsonDocument, ProblemsFound, writtenJob } from "./jsontext.js";
import { ROLE, answers, noted, unrecorded } from "./knownby.js";
import { lookedFor } from "./photographs.js";
import { isGroup } from "./texts.js";

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./factreader.js").Reading} Reading */
/**
 * @typedef {object} Job
 * @property {string} id
 * @property {Record<string, any>} data As it was typed.
 * @property {Record<string, Reading>} readings By full path.
 * @property {Record<string, string>} notKnown
 * @property {Record<string, string[]>} lists
 * @property {string[]} notes
 */

/** A job in which nothing is answered. @param {string} id */
export const newJob = (id) => writtenJob({ job_id: id, schema_version: SCHEMA_VERSION });

/**
 * What jobs are read by, what they take over, and the pictures that are kept of them.
 * @typedef {object} Home
 * @property {Vocabulary} vocabulary
 * @property {import("./inherited.js").Inherited} inherited
 * @property {import("./photographs.js").Pictures|null} pictures
 */

/**
 * Read a job.
 * @param {Home} home
 * @param {string} text
 * @returns {Job}
 * @throws {import("./jsontext.js").ProblemsFound} Everything that is wrong with it, at once.
 */
export function readJob(home, text) {
  return jobOf(home, new JsonDocument(text));
}

/** @param {Home} home @param {import("./jobreader.js").Document} told @returns {Job} */
function jobOf({ vocabulary, inherited, pictures }, told) {
  const reader = new Reader(told, vocabulary, inherited.profile?.lists[vocabulary.at("instruments")]);
  reader.everything();
  const { readings, notKnown, lists, document } = reader;
  const missing = unrecorded(document.data, vocabulary, [...Object.keys(readings), ...Object.keys(lists)]);
  const notes = missing.length
    ? [`Nothing is recorded of what '${vocabulary.at(ROLE)}' names: ${missing.join(", ")}.`]
    : [];
  const job = {
    id: String(document.data.job_id ?? ""),
    data: document.data,
    readings: withSums(readings, vocabulary),
    notKnown,
    lists,
    notes,
  };
  return withInherited(vocabulary, lookedFor(vocabulary, job, pictures), inherited);
}

/**
 * A job with some facts put into their places, and how they are known.
 * @param {Home} home
 * @param {Job} job
 * @param {Record<string, any>} facts Values by path; a path that ends in a position puts an item into a list there.
 * @param {boolean} [ticked] Whether they come from a tick list.
 * @throws {import("./jsontext.js").ProblemsFound}
 */
export function withFacts(home, job, facts, ticked = false) {
  const { vocabulary } = home;
  const data = noted(placed(job.data, facts), vocabulary, answers(vocabulary, facts, ticked));
  return again(home, data);
}

/**
 * A job of data that was read out of a text before. What is wrong with it is told by its text.
 * @param {Home} home
 * @param {Record<string, any>} data
 */
function again(home, data) {
  try {
    return jobOf(home, {
      data,
      problem: (at, what, hint) => ({ at, line: 0, what, hint }),
      inOrder: (all) => all,
    });
  } catch (error) {
    if (error instanceof ProblemsFound) return readJob(home, writtenJob(data));
    throw error;
  }
}

/**
 * A job without what it says at a path, and without how it is known.
 * @param {Home} home
 * @param {Job} job
 * @param {string} path
 */
export function without(home, job, path) {
  const data = copied(noted(job.data, home.vocabulary, { [path]: "" }));
  const steps = path.split(".");
  const last = /** @type {string} */ (steps.pop());
  const at = steps.reduce((found, step) => found?.[step], data);
  if (Array.isArray(at)) at.splice(Number(last), 1);
  else if (at) delete at[last];
  return again(home, data);
}

/**
 * A copy of a job with facts put into their places; all else is kept, in its order.
 * @param {Record<string, any>} data
 * @param {Record<string, any>} facts
 */
export function placed(data, facts) {
  const job = copied(data);
  for (const [path, value] of Object.entries(facts)) {
    const steps = path.split(".");
    const last = /** @type {string} */ (steps.pop());
    let at = job;
    for (const step of steps) {
      if (Array.isArray(at)) at = at[Number(step)];
      else {
        if (!Object.hasOwn(at, step)) at[step] = {};
        at = at[step];
      }
    }
    if (Array.isArray(at)) at.splice(Number(last), 0, copied(value));
    else at[last] = copied(value);
  }
  return job;
}

/** @param {any} data @returns {any} */
function copied(data) {
  if (Array.isArray(data)) return data.map(copied);
  return isGroup(data) ? Object.fromEntries(Object.entries(data).map(([name, one]) => [name, copied(one)])) : data;
}
