"""Conductor sizes as areas, and the temperature column that an ampacity may be read from.

The ampacities, corrections and adjustments themselves are tables of a ruleset: they change with the code.
"""

from __future__ import annotations

from collections.abc import Iterator

from checker.trade.function import OutOfRange, rule_function, table

COLUMNS = ("rated_60c", "rated_75c", "rated_90c")  # from the lowest
LOWEST_COLUMN_CABLES = ("nm_cable", "uf_cable")  # NEC 334.80, 340.80

# Circular mils: NEC chapter 9, table 8 (14 to 2/0 checked against a published copy, the rest from memory).
CIRCULAR_MILS = {
    "18": 1620.0, "16": 2580.0, "14": 4110.0, "12": 6530.0, "10": 10380.0, "8": 16510.0, "6": 26240.0,
    "4": 41740.0, "3": 52620.0, "2": 66360.0, "1": 83690.0,
    "1/0": 105600.0, "2/0": 133100.0, "3/0": 167800.0, "4/0": 211600.0,
}  # fmt: skip


@rule_function(
    "number", ["word"], table(
        "the circular mils of a size", CIRCULAR_MILS.items(),
        ("size in rows", "the area of conductor size '{size}' is not known here"),
    ),
    "NEC chapter 9, table 8 (14 to 2/0 checked, the rest from memory)",
)  # fmt: skip
def circular_mils(size: str) -> float:
    """The area of a conductor, so that two sizes can be compared.

    Args:
        size: AWG size as in the vocabulary: `14`, `1/0`.

    Returns:
        Circular mils.

    Raises:
        OutOfRange: A size that is not in the table.

    Source: NEC chapter 9, table 8.
    """
    if size not in CIRCULAR_MILS:
        raise OutOfRange(f"the area of conductor size '{size}' is not known here")
    return CIRCULAR_MILS[size]


def _lowest() -> Iterator[tuple[str | None, ...]]:
    """The columns as rows: from the lowest up, the first that caps the cable, the insulation or the terminal."""
    yield from ((cable, None, None, COLUMNS[0]) for cable in LOWEST_COLUMN_CABLES)
    for column in COLUMNS[:-1]:
        yield from ((None, column, None, column), (None, None, column, column))
    yield None, COLUMNS[-1], COLUMNS[-1], COLUMNS[-1]


@rule_function(
    "word", ["word", "word", "word"],
    table(
        "the lowest of insulation, terminal and, for nm_cable or uf_cable, rated_60c", _lowest(),
        *((f"{name} in rows", f"'{{{name}}}' is not a temperature rating: {', '.join(COLUMNS)}")
          for name in ("insulation", "terminal")),
    ),
    "NEC 110.14(C), 334.80, 340.80 (checked)",
)  # fmt: skip
def ampacity_column(wiring_method: str, insulation: str, terminal: str) -> str:
    """The lowest temperature column that caps a conductor's ampacity, before any correction or adjustment.

    Corrections and adjustments start from the insulation's own column instead, and their result counts only
    up to the ampacity in this one.

    Args:
        wiring_method: A word of the vocabulary; `nm_cable` and `uf_cable` are held to 60 °C.
        insulation: `rated_60c`, `rated_75c` or `rated_90c`.
        terminal: The lowest-rated terminal of the circuit, in the same words.

    Returns:
        One of the same three words.

    Raises:
        OutOfRange: Another word for insulation or terminal.

    Source: NEC 110.14(C), 334.80, 340.80.
    """
    cable = COLUMNS[0] if wiring_method in LOWEST_COLUMN_CABLES else COLUMNS[-1]
    return COLUMNS[min(_place(word) for word in (cable, insulation, terminal))]


def _place(column: str) -> int:
    if column not in COLUMNS:
        raise OutOfRange(f"'{column}' is not a temperature rating: {', '.join(COLUMNS)}")
    return COLUMNS.index(column)
