/** The photographs that a job names: which of them count as taken. What one shows that does not count is not known. */

/** @typedef {import("./vocabulary.js").Vocabulary} Vocabulary */
/** @typedef {import("./job.js").Job} Job */
/** @typedef {Record<string, string>} Pictures The SHA-256 of each picture that is kept, by the name of its file. */

const NOT_LOOKED_FOR = "The photographs were not looked for: the job has no folder.";
const MISSING = "there is no such file in the folder of the job file";
const CHANGED = "the file is not the one that was recorded: its SHA-256 differs";

/**
 * A job after a look for its photographs, with a note on each that does not count.
 * @param {Vocabulary} vocabulary
 * @param {Job} job
 * @param {Pictures|null} pictures Null where nobody could look.
 * @returns {Job}
 */
export function lookedFor(vocabulary, job, pictures) {
  const keys = job.lists[vocabulary.at("photographs")] ?? [];
  const text = (/** @type {string} */ role, /** @type {number} */ index) => {
    const value = job.readings[vocabulary.at(`photographs.${role}`, index)]?.value;
    return typeof value === "string" ? value : "";
  };
  const named = keys.flatMap((_, index) => (text("file", index) ? [index] : []));
  if (!named.length) return job;
  if (!pictures) return { ...job, notes: [...job.notes, NOT_LOOKED_FOR] };
  const found = { ...job, readings: { ...job.readings }, notKnown: { ...job.notKnown }, notes: [...job.notes] };
  for (const index of named) {
    const file = text("file", index);
    const why = missing(pictures, file, ["sha256", "handed_over"].map((role) => text(role, index)).filter(Boolean));
    if (!why) continue;
    const shows = vocabulary.at("photographs.shows", index);
    if (Object.hasOwn(found.readings, shows)) {
      delete found.readings[shows];
      found.notKnown[shows] = `${file}: ${why}`;
    }
    found.notes.push(`The photograph ${file} does not count as taken: ${why}.`);
  }
  return found;
}

/** Why a picture that is named does not count; empty where it does. @param {Pictures} pictures @param {string} file @param {string[]} digests */
function missing(pictures, file, digests) {
  if (!Object.hasOwn(pictures, file)) return MISSING;
  return digests.length && !digests.includes(pictures[file]) ? CHANGED : "";
}
