"""A measured value between the lowest and the highest that is wanted, with the instruments' uncertainty as a bar."""

from __future__ import annotations

import re
from typing import NamedTuple

from matplotlib.axes import Axes

from checker.findings.finding import Finding, Working
from checker.reading import units
from checker.reading.job import Job
from checker.reporting.figures import amounts, canvas


class Band(NamedTuple):
    """What was measured and between what it should lie, in one unit, with the texts of the finding."""

    what: str
    unit: str
    low: float
    value: float
    high: float
    texts: tuple[str, ...]
    spread: float | None
    uncertainty: str
    how: str
    look: str
    near: str
    target: float | None

    @property
    def had(self) -> str:
        """How the value was come by, in words."""
        return "read" if self.how == canvas.READ else "worked out"


def figure(finding: Finding, job: Job, name: str) -> canvas.Figure | None:
    """The picture; None where the value or a limit is not known."""
    working = amounts.compared(finding, "temperature_difference", 3)
    found = _band(working, job) if working else None
    if found is None:
        return None
    with canvas.sheet(1.9) as (sheet, axes):
        _draw(found, axes)
        return canvas.finished(sheet, name, f"{found.what} against its target", _told(found), *_legend(found))


def _band(working: Working, job: Job) -> Band | None:
    low, value, high = working.amounts
    if low is None or value is None or high is None or low > high:
        return None
    spread = amounts.spread(working)
    uncertainty = working.uncertainty if spread else ""
    what = _what(working)
    target = _target(job, what, working.unit)
    how, look, near = _how(working), amounts.look(working), amounts.near(working)
    return Band(what, working.unit, low, value, high, working.values, spread, uncertainty, how, look, near, target)


def _target(job: Job, what: str, unit: str) -> float | None:
    """The target that the manufacturer's instructions print; None where the job records none."""
    printed = amounts.reading(job, f"instructions.{what.lower().replace(' ', '_')}_target")
    return None if printed is None else amounts.number(printed, "temperature_difference", unit)


def _how(working: Working) -> str:
    """Whether the value in the middle is a fact of the job or worked out: a fact has dots in its name."""
    parts = re.split(r"<=|>=|<|>", working.text)
    return canvas.READ if len(parts) == 3 and "." in parts[1] else canvas.WORKED_OUT


def _what(working: Working) -> str:
    """The name that the comparison has for what was measured: `lowest <= subcooling <= highest` → `Subcooling`."""
    parts = re.split(r"<=|>=|<|>", working.text)
    name = parts[1].strip().rsplit(".", 1)[-1].replace("_", " ") if len(parts) == 3 else "measured value"
    return canvas.short(name).capitalize()


def _draw(found: Band, axes: Axes) -> None:
    reach = max(found.spread or 0, 0.0)
    ends = (min(found.low, found.value - reach), max(found.high, found.value + reach))
    room = max(0.12 * (ends[1] - ends[0]), 0.5)
    axes.set(xlim=(ends[0] - room, ends[1] + room), ylim=(-1, 1))
    axes.axvspan(found.low, found.high, ymin=0.28, ymax=0.72, facecolor=canvas.PALE_GREEN, edgecolor="none")
    for limit in (found.low, found.high):
        canvas.line(axes, (limit, -0.44), (limit, 0.44), canvas.GREEN, canvas.WORKED_OUT)
    if found.target is not None:
        canvas.line(axes, (found.target, -0.44), (found.target, 0.44), canvas.GREEN)
    if found.spread:
        axes.errorbar(found.value, 0, xerr=found.spread, color=canvas.LOOKS[found.look].color, capsize=5)
    canvas.dot(axes, found.value, 0, found.look, found.how)
    _name(found, axes)
    axes.spines["left"].set_visible(False)
    axes.set_yticks([])
    axes.set_xlabel(units.shown(found.unit))


def _name(found: Band, axes: Axes) -> None:
    left, right = axes.get_xlim()
    uncertainty = f" {found.uncertainty}" if found.uncertainty else ""
    at = (found.value - left) / (right - left)
    side = "left" if at < 0.35 else "right" if at > 0.65 else "center"
    color = canvas.LOOKS[found.look].color
    axes.text(found.value, 0.52, f"{found.had} {found.texts[1]}{uncertainty}", ha=side, va="bottom", color=color)
    names = [(found.low, f"lowest\n{found.texts[0]}"), (found.high, f"highest\n{found.texts[2]}")]
    if found.target is not None:
        names.insert(1, (found.target, f"target\n{amounts.written(found.target, found.unit)}"))
    places = canvas.spread([place for place, _ in names], [0.2 * (right - left)] * len(names))
    for place, (_, text) in zip(places, names, strict=True):
        axes.text(place, -0.5, text, ha="center", va="top", color=canvas.GREEN)


def _told(found: Band) -> str:
    bar = (
        f"The expanded uncertainty from the instruments is {found.uncertainty}."
        if found.uncertainty
        else "How far off the instruments may be is not known, so no bar is drawn."
    )
    side = "below" if found.value < found.low else "above" if found.value > found.high else "inside"
    target = "" if found.target is None else f" The target is {amounts.written(found.target, found.unit)}."
    return (
        f"{found.what} {found.had} is {found.texts[1]}, {side} what is wanted, {found.texts[0]} to {found.texts[2]}."
        f"{target} {bar}"
    )


def _legend(found: Band) -> tuple[str, ...]:
    return (
        canvas.OPEN_MARKS,
        "The cross is outside the limits." if found.look == canvas.FAILS else "",
        found.near,
    )
