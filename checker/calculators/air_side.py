"""What a coil takes out of the air."""

from __future__ import annotations

from checker.calculators.air_around import PLACE, atmosphere, place_notes
from checker.calculators.quantity import Input, Line, Quantity, Values, Working
from checker.trade import air
from checker.trade.function import OutOfRange

STANDARD_VOLUME = 1 / 0.075  # ft³/lb: standard air weighs 0.075 lb/ft³
MORE_SENSIBLE = "Look again: sensible capacity can't be more than total. A wet bulb is wrong."
ACCURACY = (
    "With airflow within 5 % and each thermometer within 1 °F, such a figure is good to about 18 %: it can agree or not agree "
    "with the equipment's rating, which is for other conditions; it cannot prove it."
)


def _state(end: str, values: Values, around: float) -> tuple[Line, Line]:
    bulbs = values[f"{end}_dry_bulb"], values[f"{end}_wet_bulb"]
    return (
        Line(f"{end} enthalpy", air.enthalpy(*bulbs, around), "specific_enthalpy", "from its dry and wet bulb"),
        Line(f"{end} volume", air.specific_volume(*bulbs, around), "specific_volume", "from its dry and wet bulb"),
    )


def _entering_flow(values: Values, volumes: dict[str, float]) -> Line:
    """The flow counted in the air that enters, whichever air it was counted in."""
    end = values["airflow_is"]
    flow = values["airflow"] * volumes["entering"] / volumes[end]
    how = "as given" if end == "entering" else f"airflow x entering volume / volume of {end} air"
    return Line("flow of entering air", flow, "airflow", how)


def capacity(values: Values) -> Working:
    """Total and sensible cooling from airflow and four temperatures."""
    around = atmosphere(values)
    states = {end: _state(end, values, float(around.value)) for end in ("entering", "leaving")}
    volumes = {end: float(volume.value) for end, (_, volume) in states.items()} | {"standard": STANDARD_VOLUME}
    flow = _entering_flow(values, volumes)
    entering = float(flow.value), values["entering_dry_bulb"], values["entering_wet_bulb"]
    leaving = values["leaving_dry_bulb"], values["leaving_wet_bulb"]
    total = air.total_capacity(*entering, *leaving, float(around.value))
    if total <= 0:
        raise OutOfRange(
            "the air leaves with as much heat as it came in with: nothing was cooled, or readings are swapped"
        )
    sensible = air.sensible_capacity(*entering, leaving[0], float(around.value))
    split = air.temperature_split(entering[1], leaving[0])
    lines = (
        Line("split", split, "temperature_difference", "entering - leaving dry bulb"),
        Line("airflow for each ton", air.airflow_per_ton(entering[0], total), "airflow_per_capacity",
             "flow of entering air / total capacity"),
        Line("sensible capacity", sensible, "cooling", "60 x flow / entering volume x heat of the air x split"),
        Line("total capacity", total, "cooling", "60 x flow / entering volume x difference of enthalpies"),
    )  # fmt: skip
    notes = (MORE_SENSIBLE, ACCURACY) if sensible > total else (ACCURACY,)
    return Working((around, *states["entering"], *states["leaving"], flow, *lines), (*notes, *place_notes(values)))


QUANTITIES = (
    Quantity("capacity", "Cooling that a coil gives, from airflow and wet bulbs.",
             (Input("airflow", "airflow", "Airflow through the coil"),
              Input("airflow_is", "word", "Where that flow is counted: entering or leaving air as it is, or standard air",
                    words=("entering", "leaving", "standard")),
              Input("entering_dry_bulb", "temperature", "Dry bulb of the air entering the coil"),
              Input("entering_wet_bulb", "temperature", "Wet bulb of the air entering the coil"),
              Input("leaving_dry_bulb", "temperature", "Dry bulb of the air leaving the coil"),
              Input("leaving_wet_bulb", "temperature", "Wet bulb of the air leaving the coil"), *PLACE),
             capacity, ("electricity",)),
)  # fmt: skip
