/** Job files in and out: save, open, and hand over with the pictures. */

import { engine } from "./engine.js";
import { items } from "./pictures.js";
import { told } from "./session.js";
import { el } from "./elements.js";
import { zipped } from "./zip.js";

/** @typedef {import("./session.js").Session} Session */

/** A name that any file system takes. @param {string} id */
export const fileName = (id) => id.replace(/[^A-Za-z0-9._-]+/g, "-").replace(/^[-.]+|[-.]+$/g, "") || "job";

/** Give the browser a file to save. @param {Blob} blob @param {string} name */
function save(blob, name) {
  const url = URL.createObjectURL(blob);
  const link = el("a", { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

/** Save the job file. @param {Session} session */
export function saveJob(session) {
  const name = `${fileName(session.id)}.json`;
  save(new Blob([session.text()], { type: "application/json" }), name);
  return `Saved as ${name}.`;
}

/**
 * Hand the job over with its pictures, as one zip.
 * @param {Session} session
 */
export async function handOver(session) {
  const name = fileName(session.id);
  const kept = session.store ? await session.store.pictures(session.id) : [];
  const wanted = items(session).map((one) => one.file);
  const there = kept.filter((one) => wanted.includes(one.file));
  const job = new TextEncoder().encode(session.text());
  /** @type {[string, Uint8Array][]} */
  const files = [
    [`${name}.json`, job],
    ...there.map((one) => /** @type {[string, Uint8Array]} */ ([one.file, one.bytes])),
  ];
  save(zipped(files), `${name}.zip`);
  const missing = wanted.length - there.length;
  return `Saved as ${name}.zip, with ${there.length} of ${wanted.length} pictures.${missing ? " The others are not on this phone." : ""}`;
}

/**
 * Read a job file that somebody chose.
 * @param {any} opened
 * @param {File} file
 * @returns {Promise<{id: string, text: string} | {refused: string}>}
 */
export async function opening(opened, file) {
  if (file.size > 2 ** 20) return { refused: `${file.name} is larger than a job file can be.` };
  const read = engine.readJob(opened, await file.text());
  if (read.problems) return { refused: `${file.name}: ${told(read.problems)}` };
  const text = engine.writeJob(read.job);
  return { id: String(JSON.parse(text).job_id), text };
}
