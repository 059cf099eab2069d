"""The refrigerant cycle on a chart of pressure over enthalpy: what was read, what was worked out, and no more.

Nothing is drawn of compressor and hot gas, which nobody measured: a stub of one length shows where they join.

Readings of cooling alone: in heating the pipes change their parts. Without an elevation or a barometer a gauge pressure is
no absolute one, and nothing is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from matplotlib.axes import Axes
from matplotlib.figure import Figure as Sheet

from checker.reading import units
from checker.reading.job import Job
from checker.reporting.figures import amounts, canvas
from checker.trade import enthalpy, refrigerant, saturation
from checker.trade.function import OutOfRange

COLDEST_DRAWN, STEPS = -20.0, 120  # °F where the dome begins; points on each of its sides
STUB = 20  # points of the picture, whatever the readings
TICKS = {
    "psia": (20, 30, 50, 70, 100, 150, 200, 300, 400, 500, 700),
    "kPaa": (150, 200, 300, 500, 700, 1000, 1500, 2000, 3000, 4000, 5000),
}
LEGEND = (
    "Filled marks: read. Open mark and dashed lines: worked out from what was read.",
    "Dash-dotted: saturation, from tables.",
    "Dotted stubs: compressor and hot gas, not measured; their length and slope say nothing.",
)


class System(NamedTuple):
    """The units of a chart: of gauge pressure, of absolute pressure, of enthalpy, of temperature."""

    gauge: str
    pressure: str
    enthalpy: str
    temperature: str


US, METRIC = System("psig", "psia", "Btu_per_lb", "degF"), System("kPag", "kPaa", "kJ_per_kg", "degC")


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
    with canvas.sheet(4.7) as (sheet, axes):
        _draw(found, sheet, axes)
        return canvas.finished(sheet, name, title, _told(found), *LEGEND)


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
    canvas.line(axes, liquid, expanded, canvas.RUST, canvas.WORKED_OUT)
    canvas.line(axes, expanded, suction, canvas.RUST, canvas.WORKED_OUT)
    _stub(axes, suction, (0.5 * STUB, 0.87 * STUB))
    _stub(axes, liquid, (STUB, 0))
    for place, how in ((liquid, canvas.READ), (expanded, canvas.WORKED_OUT), (suction, canvas.READ)):
        canvas.dot(axes, *place, canvas.PLAIN, how)
    _scales(found, axes, (liquid[0], suction[0]))
    _name(found, sheet, axes, (liquid, expanded, suction))


def _stub(axes: Axes, place: tuple[float, float], reach: tuple[float, float]) -> None:
    """A dotted line out of a point, so many points of the picture long and wide."""
    style = {"arrowstyle": "-", "linestyle": ":", "linewidth": 1.6, "color": canvas.QUIET, "shrinkA": 0, "shrinkB": 4}
    drawn = axes.annotate("", xy=place, xytext=reach, textcoords="offset points", arrowprops=style)
    assert drawn.arrow_patch is not None
    drawn.arrow_patch.set_gid(canvas.NOT_MEASURED)


def _draw_dome(found: Cycle, axes: Axes) -> None:
    """Both sides, from a temperature well below the cycle to the end of the tables."""
    low, high = _coldest(found), enthalpy.span(found.refrigerant)[1]
    for which in ("bubble", "dew"):
        temperatures = [low + (high - low) * step / STEPS for step in range(STEPS + 1)]
        states = [_saturated(found.refrigerant, which, temperature) for temperature in temperatures]
        places = zip(*(_place(state, found.system) for state in states), strict=True)
        axes.plot(*places, canvas.LINES[canvas.TABLE], color=canvas.BLUE, linewidth=1, gid=canvas.TABLE)


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


def _scales(found: Cycle, axes: Axes, ends: tuple[float, float]) -> None:
    """A logarithm of pressure, at the left as a gauge shows it and at the right absolute; enthalpy below."""
    system = found.system
    air = amounts.number(found.atmosphere, "absolute_pressure", system.pressure)
    axes.set_yscale("log")
    low, high = axes.get_ylim()
    axes.set_ylim(low, high * 1.25)
    (left, right), (first, last) = axes.get_xlim(), ends
    axes.set_xlim(min(left, first - 0.45 * (last - first)), max(right, last + 0.25 * (last - first)))
    axes.set_xlabel(f"enthalpy, {units.shown(system.enthalpy)}")
    beside = axes.twinx()
    beside.spines["right"].set_visible(True)
    beside.set_yscale("log")
    low, high = axes.get_ylim()
    beside.set_ylim(low, high)
    for one, unit, above in ((axes, system.gauge, air), (beside, system.pressure, 0.0)):
        inside = [tick for tick in TICKS[system.pressure] if low <= tick + above <= high]
        one.set_yticks([tick + above for tick in inside], [f"{tick}" for tick in inside])
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
        ((liquid[0] + suction[0]) / 2, liquid[1] * 0.94, "hot gas:\nnot measured", "center", "top", canvas.QUIET),
    ]
    for which, text, side, gap in (("bubble", "liquid", "left", 2 * step), ("dew", "vapor", "right", -step)):
        x, _ = _place(_saturated(found.refrigerant, which, _coldest(found)), found.system)
        words.append((x + gap, axes.get_ylim()[0] * 1.06, f"saturated\n{text}", side, "bottom", canvas.BLUE))
    for x, y, text, ha, va, color in words:
        axes.text(x, y, text, ha=ha, va=va, color=color)
    sheet.supxlabel("\n".join(_rows(found)), x=0.01, ha="left", fontsize=canvas.SIZE)


class Told(NamedTuple):
    """A point in words: its gauge pressure, its absolute one, its temperature, its enthalpy."""

    gauge: str
    pressure: str
    temperature: str
    enthalpy: str


def _points(found: Cycle) -> tuple[Told, Told, Told]:
    liquid, expanded, suction = (_written(state, found) for state in (found.liquid, found.expanded, found.suction))
    return liquid, expanded, suction


def _rows(found: Cycle) -> list[str]:
    """Each point on two lines: what was read, and what was worked out from it."""
    liquid, expanded, suction = _points(found)
    return [
        f"1 liquid, read: {liquid.gauge}, {liquid.temperature}",
        f"worked out: {liquid.pressure}, {liquid.enthalpy}",
        f"2 metered, read: {expanded.gauge}",
        f"worked out: {expanded.pressure}, {expanded.temperature}, {expanded.enthalpy}",
        f"3 suction, read: {suction.gauge}, {suction.temperature}",
        f"worked out: {suction.pressure}, {suction.enthalpy}",
    ]


def _written(state: State, found: Cycle) -> Told:
    system = found.system
    x, y = _place(state, system)
    gauge = amounts.number(state.pressure - found.atmosphere, "gauge_pressure", system.gauge)
    temperature = amounts.number(state.temperature, "temperature", system.temperature)
    return Told(
        amounts.written(gauge, system.gauge),
        amounts.written(y, system.pressure),
        amounts.written(temperature, system.temperature),
        amounts.written(x, system.enthalpy),
    )


def _told(found: Cycle) -> str:
    liquid, expanded, suction = (
        f"{one.gauge} ({one.pressure}), {one.temperature}, {one.enthalpy}" for one in _points(found)
    )
    high = enthalpy.span(found.refrigerant)[1]
    air = amounts.written(
        amounts.number(found.atmosphere, "absolute_pressure", found.system.pressure), found.system.pressure, 2
    )
    ends = [amounts.number(t, "temperature", found.system.temperature) for t in (_coldest(found), high)]
    bridge = f" {_gaps(found)}" if enthalpy.gaps(found.refrigerant) else ""
    return (
        f"Pressure over enthalpy for {found.refrigerant}, with the saturation dome from "
        f"{amounts.written(ends[0], found.system.temperature)} to {amounts.written(ends[1], found.system.temperature)}. "
        f"Liquid line: {liquid}. Suction line: {suction}. Pressure and temperature of both were read. After the metering "
        f"device, worked out at the suction pressure and the enthalpy of the liquid line: {expanded}. Compressor and hot gas "
        f"were not measured and are not drawn; a stub shows where they join. Absolute pressures are those of the gauge with "
        f"{air} of air from {found.air}. Subcooled liquid is taken as saturated liquid of its temperature. Enthalpy is "
        f"counted from {enthalpy.COUNTED_FROM}; it comes from "
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
