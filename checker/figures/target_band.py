"""A measured value between the lowest and the highest that is wanted, with the instruments' uncertainty as a bar."""

from __future__ import annotations

import re
from typing import NamedTuple

from matplotlib.axes import Axes

from checker import units
from checker.figures import amounts, canvas
from checker.findings import Finding, Working
from checker.job import Job


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

    @property
    def target(self) -> float:
        return (self.low + self.high) / 2


def figure(finding: Finding, job: Job, name: str) -> canvas.Figure | None:
    """The picture; None where the value or a limit is not known."""
    working = amounts.compared(finding, "temperature_difference", 3)
    found = _band(working) if working else None
    if found is None:
        return None
    with canvas.sheet(1.9) as (sheet, axes):
        _draw(found, axes)
        return canvas.finished(sheet, name, f"{found.what} against its target", _told(found))


def _band(working: Working) -> Band | None:
    low, value, high = working.amounts
    if low is None or value is None or high is None or low > high:
        return None
    spread = amounts.spread(working)
    uncertainty = working.uncertainty if spread else ""
    return Band(_what(working), working.unit, low, value, high, working.values, spread, uncertainty)


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
        axes.plot([limit, limit], [-0.44, 0.44], color=canvas.GREEN)
    axes.plot([found.target, found.target], [-0.44, 0.44], color=canvas.GREEN, linestyle=":")
    axes.errorbar(found.value, 0, xerr=found.spread, color=canvas.BLUE, marker="o", capsize=5)
    _name(found, axes)
    axes.spines["left"].set_visible(False)
    axes.set_yticks([])
    axes.set_xlabel(units.shown(found.unit))


def _name(found: Band, axes: Axes) -> None:
    left, right = axes.get_xlim()
    uncertainty = f" {found.uncertainty}" if found.uncertainty else ""
    at = (found.value - left) / (right - left)
    side = "left" if at < 0.35 else "right" if at > 0.65 else "center"
    axes.text(found.value, 0.52, f"measured {found.texts[1]}{uncertainty}", ha=side, va="bottom", color=canvas.BLUE)
    target = amounts.written(found.target, found.unit)
    names = (
        (found.low, f"lowest\n{found.texts[0]}"),
        (found.target, f"target\n{target}"),
        (found.high, f"highest\n{found.texts[2]}"),
    )
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
    return (
        f"{found.what} measured is {found.texts[1]}, {side} what is wanted, {found.texts[0]} to {found.texts[2]} "
        f"with the target {amounts.written(found.target, found.unit)} in the middle. {bar}"
    )
