/** The jobs on this phone: go on with one, begin one, open a file, take one off. */

import { engine } from "./engine.js";
import { button, el, fill, line } from "./elements.js";
import { opening } from "./handing.js";
import { told } from "./session.js";

/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./store.js").Kept} Kept */

/**
 * @param {any} opened
 * @param {Store|null} store
 * @param {Kept[]} kept
 * @param {import("./engine.js").Facts} begins What every new job says from the start.
 * @param {(job: Kept) => void} take Go on with a job.
 */
export function jobs(opened, store, kept, begins, take) {
  const said = el("p", { className: "said", role: "alert" });
  const name = el("input", { type: "text", id: "new-job", autocomplete: "off", enterkeyhint: "go" });
  const begin = () => {
    const id = name.value.trim();
    if (!id) return fill(said, "Give the job a short name, such as the street and number.");
    if (kept.some((one) => one.id === id)) return fill(said, `There is a job called ${id} on this phone already.`);
    const read = engine.withFacts(opened, engine.newJob(opened, id), begins, {});
    if (read.problems) return fill(said, told(read.problems));
    return take({ id, text: engine.writeJob(read.job), number: 0, changed: 0 });
  };
  name.addEventListener("keydown", (event) => event.key === "Enter" && begin());
  return el(
    "section",
    { "aria-labelledby": "station" },
    el("h1", { id: "station", tabIndex: -1 }, `Jobs on this phone (${kept.length})`),
    ...kept.map((one) => jobRow(one, store, take)),
    el("h2", {}, "A new job"),
    el("label", { className: "ask", htmlFor: "new-job" }, "Name of the job, such as its street and number"),
    el("div", { className: "typed" }, name, button("Begin", begin)),
    el("h2", {}, "A job file"),
    fileButton(opened, kept, take, said),
    said,
    line(opened.about.caution, "caution"),
  );
}

/** @param {Kept} one @param {Store|null} store @param {(job: Kept) => void} take */
function jobRow(one, store, take) {
  const row = el("div", { className: "row" });
  const sure = button("Take it off this phone, with its pictures", async () => {
    await store?.remove(one.id);
    row.remove();
  });
  const changed = one.changed ? new Date(one.changed).toLocaleDateString("en-US") : "";
  const go = button("", () => take(one), { className: "station" });
  fill(go, el("span", {}, one.id), el("span", { className: "small" }, changed));
  row.append(
    go,
    el("details", { className: "aside" }, el("summary", { "aria-label": `Take off ${one.id}` }, "take off"), sure),
  );
  return row;
}

/** @param {any} opened @param {Kept[]} kept @param {(job: Kept) => void} take @param {HTMLElement} said */
function fileButton(opened, kept, take, said) {
  const chosen = el("input", { type: "file", id: "open-job", accept: ".json,application/json" });
  chosen.addEventListener("change", async () => {
    const file = chosen.files?.[0];
    chosen.value = "";
    if (!file) return;
    const read = await opening(opened, file);
    if ("refused" in read) return fill(said, read.refused);
    const there = kept.find((one) => one.id === read.id);
    if (!there) return take({ ...read, number: 0, changed: 0 });
    fill(said, `There is a job called ${read.id} on this phone already. `);
    said.append(
      button("Open that one", () => take(there)),
      button("Put the file in its place", () => take({ ...read, number: there.number, changed: 0 })),
    );
  });
  return el("label", { className: "take", htmlFor: "open-job" }, "Open a job file", chosen);
}
