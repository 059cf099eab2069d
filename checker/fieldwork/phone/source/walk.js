/** The way through a job, station by station. */

import { failures } from "./cards.js";
import { button, el, fill, line } from "./elements.js";
import { handOver, saveJob } from "./handing.js";
import { allOpen, stationsOf, warnings } from "./station.js";

/** @typedef {import("./session.js").Session} Session */

/**
 * @param {Session} session
 * @param {(to: string) => void} go
 */
export function walk(session, go) {
  const said = el("p", { className: "said", role: "status" });
  const core = allOpen(session).some((one) => one.core);
  return el(
    "section",
    { "aria-labelledby": "station" },
    el("h1", { id: "station", tabIndex: -1 }, session.id),
    line(session.report.headline, "headline"),
    line(core ? "Core first, station by station." : "Core is done. The rest can be answered or left."),
    ...warnings(session),
    button("The job: what goes in, permit", () => go("start"), { className: "station" }),
    ...stationsOf(session).map((station) => stationButton(session, station, go)),
    button("Pictures", () => go("pictures"), { className: "station" }),
    el("h2", {}, "Take it along"),
    el(
      "div",
      { className: "choices" },
      button("Save job file", () => fill(said, saveJob(session))),
      button("Hand over (zip with pictures)", async () => fill(said, await handOver(session))),
    ),
    said,
  );
}

/** @param {Session} session @param {{name: string, heading: string}} station @param {(to: string) => void} go */
function stationButton(session, station, go) {
  const here = allOpen(session).filter((one) => one.station === station.name);
  const core = here.filter((one) => one.core).length;
  const wrong = failures(session).filter((one) => one.station === station.name).length;
  const state = [
    wrong && `${wrong} failed`,
    core && `${core} core open`,
    here.length - core && `${here.length - core} more`,
  ];
  const told = state.filter(Boolean).join(", ") || "nothing open";
  const made = button("", () => go(`at/${station.name}`), {
    className: wrong ? "station bad" : core ? "station" : "station clear",
  });
  fill(made, el("span", {}, station.heading), el("span", { className: "small" }, told));
  return made;
}
