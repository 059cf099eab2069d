"""Saturation, subcooling, superheat, the charge of a long line set, and the level of recovery."""

from __future__ import annotations

from typing import Any

from checker.calculators import equations_of_state
from checker.calculators.air_around import PLACE, atmosphere, place_notes
from checker.calculators.quantity import Input, Line, Quantity, Values, Working
from checker.trade import charge, functions, recovery, refrigerant
from checker.trade.function import OutOfRange
from checker.trade.refrigerant_data import PRESSURE_CLASSES

REFRIGERANT = Input("refrigerant", "refrigerant", "Refrigerant, as in R-410A or propane; any that CoolProp knows")
CURVES = ("bubble", "dew")
CLASSED = Input("refrigerant", "word", "Refrigerant, as in R-410A", words=tuple(PRESSURE_CLASSES))


def _remarks(name: str, *values: Any) -> tuple[str, ...]:
    """What a function has to say about one of its results."""
    remark = functions()[name].remark
    note = remark(*values) if remark else None
    return (note[0].upper() + note[1:] + ".",) if note else ()


def _absolute(values: Values, around: Line) -> Line:
    pressure = refrigerant.absolute_pressure(values["pressure"], around.value)  # type: ignore[arg-type]
    return Line("absolute pressure", pressure, "absolute_pressure", "gauge pressure + atmosphere")


def _saturated(which: str, name: str, pressure: float) -> tuple[Line, tuple[str, ...]]:
    point = equations_of_state.saturation_temperature(name, which, pressure)
    how = f"{which} temperature of {name} at that pressure, {equations_of_state.made_by()}"
    return Line(f"{which} point", point.value, "temperature", how), _said(point)


def _said(*points: equations_of_state.Point) -> tuple[str, ...]:
    return tuple(point.note for point in points if point.note)


def _difference(which: str, answer: str, how: str, values: Values) -> Working:
    around = atmosphere(values)
    absolute = _absolute(values, around)
    saturated, notes = _saturated(which, values["refrigerant"], float(absolute.value))
    difference = float(saturated.value) - values["temperature"]
    line = Line(answer, difference if which == "bubble" else -difference, "temperature_difference", how)
    notes += place_notes(values)
    if float(line.value) < 0:
        notes = (
            f"Below zero: there is no {answer}, or a reading, where it was taken or the refrigerant is wrong.",
            *notes,
        )
    return Working((around, absolute, saturated, line), notes)


def subcooling(values: Values) -> Working:
    """Bubble point at the liquid line's pressure, less the temperature of the line."""
    return _difference("bubble", "subcooling", "bubble point - temperature of the liquid line", values)


def superheat(values: Values) -> Working:
    """Temperature of the suction line, less the dew point at its pressure."""
    return _difference("dew", "superheat", "temperature of the suction line - dew point", values)


def saturated(values: Values) -> Working:
    """Both saturation temperatures at a pressure, or both pressures at a temperature."""
    if ("pressure" in values) == ("temperature" in values):
        raise OutOfRange("give --pressure or --temperature")
    around, name = atmosphere(values), values["refrigerant"]
    if "pressure" in values:
        absolute = _absolute(values, around)
        points = [_saturated(which, name, float(absolute.value)) for which in CURVES]
        lines = (absolute, *(line for line, _ in points))
        notes = tuple(note for _, its_notes in points for note in its_notes)
    else:
        by_curve = {w: equations_of_state.saturation_pressure(name, w, values["temperature"]) for w in CURVES}
        lines = tuple(line for w, point in by_curve.items() for line in _pressures(w, name, point.value, around))
        notes = _said(*by_curve.values())
    return Working((around, *lines), (*notes, *place_notes(values)))


def _pressures(which: str, name: str, pressure: float, around: Line) -> tuple[Line, Line]:
    how = f"{which} pressure of {name} at that temperature, {equations_of_state.made_by()}"
    return (
        Line(f"{which} point, absolute", pressure, "absolute_pressure", how),
        Line(f"{which} point, gauge", pressure - float(around.value), "gauge_pressure", "less the atmosphere"),
    )


def target_superheat(values: Values) -> Working:
    """The target of a fixed orifice out of a published table."""
    at = values["indoor_wet_bulb"], values["outdoor_dry_bulb"]
    target = charge.target_superheat(*at)
    line = Line(
        "target superheat",
        target,
        "temperature_difference",
        "charging tables for a fixed orifice, Lennox 14ACX page 26 and Carrier 38TUA Table 6",
    )
    own = "The chart on the unit governs. Fixed orifice only, cooling, after 15 minutes of running."
    return Working((line,), (*_remarks("target_superheat", *at), own))


def line_set_charge(values: Values) -> Working:
    """What a line set longer or shorter than the factory allows for adds or takes."""
    extra = values["length"] - values["included_length"]
    added = charge.line_set_charge(values["length"], values["included_length"], values["mass_per_length"])
    notes = ("Below zero: recover that much.",) if added < 0 else ()
    own = "The line length in the factory charge and the charge per foot come from the manual. A drier may need more."
    return Working(
        (
            Line("length beyond the factory's", extra, "length", "length - included length"),
            Line("refrigerant to add", added, "line_charge", "that length x charge per length"),
        ),
        (*notes, own),
    )


def recovery_level(values: Values) -> Working:
    """How far to pump down before opening."""
    name = values["refrigerant"]
    group = charge.pressure_class(name)
    level = recovery.recovery_level(group, values["charge"], values["machine_made"])
    side = (
        "from 15 November 1993 on"
        if values["machine_made"] >= recovery.NEWER_MACHINES_FROM
        else "before 15 November 1993"
    )
    return Working(
        (
            Line("pressure class", group.replace("_", " "), "word", "40 CFR 82.152, read second hand"),
            Line("recovery level", level, "recovery_vacuum", f"40 CFR 82.156(a), Table 1: machine made {side}"),
        ),
        (
            "Inches of vacuum count from one standard atmosphere. Pulling to 500 microns is another matter.",
            "Small appliances and leaking systems have rules of their own.",
        ),
    )


QUANTITIES = (
    Quantity("saturation", "Bubble and dew point at a pressure, or the reverse.",
             (REFRIGERANT, Input("pressure", "gauge_pressure", "Gauge pressure", optional=True),
              Input("temperature", "temperature", "Temperature, instead of a pressure", optional=True), *PLACE),
             saturated, ("pressure",)),
    Quantity("subcooling", "How far the liquid line is below its bubble point.",
             (REFRIGERANT, Input("pressure", "gauge_pressure", "Gauge pressure of the liquid line"),
              Input("temperature", "temperature", "Temperature of the liquid line"), *PLACE),
             subcooling, ("pressure", "refrigerant")),
    Quantity("superheat", "How far the suction line is above its dew point.",
             (REFRIGERANT, Input("pressure", "gauge_pressure", "Gauge pressure of the suction line"),
              Input("temperature", "temperature", "Temperature of the suction line"), *PLACE),
             superheat, ("pressure", "refrigerant")),
    Quantity("target-superheat", "Target superheat for a fixed orifice.",
             (Input("indoor_wet_bulb", "temperature", "Wet bulb of the air entering the indoor coil"),
              Input("outdoor_dry_bulb", "temperature", "Temperature of the air entering the outdoor coil")),
             target_superheat, ("pressure", "refrigerant")),
    Quantity("line-set-charge", "Refrigerant to add for a long line set.",
             (Input("length", "length", "Length of the liquid line"),
              Input("included_length", "length", "Line length in the factory charge"),
              Input("mass_per_length", "mass_per_length", "Charge for a length of liquid line, by the manual")),
             line_set_charge, ("refrigerant",)),
    Quantity("recovery-level", "Recovery level before a system is opened.",
             (CLASSED, Input("charge", "charge", "Full charge of the system"),
              Input("machine_made", "date", "Date the recovery machine was made")),
             recovery_level, ("refrigerant",)),
)  # fmt: skip
