/** Pictures by the camera: made smaller, named, bound by SHA-256 to what they show. */

import { el, fill, line } from "./elements.js";
import { engine } from "./engine.js";
import { NotKept } from "./store.js";

const LONGEST = 1800; // pixels of the longer side: small print stays readable
const QUALITY = 0.82;

/** @typedef {import("./session.js").Session} Session */

/**
 * The screen of pictures.
 * @param {Session} session
 */
export function pictures(session) {
  const said = el("p", { role: "status", className: "said" });
  const rows = el("div", { className: "pictures" });
  const shown = () => showAll(session, rows);
  shown();
  const chosen = session.opened.commands.photographed ?? [];
  return el(
    "section",
    {},
    el("h1", {}, "Pictures"),
    line(
      "Each picture is made smaller and bound to what it shows. It stays on this phone until you hand the job over.",
    ),
    said,
    ...chosen.map((/** @type {{title: string, shows: string}} */ one) => camera(session, one, said, shown)),
    el("h2", {}, "Taken"),
    rows,
  );
}

/**
 * @param {Session} session
 * @param {{title: string, shows: string}} subject
 * @param {HTMLElement} said
 * @param {() => void} shown
 */
function camera(session, subject, said, shown) {
  const id = `take-${subject.shows}`;
  const taken = el("input", { type: "file", accept: "image/*", capture: "environment", id, className: "camera" });
  taken.addEventListener("change", async () => {
    const file = taken.files?.[0];
    taken.value = "";
    if (!file) return;
    fill(said, "Making the picture smaller…");
    fill(said, await bind(session, subject, file));
    shown();
  });
  const there = items(session).some((one) => one.shows === subject.shows);
  return el("label", { className: there ? "take has" : "take", htmlFor: id }, subject.title, there ? " ✓" : "", taken);
}

/**
 * Bind one picture to the job, and keep it.
 * @param {Session} session
 * @param {{title: string, shows: string}} subject
 * @param {File} file
 * @returns {Promise<string>} What became of it.
 */
async function bind(session, subject, file) {
  let bytes;
  try {
    bytes = await smaller(file);
  } catch {
    return `${file.name} is not a picture that this browser can open. Take it again.`;
  }
  const digest = engine.sha256(bytes);
  if (items(session).some((one) => one.sha256 === digest)) return "That picture is in the job already.";
  const name = free(subject.title, session);
  const at = `photographs/${name}.jpg`;
  try {
    if (!session.store) throw new NotKept("This browser keeps nothing of this page.");
    await session.store.keepPicture({ job: session.id, file: at, sha256: digest, bytes });
    session.opened.pictures = { ...session.opened.pictures, [at]: digest };
  } catch (error) {
    if (!(error instanceof NotKept)) throw error;
    return `Not taken: ${error.message} Keep the picture in your camera roll and bind it later.`;
  }
  const why = session.record(added(session, { key: name, file: at, shows: subject.shows, sha256: digest }));
  return why || `Taken: ${subject.title}.`;
}

/** @param {Session} session @param {Record<string, string>} fields */
function added(session, fields) {
  const { roles } = session.opened;
  const named = (/** @type {string} */ role) => roles[`photographs.${role}`]?.split(".").pop();
  const item = /** @type {Record<string, string>} */ ({ key: fields.key });
  for (const role of ["file", "shows", "sha256"]) if (named(role)) item[named(role)] = fields[role];
  if (named("taken")) item[named("taken")] = session.day;
  const [list, many] = [roles.photographs, items(session).length];
  return many ? { [`${list}.${many}`]: item } : { [list]: [item] };
}

/** The pictures that a job names. @param {Session} session @returns {{key: string, file: string, shows: string, sha256: string}[]} */
export function items(session) {
  const found = JSON.parse(session.text())[session.opened.roles.photographs];
  return Array.isArray(found) ? found : [];
}

/** A name that no picture of the job has. @param {string} title @param {Session} session */
function free(title, session) {
  const plain = title
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "")
    .slice(0, 40);
  const taken = new Set(items(session).map((one) => one.key));
  let [name, number] = [plain, 1];
  while (taken.has(name)) name = `${plain}-${++number}`;
  return name;
}

/**
 * A picture as a JPEG of at most so many pixels, turned as it was held, without what else its file told.
 * @param {File} file
 */
async function smaller(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const by = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
  const canvas = el("canvas", { width: Math.round(picture.width * by), height: Math.round(picture.height * by) });
  const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  context.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await new Promise((/** @type {(value: Blob|null) => void} */ done) =>
    canvas.toBlob(done, "image/jpeg", QUALITY),
  );
  if (!blob) throw new Error("no picture");
  return new Uint8Array(await blob.arrayBuffer());
}

/**
 * The SHA-256 of each picture that the phone keeps of a job, by the name of its file.
 * @param {import("./store.js").Store|null} store
 * @param {string} job
 * @returns {Promise<Record<string, string>>}
 */
export async function digestsOf(store, job) {
  const kept = (await store?.pictures(job)) ?? [];
  return Object.fromEntries(kept.map((one) => [one.file, one.sha256]));
}

/** @param {Session} session @param {HTMLElement} rows */
async function showAll(session, rows) {
  const kept = session.store ? await session.store.pictures(session.id) : [];
  const titles = new Map(
    (session.opened.commands.photographed ?? []).map((/** @type {any} */ one) => [one.shows, one.title]),
  );
  const made = items(session).map((one) => {
    const there = kept.find((each) => each.file === one.file);
    const shows = titles.get(one.shows) ?? one.key;
    const image = there
      ? el("img", { src: URL.createObjectURL(new Blob([there.bytes], { type: "image/jpeg" })), alt: shows })
      : line("Its file is not on this phone.", "warn");
    return el("figure", {}, image, el("figcaption", {}, shows));
  });
  fill(rows, made.length ? made : line("None yet."));
}
