"""The refrigerant cycle on a chart of pressure over enthalpy: what was measured, and what was not, dashed.

Readings of cooling alone: in heating the pipes change their parts. Without an elevation or a barometer a gauge pressure is
no absolute one, and nothing is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from matplotlib.axes import Axes
from matplotlib.figure import Figure as Sheet

from checker import units
from checker.figures import amounts, canvas
from checker.job import Job
from checker.trade import enthalpy, refrigerant, saturation
from checker.trade.function import OutOfRange

COLDEST_DRAWN, STEPS = -20.0, 120  # °F where the dome begins; points on each of its sides
NOT_MEASURED = 0.2  # of the width of the cycle: how far the compression line leans, for want of a discharge reading
TICKS = {
    "psia": (20, 30, 50, 70, 100, 150, 200, 300, 400, 500, 700),
    "kPaa": (150, 200, 300, 500, 700, 1000, 1500, 2000, 3000, 4000, 5000),
}
BESIDE = {"psia": "kPaa", "kPaa": "psia"}


class System(NamedTuple):
    """The units of a chart: of pressure, of enthalpy, of temperature."""

    pressure: str
    enthalpy: str
    temperature: str


US, METRIC = System("psia", "Btu_per_lb", "degF"), System("kPaa", "kJ_per_kg", "degC")


class State(NamedTuple):
    """A point of the chart: psia, °F, Btu/lb."""

    pressure: float
    temperature: float
    enthalpy: float


class Cycle(NamedTuple):
    """Liquid line, after the metering device, suction; and in which units the readings were written."""

    refrigerant: str
    liquid: State
    expanded: State
    suction: State
    atmosphere: float
    air: str
    system: System
    bridged: bool


def figure(job: Job, name: str) -> canvas.Figure | None:
    """The picture; None where a reading is missing, or they cannot belong to one cycle of a refrigerant we know."""
    try:
        found = _cycle(job)
    except OutOfRange:
        return None
    if found is None:
        return None
    title = f"Refrigerant cycle: {found.refrigerant}"
    with canvas.sheet(3.9) as (sheet, axes):
        _draw(found, sheet, axes)
        return canvas.finished(sheet, name, title, _told(found))


def _cycle(job: Job) -> Cycle | None:
    """Raises OutOfRange where a liquid is no liquid, a vapour no vapour, or a reading outside the tables."""
    names = ("liquid_pressure", "liquid_temperature", "suction_pressure", "suction_temperature")
    readings = [amounts.reading(job, f"charge.{one}") for one in names]
    around, name = _air(job), job.text("charge.refrigerant")
    if around is None or None in readings or job.text("charge.mode") != "cooling":
        return None
    atmosphere, air = around
    liquid_gauge, liquid_at, suction_gauge, suction_at = (one for one in readings if one is not None)
    liquid = _liquid(name, refrigerant.absolute_pressure(liquid_gauge, atmosphere), liquid_at)
    pressure = refrigerant.absolute_pressure(suction_gauge, atmosphere)
    suction = State(pressure, suction_at, enthalpy.vapor_enthalpy(name, pressure, suction_at))
    expanded = State(pressure, refrigerant.bubble_temperature(name, pressure), liquid.enthalpy)
    if pressure >= liquid.pressure:
        return None
    metric = "Pa" in job.readings["charge.liquid_pressure"].unit or "bar" in job.readings["charge.liquid_pressure"].unit
    bridged = enthalpy.bridged(name, "bubble", liquid_at) or _saturation_bridged(name, liquid.pressure, pressure)
    return Cycle(name, liquid, expanded, suction, atmosphere, air, METRIC if metric else US, bridged)


def _air(job: Job) -> tuple[float, str] | None:
    """Pressure of the air around (psia), and what it was taken from; None where the job tells neither."""
    barometer, elevation = amounts.reading(job, "site.barometer"), amounts.reading(job, "site.elevation")
    if barometer is not None:
        return barometer, f"the barometer at the site, {job.readings['site.barometer'].written}"
    if elevation is not None:
        written = job.readings["site.elevation"].written
        return refrigerant.atmospheric_pressure(elevation), f"the standard atmosphere at {written}"
    return None


def _liquid(name: str, pressure: float, temperature: float) -> State:
    boiling = refrigerant.bubble_temperature(name, pressure)
    if temperature > boiling:
        raise OutOfRange(f"liquid at {temperature:.4g} °F is above its bubble point, {boiling:.4g} °F")
    return State(pressure, temperature, enthalpy.liquid_enthalpy(name, temperature))


def _saturation_bridged(name: str, *pressures: float) -> bool:
    curves = {which: saturation.curve(name, which) for which in ("bubble", "dew")}
    return any(saturation.bridged(one, saturation.temperature_at(one, p)) for one in curves.values() for p in pressures)


def _draw(found: Cycle, sheet: Sheet, axes: Axes) -> None:
    system = found.system
    _draw_dome(found, axes)
    liquid, expanded, suction = (_place(one, system) for one in (found.liquid, found.expanded, found.suction))
    discharge = (suction[0] + NOT_MEASURED * (suction[0] - liquid[0]), liquid[1])
    _line(axes, liquid, expanded, "-")
    _line(axes, expanded, suction, "-")
    _line(axes, suction, discharge, "--")
    _line(axes, discharge, liquid, "--")
    for (x, y), marker in ((liquid, "o"), (expanded, "s"), (suction, "D")):
        axes.plot([x], [y], marker, color=canvas.RUST, zorder=5)
    _scales(found, axes, (liquid[0], discharge[0]))
    _name(found, sheet, axes, (liquid, expanded, suction))


def _draw_dome(found: Cycle, axes: Axes) -> None:
    """Both sides, from a temperature well below the cycle to the end of the tables."""
    low, high = _coldest(found), enthalpy.span(found.refrigerant)[1]
    for which, line in (("bubble", "-"), ("dew", "-.")):
        temperatures = [low + (high - low) * step / STEPS for step in range(STEPS + 1)]
        states = [_saturated(found.refrigerant, which, temperature) for temperature in temperatures]
        axes.plot(*zip(*(_place(state, found.system) for state in states), strict=True), line, color=canvas.BLUE)


def _coldest(found: Cycle) -> float:
    """Where the dome begins, °F."""
    return max(enthalpy.span(found.refrigerant)[0], min(COLDEST_DRAWN, found.expanded.temperature - 15))


def _saturated(name: str, which: str, temperature: float) -> State:
    pressure = saturation.pressure_at(saturation.curve(name, which), temperature)
    return State(pressure, temperature, enthalpy.saturated_enthalpy(name, which, temperature))


def _place(state: State, system: System) -> tuple[float, float]:
    return (
        amounts.number(state.enthalpy, "specific_enthalpy", system.enthalpy),
        amounts.number(state.pressure, "absolute_pressure", system.pressure),
    )


def _line(axes: Axes, start: tuple[float, float], end: tuple[float, float], style: str) -> None:
    axes.plot(*zip(start, end, strict=True), style, color=canvas.RUST)


def _scales(found: Cycle, axes: Axes, ends: tuple[float, float]) -> None:
    """A logarithm of pressure at the left in the readings' system and at the right in the other; enthalpy below."""
    system, other = found.system, BESIDE[found.system.pressure]
    axes.set_yscale("log")
    low, high = axes.get_ylim()
    axes.set_ylim(low, high * 1.25)
    (left, right), (first, last) = axes.get_xlim(), ends
    axes.set_xlim(min(left, first - 0.45 * (last - first)), max(right, last + 0.06 * (last - first)))
    axes.set_xlabel(f"enthalpy, {units.shown(system.enthalpy)}")
    beside = axes.twinx()
    beside.spines["right"].set_visible(True)
    beside.set_yscale("log")
    ratio = amounts.number(1.0, "absolute_pressure", other) / amounts.number(1.0, "absolute_pressure", system.pressure)
    beside.set_ylim(*(edge * ratio for edge in axes.get_ylim()))
    for one, unit in ((axes, system.pressure), (beside, other)):
        inside = [tick for tick in TICKS[unit] if one.get_ylim()[0] <= tick <= one.get_ylim()[1]]
        one.set_yticks(inside, [f"{tick}" for tick in inside])
        one.minorticks_off()
        one.set_ylabel(f"pressure, {units.shown(unit)}")


def _name(found: Cycle, sheet: Sheet, axes: Axes, places: Sequence[tuple[float, float]]) -> None:
    """A word beside each point and line, and the numbers under the chart."""
    liquid, expanded, suction = places
    left, right = axes.get_xlim()
    step = 0.025 * (right - left)
    words = [
        (liquid[0] - step, liquid[1], "1 liquid", "right", "center", canvas.RUST),
        (expanded[0] + step, expanded[1] * 0.93, "2 metered", "left", "top", canvas.RUST),
        (suction[0] - 2 * step, suction[1] * 1.05, "3 suction", "right", "bottom", canvas.RUST),
        ((liquid[0] + suction[0]) / 2, liquid[1] * 0.94, "dashed:\nnot measured", "center", "top", canvas.RUST),
    ]
    for which, text, side, gap in (("bubble", "liquid", "left", 2 * step), ("dew", "vapor", "right", -step)):
        x, _ = _place(_saturated(found.refrigerant, which, _coldest(found)), found.system)
        words.append((x + gap, axes.get_ylim()[0] * 1.06, f"saturated\n{text}", side, "bottom", canvas.BLUE))
    for x, y, text, ha, va, color in words:
        axes.text(x, y, text, ha=ha, va=va, color=color)
    rows = [f"{at} {one}: {_written(state, found.system)}" for at, (one, state) in enumerate(_points(found), 1)]
    sheet.supxlabel("\n".join(rows), x=0.01, ha="left", fontsize=canvas.SIZE)


def _points(found: Cycle) -> tuple[tuple[str, State], ...]:
    return (("liquid", found.liquid), ("metered", found.expanded), ("suction", found.suction))


def _written(state: State, system: System) -> str:
    x, y = _place(state, system)
    temperature = amounts.number(state.temperature, "temperature", system.temperature)
    return ", ".join(
        (
            amounts.written(y, system.pressure),
            amounts.written(temperature, system.temperature),
            amounts.written(x, system.enthalpy),
        )
    )


def _told(found: Cycle) -> str:
    liquid, expanded, suction = (_written(state, found.system) for _, state in _points(found))
    high = enthalpy.span(found.refrigerant)[1]
    air = amounts.written(
        amounts.number(found.atmosphere, "absolute_pressure", found.system.pressure), found.system.pressure, 2
    )
    ends = [amounts.number(t, "temperature", found.system.temperature) for t in (_coldest(found), high)]
    bridge = f" {_gaps(found)}" if enthalpy.gaps(found.refrigerant) else ""
    return (
        f"Pressure over enthalpy for {found.refrigerant}, with the saturation dome from "
        f"{amounts.written(ends[0], found.system.temperature)} to {amounts.written(ends[1], found.system.temperature)}. "
        f"Measured: liquid line, {liquid}; suction line, {suction}. After the metering device, at the suction pressure and "
        f"the enthalpy of the liquid line: {expanded}. The compression and the hot gas were not measured; their dashed "
        f"lines only close the cycle. Pressures are absolute, with {air} of air from {found.air}. Subcooled liquid is taken "
        f"as saturated liquid of its temperature. Enthalpy is counted from {enthalpy.COUNTED_FROM}; it comes from "
        f"tables made by {saturation.made_by()}.{bridge}"
    )


def _gaps(found: Cycle) -> str:
    system = found.system
    gaps = " and ".join(
        " to ".join(
            amounts.written(amounts.number(end, "temperature", system.temperature), system.temperature) for end in gap
        )
        for gap in enthalpy.gaps(found.refrigerant)
    )
    touched = "a point of this cycle lies there" if found.bridged else "no point of this cycle lies there"
    return f"The model gives no answer at some temperatures between {gaps}, where the dome is interpolated; {touched}."
