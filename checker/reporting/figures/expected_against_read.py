"""The pressure test: at the start, where the temperature alone would have led, and what was read at the end."""

from __future__ import annotations

from typing import NamedTuple

from matplotlib.axes import Axes

from checker.findings.finding import Finding
from checker.reading import units
from checker.reading.job import Job
from checker.reporting.figures import amounts, canvas

TITLE = "Pressure test: expected against read"


class Held(NamedTuple):
    """Gauge pressures in `unit`, the least that the limit allows, and the temperatures as they were written."""

    unit: str
    start: float
    expected: float
    read: float
    least: float
    temperatures: tuple[str, str]
    look: str
    near: str
    spread: float | None
    uncertainty: str


def figure(finding: Finding, job: Job, name: str) -> canvas.Figure | None:
    """The picture; None where a pressure is missing or the expected one could not be worked out."""
    found = _held(finding, job)
    if found is None:
        return None
    with canvas.sheet(2.5) as (sheet, axes):
        _draw(found, axes)
        return canvas.finished(sheet, name, TITLE, _told(found), *_legend(found))


def _held(finding: Finding, job: Job) -> Held | None:
    """Expected is what was read and the drop that the finding worked out; all in the unit the start was written in."""
    working = amounts.compared(finding, "pressure_difference", 2)
    start, read = (amounts.reading(job, f"pressure_test.{name}") for name in ("pressure", "end_pressure"))
    if working is None or None in working.amounts or start is None or read is None:
        return None
    difference = units.find_unit("pressure_difference", working.unit)
    assert difference is not None
    drop, most = (units.to_base(amount, difference) for amount in working.amounts if amount is not None)
    bar = amounts.spread(working)
    unit = job.readings["pressure_test.pressure"].unit
    begun, expected, ended, least = (
        amounts.number(at, "gauge_pressure", unit) for at in (start, read + drop, read, read + drop - most)
    )
    spread = abs(units.to_base(bar, difference) / units.to_base(1, _gauge(unit))) if bar else None
    temperatures = (_temperature(job, "start"), _temperature(job, "end"))
    look, near, uncertainty = amounts.look(working), amounts.near(working), working.uncertainty if bar else ""
    return Held(unit, begun, expected, ended, least, temperatures, look, near, spread, uncertainty)


def _gauge(unit: str) -> units.Unit:
    return units.find_unit("gauge_pressure", unit) or units.base_unit("gauge_pressure")


def _temperature(job: Job, which: str) -> str:
    reading = job.readings.get(f"pressure_test.{which}_temperature")
    return f" at {reading.written}" if reading else ""


def _rows(found: Held) -> tuple[tuple[str, float, str, str], ...]:
    start, end = found.temperatures
    return (
        (f"read at the start{start}", found.start, canvas.PLAIN, canvas.READ),
        (f"expected at the end{end}", found.expected, canvas.PLAIN, canvas.WORKED_OUT),
        (f"read at the end{end}", found.read, found.look, canvas.READ),
    )


def _draw(found: Held, axes: Axes) -> None:
    reach = found.spread or 0
    places = [found.start, found.expected, found.read - reach, found.read + reach, found.least]
    room = max(0.12 * (max(places) - min(places)), 0.01 * abs(found.start), 0.5)
    left, right = min(places) - room, max(places) + room
    axes.set(xlim=(left, right), ylim=(-1.25 if found.spread else -0.9, 2.8))
    judged = canvas.LOOKS[found.look].color
    if found.spread:
        axes.errorbar(found.read, 0, xerr=found.spread, color=judged, capsize=5)
        axes.text(left, -0.74, f"bar: {found.uncertainty}", va="top", color=judged)
    for at, (text, place, look, how) in enumerate(reversed(_rows(found))):
        axes.plot([left, right], [at, at], color=canvas.FAINT, linewidth=0.8, zorder=0)
        canvas.dot(axes, place, at, look, how)
        named = f"{text}: {amounts.written(place, found.unit)}"
        axes.text(left, at + 0.22, named, va="bottom", color=canvas.LOOKS[look].color)
    canvas.line(axes, (found.least, -0.24), (found.least, 0.2), canvas.RUST, canvas.WORKED_OUT)
    axes.text(left, -0.28, f"least allowed {amounts.written(found.least, found.unit)}", va="top", color=canvas.RUST)
    axes.spines["left"].set_visible(False)
    axes.set_yticks([])
    axes.set_xlabel(units.shown(found.unit))


def _legend(found: Held) -> tuple[str, ...]:
    return (
        canvas.OPEN_MARKS,
        "The cross is under the least allowed." if found.look == canvas.FAILS else "",
        found.near,
    )


def _told(found: Held) -> str:
    rows = "; ".join(f"{text}, {amounts.written(place, found.unit)}" for text, place, _, _ in _rows(found))
    bar = (
        f"Gauge and thermometer together are uncertain by {found.uncertainty}, drawn on the reading at the end."
        if found.uncertainty
        else "How far off gauge and thermometer may be is not known, so no bar is drawn."
    )
    return f"Pressure test: {rows}. The least allowed is {amounts.written(found.least, found.unit)}. {bar}"
