/** The screen of verdicts: what failed first, then what is open by station, then what passed; and the same on paper. */

import { engine } from "./engine.js";
import { PASS, card, failures, named, openLine, stillOpen, toFix } from "./cards.js";
import { button, el, line } from "./elements.js";
import { allOpen, stationsOf, warnings } from "./station.js";

/** @typedef {import("./session.js").Session} Session */
/** @typedef {import("./engine.js").Finding} Finding */

/**
 * @param {Session} session
 * @param {{made: string, deferral: string}} page
 */
export function verdicts(session, page) {
  const { about } = session.opened;
  const wrong = failures(session);
  return el(
    "section",
    { className: "verdicts", "aria-labelledby": "station" },
    el("h1", { id: "station", tabIndex: -1 }, `What it says: ${session.id}`),
    line(session.report.headline, "headline"),
    ...warnings(session),
    ...wrong.map((one) => card(session, one)),
    wrong.length ? null : line("Nothing failed in what is recorded."),
    ...openByStation(session),
    passed(session),
    ...session.report.notes.map((/** @type {string} */ note) => line(`Note: ${note}`, "small")),
    line(
      `Place: ${about.place || "not covered"}. Rules of ${page.made}: ${about.sources.map((/** @type {any} */ one) => `${one.id} ${one.version}`).join(", ")}.`,
      "small",
    ),
    button("Print", () => print(), { className: "not-printed" }),
  );
}

/** @param {Session} session */
function openByStation(session) {
  const open = stillOpen(session);
  if (!open.length) return [];
  const { stations } = session.opened.about;
  const groups = stations.map((/** @type {any} */ station) => ({
    station,
    found: open.filter((one) => one.station === station.name),
  }));
  return [
    el("h2", {}, `Still open (${open.length})`),
    line("● life safety: settle it before the equipment runs.", "small"),
    ...groups
      .filter((/** @type {any} */ one) => one.found.length)
      .map((/** @type {any} */ one) =>
        el(
          "details",
          {},
          el("summary", {}, `${one.station.heading} (${one.found.length})`),
          el(
            "ul",
            { className: "open" },
            ...one.found.map((/** @type {Finding} */ finding) => openLine(session, finding)),
          ),
        ),
      ),
  ];
}

/** @param {Session} session */
function passed(session) {
  const found = session.report.findings.filter((/** @type {Finding} */ one) => one.outcome === PASS);
  const rows = found.map((/** @type {Finding} */ one) =>
    el("li", {}, named(one, one.title), el("span", { className: "small" }, ` ${engine.citedOf(session.report, one)}`)),
  );
  return el("details", {}, el("summary", {}, `Passed (${found.length})`), el("ul", { className: "passed" }, ...rows));
}

/**
 * The verdict in a few words and where the visit stands, for the bar below every screen.
 * @param {Session} session
 * @param {string} [here] The station whose screen is shown.
 */
export function inShort(session, here) {
  const fix = toFix(session).length;
  const open = allOpen(session);
  const life = stillOpen(session).some((one) => one.lifeSafety);
  const said = fix ? `${fix} to fix` : "Nothing failed";
  if (open.length) return `${said}${life ? ", don't start it yet" : ""}: ${whereOf(session, open, here)}`;
  if (fix) return said;
  return stillOpen(session).length ? `${said}, some to ask the office` : "Nothing found wrong in what was read";
}

/**
 * Station 3 of 9, 12 left there: the station that is shown, or the first one with something open; core as long as any is open.
 * @param {Session} session
 * @param {import("./engine.js").Open[]} open
 * @param {string} [here]
 */
function whereOf(session, open, here) {
  const left = open.some((one) => one.core) ? open.filter((one) => one.core) : open;
  const stations = stationsOf(session);
  const at = stations.findIndex(({ name }) => (here ? name === here : left.some((one) => one.station === name)));
  const there = left.filter((one) => one.station === stations[at]?.name).length;
  return `station ${at + 1} of ${stations.length}, ${there} ${left === open ? "" : "core "}left`;
}
