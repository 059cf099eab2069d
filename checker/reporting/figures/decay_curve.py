"""The vacuum after the pump was shut off: readings over minutes, the highest allowed, the time to hold."""

from __future__ import annotations

from typing import NamedTuple

from matplotlib.axes import Axes

from checker.findings.finding import Finding
from checker.reading import units
from checker.reading.job import Job
from checker.reporting.figures import amounts, canvas

READINGS, HOLD = "evacuation.decay_readings", "instructions.decay_hold_time"
TITLE = "Vacuum after the pump was shut off"


class Decay(NamedTuple):
    """Points (minutes, vacuum) in the order of time, and what they are held to, in `unit` and minutes."""

    points: tuple[tuple[float, float], ...]
    unit: str
    limit: float
    hold: float | None
    judged: tuple[float, float] | None
    look: str
    near: str
    spread: float | None
    uncertainty: str

    def stands(self, point: tuple[float, float]) -> str:
        """How a reading looks: the one that is judged as it was judged, each other as it stands to the limit."""
        if point == self.judged:
            return self.look
        return canvas.FAILS if point[1] > self.limit and not _same(point[1], self.limit) else canvas.PASSES

    @property
    def shown(self) -> tuple[float, float]:
        """The reading whose number stands in the picture."""
        return self.judged or self.points[-1]


def figure(finding: Finding, job: Job, name: str) -> canvas.Figure | None:
    """The picture; None without readings or without a limit to hold them to."""
    found = _decay(finding, job)
    if found is None:
        return None
    with canvas.sheet(3.0) as (sheet, axes):
        _draw(found, axes)
        return canvas.finished(sheet, name, TITLE, _told(found), *_legend(found))


def _decay(finding: Finding, job: Job) -> Decay | None:
    working = amounts.compared(finding, "absolute_pressure", 2)
    if working is None or working.amounts[1] is None:
        return None
    points = _points(job, working.unit)
    if not points:
        return None
    judged = next((point for point in points if _same(point[1], working.amounts[0])), None)
    bar = amounts.spread(working) if judged else None
    uncertainty = working.uncertainty if bar else ""
    hold = amounts.reading(job, HOLD)
    look, near = amounts.look(working), amounts.near(working)
    return Decay(points, working.unit, working.amounts[1], hold, judged, look, near, bar, uncertainty)


def _points(job: Job, unit: str) -> tuple[tuple[float, float], ...]:
    found = []
    for index in range(len(job.lists.get(READINGS, ()))):
        elapsed = amounts.reading(job, f"{READINGS}.{index}.elapsed")
        vacuum = amounts.reading(job, f"{READINGS}.{index}.vacuum")
        if elapsed is not None and vacuum is not None:
            found.append((elapsed, amounts.number(vacuum, "absolute_pressure", unit)))
    return tuple(sorted(found))


def _same(one: float, other: float | None) -> bool:
    return other is not None and abs(one - other) <= 1e-6 * max(abs(one), 1)


def _draw(found: Decay, axes: Axes) -> None:
    minutes, vacuum = zip(*found.points, strict=True)
    longest, highest = max(*minutes, found.hold or 0, 1), max(*vacuum, found.limit) * 1.18
    axes.set(xlim=(-0.03 * longest, longest * 1.08), ylim=(0, highest))
    axes.plot(minutes, vacuum, "-", color=canvas.BLUE, linewidth=1, gid=canvas.READ)
    for point in found.points:
        canvas.dot(axes, *point, found.stands(point))
    axes.axhline(found.limit, color=canvas.RUST)
    over = _name_limit(found, axes, 0.02 * highest)
    if found.hold is not None:
        axes.axvline(found.hold, color=canvas.QUIET, linewidth=1)
        _beside(axes, (found.hold, 0.03 * highest), f"hold {amounts.written(found.hold, 'minute')}", canvas.QUIET)
    if found.judged and found.spread:
        axes.errorbar(*found.judged, yerr=found.spread, color=canvas.LOOKS[found.look].color, capsize=5)
    _name_judged(found, axes, 0.04 * highest, not over or found.shown[1] - found.limit > 0.2 * highest)
    axes.set_xlabel("minutes since the pump was shut off")
    axes.set_ylabel(f"vacuum, {units.shown(found.unit)}")


def _name_limit(found: Decay, axes: Axes, gap: float) -> bool:
    """At the left over its line, or at the right under it where the curve is soon past it; whether it went over."""
    early = [vacuum for minute, vacuum in found.points if minute <= axes.get_xlim()[1] / 2]
    over = not early or max(early) < found.limit
    text = f"highest allowed {amounts.written(found.limit, found.unit)}"
    if over:
        axes.text(0, found.limit + gap, text, va="bottom", color=canvas.RUST)
    else:
        _beside(axes, (found.hold or axes.get_xlim()[1], found.limit - gap), text, canvas.RUST, "top")
    return over


def _name_judged(found: Decay, axes: Axes, gap: float, above: bool) -> None:
    """The number of the reading that is judged, or of the last, where the name of the limit is not."""
    minute, vacuum = found.shown
    text = amounts.written(vacuum, found.unit) + (f"\n{found.uncertainty}" if found.uncertainty else "")
    if above:
        _beside(axes, (minute, vacuum), text, canvas.BLUE)
    else:
        _beside(axes, (minute, vacuum - (found.spread or 0) - gap), text, canvas.BLUE, "top")


def _beside(axes: Axes, place: tuple[float, float], text: str, color: str, va: str = "bottom") -> None:
    """Text at the side of a place where there is more room."""
    left, right = axes.get_xlim()
    step = 0.025 * (right - left) * (-1 if place[0] > (left + right) / 2 else 1)
    axes.text(place[0] + step, place[1], text, ha="right" if step < 0 else "left", va=va, color=color)


def _legend(found: Decay) -> tuple[str, ...]:
    crosses = any(found.stands(point) == canvas.FAILS for point in found.points)
    return (
        "Marks: readings, with straight lines between them.",
        "A cross is a reading over the limit." if crosses else "",
        found.near,
    )


def _told(found: Decay) -> str:
    points = "; ".join(
        f"{amounts.written(minute, 'minute')}: {amounts.written(vacuum, found.unit)}" for minute, vacuum in found.points
    )
    hold = (
        f"The time to hold is {amounts.written(found.hold, 'minute')}."
        if found.hold is not None
        else "The job gives no time to hold, so none is marked."
    )
    bar = f" The expanded uncertainty of the reading judged is {found.uncertainty}." if found.uncertainty else ""
    return (
        f"Vacuum over the time since the pump was shut off: {points}. "
        f"The highest allowed is {amounts.written(found.limit, found.unit)}. {hold}{bar}"
    )
