"""A system under nitrogen, and a vacuum after the pump is shut off."""

from __future__ import annotations

from checker.calculators.air_around import PLACE, atmosphere, place_notes
from checker.calculators.quantity import Input, Line, Quantity, Values, Working
from checker.trade import evacuation, nitrogen

SHAPES = {
    "tight": "Steady at or under the dry level: no sign of a leak or of moisture.",
    "moisture": "Leveling off above the dry level, no higher than water would: it looks like moisture.",
    "leak": "Rising in a straight line, or higher than water would: it looks like a leak.",
    "cannot_say": "These readings don't tell. Take at least {fewest} over {minutes:g} minutes or longer, gauge isolated.",
}
ONLY_A_HINT = (
    "The shape is a hint and never a proof: hoses, valve cores, refrigerant in the oil and a gauge that was not isolated "
    "look like a leak or like moisture."
)


def pressure_test(values: Values) -> Working:
    """What a tight system would show at the end, and how far off it is."""
    around = atmosphere(values)
    expected = nitrogen.nitrogen_expected_pressure(
        values["start_pressure"], values["start_temperature"], values["end_temperature"], float(around.value)
    )
    how = "nitrogen as a real gas in a tight, rigid system"
    lines = [around, Line("pressure to expect", expected, "gauge_pressure", how)]
    if "end_pressure" in values:
        fall = expected - values["end_pressure"]
        lines.append(Line("missing pressure", fall, "pressure_difference", "pressure to expect - pressure at the end"))
    apart = "These are temperatures of the gas, not of the air. Keep the sun off and wait until they settle."
    fine = "A leak smaller than the gauge can show, or than 1 °F at 500 psig (1 psi), doesn't show: use bubbles too."
    return Working(tuple(lines), (apart, fine, *place_notes(values)))


def decay(values: Values) -> Working:
    """Level, rise, slope and shape of a vacuum after the pump was shut off."""
    minutes, levels = zip(*values["readings"], strict=True)
    slope = evacuation.decay_slope(minutes, levels)
    ceiling = evacuation.water_vapour_ceiling(values["coldest"])
    dry = values.get("dry_level", evacuation.DRY_LEVEL)
    shape = evacuation.decay_shape(minutes, levels, values["coldest"], dry)
    lines = (
        Line("watched for", minutes[-1] - minutes[0], "duration", "last reading - first reading"),
        Line("level at the end", levels[-1], "vacuum", "last reading"),
        Line("highest level", max(levels), "vacuum", "highest reading"),
        Line("rise", levels[-1] - levels[0], "vacuum_rise", "last reading - first reading"),
        Line("rise in a minute", slope, "vacuum_rise", "least squares through all readings"),
        Line("dry level", dry, "vacuum", "given" if "dry_level" in values else "manufacturers' usual 500 micron"),
        Line("most that water can hold", ceiling, "vacuum", "saturation at the coldest point"),
        Line("shape", shape.replace("_", " "), "word", f"{len(levels)} readings"),
    )
    meaning = SHAPES[shape].format(fewest=evacuation.FEWEST_READINGS, minutes=evacuation.SHORTEST_WATCH)
    return Working(lines, (meaning, ONLY_A_HINT))


QUANTITIES = (
    Quantity("pressure-test", "Nitrogen pressure as a tight system warms or cools.",
             (Input("start_pressure", "gauge_pressure", "Gauge pressure at the start"),
              Input("start_temperature", "temperature", "Temperature of the gas at the start"),
              Input("end_temperature", "temperature", "Temperature of the gas at the end"),
              Input("end_pressure", "gauge_pressure", "Gauge pressure at the end", optional=True), *PLACE),
             pressure_test, ("test_pressure",)),
    Quantity("decay", "Vacuum decay after the pump is shut off.",
             (Input("readings", "readings", "Minute:level, several, as in 0:300 5:340 10:360; levels in micron"),
              Input("coldest", "temperature", "Temperature of the coldest spot where water could sit"),
              Input("dry_level", "vacuum", "Level at or under which it counts as dry", optional=True)),
             decay, ("refrigerant",)),
)  # fmt: skip
