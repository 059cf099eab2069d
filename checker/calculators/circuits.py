"""Conductors, fuses and breakers, the currents behind a nameplate, and heat kits."""

from __future__ import annotations

from checker.calculators import code_tables
from checker.calculators.quantity import Input, Line, Quantity, Values, Working
from checker.trade import compressor_circuit, conductors, heat_kit, overcurrent
from checker.trade.function import OutOfRange

RATINGS = "standard_overcurrent_ratings"
EDITION = Input("edition", "word", "Edition of the NEC that is adopted, as in 2023")
SIZES = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
METHODS = ("nm_cable", "uf_cable", "mc_cable", "ac_cable", "se_cable", "raceway", "flexible_raceway")
TERMINALS = ("rated_60c", "rated_75c")  # of circuits of 100 A and less: NEC 110.14(C)
SE_CABLE = "SE cable in thermal insulation may be held to its 60 °C column, NEC 338.10(B)(4), by edition (from memory)."
PLATE = "A cross-check: the MCA and the max fuse or breaker on the nameplate govern, even where they are lower."


def _ampacity(values: Values, column: str) -> float:
    size, material, edition = values["size"], values.get("material", "copper"), values["edition"]
    ampacity = code_tables.look_up("conductor_ampacity", edition, size, material, column)
    if ampacity is None:
        raise OutOfRange(f"the table gives no ampacity for {size} AWG {material.replace('_', ' ')}")
    return float(ampacity)


def _corrected(values: Values) -> list[Line]:
    """The ampacity by the insulation, after surroundings and bundling."""
    insulation, edition = values["insulation"], values["edition"]
    by_table = _ampacity(values, insulation)
    heat, bundle = 1.0, 1.0
    how_hot, how_many = "surroundings of 77 to 86 °F, assumed", "no more than three together, assumed"
    if "ambient" in values:
        factor = code_tables.look_up("ambient_factor", edition, insulation, values["ambient"])
        if factor is None:
            raise OutOfRange("those surroundings are too hot for the insulation")
        heat, how_hot = float(factor), "for the surroundings, column of the insulation"
    if "together" in values:
        bundle = float(code_tables.look_up("bundling_factor", edition, values["together"]) or 0)
        how_many = "for the conductors together, over more than 24 in"
    taken = () if "material" in values else (Line("material", "copper", "word", "taken"),)
    return [
        *taken,
        Line("ampacity by insulation", by_table, "current", f"table, column {insulation}"),
        Line("factor for heat", heat, "number", how_hot),
        Line("factor for bundling", bundle, "number", how_many),
        Line("corrected", by_table * heat * bundle, "current", "ampacity by insulation x both factors"),
    ]


def conductor(values: Values) -> Working:
    """The ampacity of a conductor: the corrected one, as far as terminals and cable allow."""
    lines = _corrected(values)
    corrected = float(lines[-1].value)
    answers = []
    for terminals in [values["terminals"]] if "terminals" in values else TERMINALS:
        column = conductors.ampacity_column(values["wiring_method"], values["insulation"], terminals)
        cap = _ampacity(values, column)
        lines.append(Line(f"ceiling, {terminals} terminals", cap, "current", f"table, column {column}"))
        how = f"the lower of corrected and ceiling, {terminals} terminals"
        answers.append(Line("ampacity", min(corrected, cap), "current", how))
    tables = ["conductor_ampacity"]
    tables += ["ambient_factor"] * ("ambient" in values) + ["bundling_factor"] * ("together" in values)
    notes = _open_terminals(answers) + code_tables.notes(values["edition"], *tables)
    if values["wiring_method"] == "se_cable":
        notes = (SE_CABLE, *notes)
    return Working((*lines, *answers), notes)


def _open_terminals(answers: list[Line]) -> tuple[str, ...]:
    if len(answers) == 1:
        return ()
    if answers[0].value == answers[1].value:
        return ("The terminals were not given; 60 °C or 75 °C, the answer is the same.",)
    return (
        "The terminals were not given, so there are two answers. Read the marking on both ends; unmarked, at 100 A or less, "
        "counts as 60 °C unless the equipment is listed for more.",
    )


def devices(values: Values) -> Working:
    """The standard ratings next to a current."""
    current, ratings = values["current"], code_tables.ratings(values["edition"])
    lines = []
    for name, find in (
        ("largest not above", overcurrent.standard_at_most),
        ("smallest not below", overcurrent.standard_at_least),
    ):
        try:
            lines.append(Line(name, find(current, ratings), "current", "standard ratings of the edition"))
        except OutOfRange as error:
            lines.append(Line(name, "none", "word", str(error)))
    standard = "yes" if overcurrent.is_standard(current, ratings) else "no"
    lines.append(Line("itself a standard rating", standard, "word", "standard ratings of the edition"))
    return Working(
        tuple(lines),
        ("The max fuse or breaker on the nameplate governs.", *code_tables.notes(values["edition"], RATINGS)),
    )


def circuit(values: Values) -> Working:
    """What a nameplate should print, worked out from the currents it prints."""
    ratings = code_tables.ratings(values["edition"])
    rated, selected, others = (
        values["rated_load_current"],
        values.get("branch_selection_current", 0.0),
        values["others"],
    )
    base = compressor_circuit.compressor_current(rated, selected)
    return Working(
        (
            Line("compressor current", base, "current", "the greater of rated load and branch selection current"),
            Line("least switch rating", compressor_circuit.disconnect_minimum(base, others), "current",
                 "1.15 x (compressor + others), NEC 440.12"),
            Line("device to try first", compressor_circuit.first_overcurrent(base, others, ratings), "current",
                 "1.75 x compressor + others, standard rating down, NEC 440.22"),
            Line("largest device", compressor_circuit.maximum_overcurrent(base, others, ratings), "current",
                 "2.25 x compressor + others, standard rating down, listing standards"),
            Line("minimum circuit ampacity", compressor_circuit.minimum_circuit_ampacity(base, others), "current",
                 "1.25 x compressor + others, NEC 440.32, 440.33"),
        ),
        (PLATE, *code_tables.notes(values["edition"], RATINGS)),
    )  # fmt: skip


def heat_kit_circuit(values: Values) -> Working:
    """Power, current, ampacity and device of electric heat on the voltage it gets."""
    supply = values.get("supply_voltage", values["rated_voltage"])
    blower = values.get("blower", 0.0)
    power = heat_kit.heat_kit_power(values["rated_power"], values["rated_voltage"], supply)
    ampacity = heat_kit.heat_circuit_ampacity(power, supply, blower)
    device = overcurrent.standard_at_least(ampacity, code_tables.ratings(values["edition"]))
    how = "its rated voltage, assumed" if "supply_voltage" not in values else "given"
    blown = "none on this circuit, assumed" if "blower" not in values else "given"
    return Working(
        (
            Line("voltage", supply, "voltage", how),
            Line("power there", power, "electric_heat", "rated power x (voltage / rated voltage) squared"),
            Line("heater current", heat_kit.heat_kit_current(power, supply), "current", "power / voltage"),
            Line("blower current", blower, "current", blown),
            Line(
                "circuit ampacity", ampacity, "current", "1.25 x (heaters + blower), NEC 424.4(B), before 2020 424.3(B)"
            ),
            Line("device", device, "current", "smallest standard rating not below that"),
        ),
        (PLATE, *code_tables.notes(values["edition"], RATINGS)),
    )


QUANTITIES = (
    Quantity("conductor", "Ampacity of a conductor.",
             (Input("size", "word", "AWG size", words=SIZES),
              Input("wiring_method", "word", "Cable or raceway", words=METHODS),
              Input("insulation", "word", "Rating of the insulation", words=conductors.COLUMNS), EDITION,
              Input("material", "word", "Copper where not given", True, ("copper", "aluminum", "copper_clad_aluminum")),
              Input("terminals", "word", "Lowest-rated terminal; both answers where not given", True, conductors.COLUMNS),
              Input("ambient", "temperature", "Hottest surroundings", optional=True),
              Input("together", "number", "Current-carrying conductors together", optional=True)),
             conductor, ("electricity",)),
    Quantity("overcurrent", "Standard fuse and breaker sizes next to a current.",
             (Input("current", "current", "Current"), EDITION), devices, ("electricity",)),
    Quantity("circuit", "MCA and max fuse or breaker from a nameplate's currents.",
             (Input("rated_load_current", "current", "Rated load current of the compressor"),
              Input("others", "current", "All other currents of the circuit together; 0 where there are none"), EDITION,
              Input("branch_selection_current", "current", "Branch-circuit selection current, where marked", optional=True)),
             circuit, ("electricity",)),
    Quantity("heat-kit", "Power, current, MCA and breaker of electric heat.",
             (Input("rated_power", "electric_heat", "Power at the rated voltage"),
              Input("rated_voltage", "voltage", "Voltage of that power"), EDITION,
              Input("supply_voltage", "voltage", "Voltage at the heat kit; the rated voltage if left out", optional=True),
              Input("blower", "current", "Current of a blower on the same circuit", optional=True)),
             heat_kit_circuit, ("electricity",)),
)  # fmt: skip
