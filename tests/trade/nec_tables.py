"""Tables of the National Electrical Code as plain numbers, to check rulesets and worked examples against.

From memory, and compared with public reproductions of the tables where a comment says so. Words are those of the
job vocabulary: sizes in AWG, `rated_60c`, `rated_75c`, `rated_90c`.
"""

from __future__ import annotations

COLUMNS = ("rated_60c", "rated_75c", "rated_90c")
SIZES = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")

# 240.6(A), fuses and inverse-time breakers, A. From memory; 15 to 6000 A in every edition from 2014 on.
RATINGS = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450,
    500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
)  # fmt: skip
# Breakers and fuses alike; fuses have sizes of their own besides (1, 3, 6, 601 A; 10 A too before 2023), left out here.
# 2023 on: 10 A in the same table (course pages and trade press on the 2023 edition).
RATINGS_2023 = (10, *RATINGS)

# Table 310.16 (310.15(B)(16) in 2014 and 2017), 30 °C, not more than three current-carrying conductors, A.
# From memory; 14 to 2/0 compared value by value with a public reproduction; 3/0 and 4/0 from memory only.
AMPACITY_COPPER = {
    "14": (15, 20, 25), "12": (20, 25, 30), "10": (30, 35, 40), "8": (40, 50, 55), "6": (55, 65, 75),
    "4": (70, 85, 95), "3": (85, 100, 115), "2": (95, 115, 130), "1": (110, 130, 145), "1/0": (125, 150, 170),
    "2/0": (145, 175, 195), "3/0": (165, 200, 225), "4/0": (195, 230, 260),
}  # fmt: skip
# The same, aluminum and copper-clad aluminum; there is no 14.
AMPACITY_ALUMINUM = {
    "12": (15, 20, 25), "10": (25, 30, 35), "8": (35, 40, 45), "6": (40, 50, 55), "4": (55, 65, 75),
    "3": (65, 75, 85), "2": (75, 90, 100), "1": (85, 100, 115), "1/0": (100, 120, 135), "2/0": (115, 135, 150),
    "3/0": (130, 155, 175), "4/0": (150, 180, 205),
}  # fmt: skip

# Ambient correction, base 30 °C: (warmest °C of the row, factor at 60, 75, 90 °C); None where there is none.
# Table 310.15(B)(2)(a) in 2014 and 2017, 310.15(B)(1) from 2020. From memory, to 60 °C compared with a public copy.
CORRECTION = (
    (10, 1.29, 1.20, 1.15), (15, 1.22, 1.15, 1.12), (20, 1.15, 1.11, 1.08), (25, 1.08, 1.05, 1.04),
    (30, 1.00, 1.00, 1.00), (35, 0.91, 0.94, 0.96), (40, 0.82, 0.88, 0.91), (45, 0.71, 0.82, 0.87),
    (50, 0.58, 0.75, 0.82), (55, 0.41, 0.67, 0.76), (60, None, 0.58, 0.71), (65, None, 0.47, 0.65),
    (70, None, 0.33, 0.58),
)  # fmt: skip

# More than three current-carrying conductors: (most conductors of the row, factor). 310.15(C)(1), from memory.
ADJUSTMENT = ((3, 1.0), (6, 0.80), (9, 0.70), (20, 0.50), (30, 0.45), (40, 0.40))
ADJUSTMENT_BEYOND = 0.35

# 240.4(D): the largest device for small conductors, A; 240.4(G) excepts air-conditioning circuits. From memory.
SMALL_COPPER = {"14": 15, "12": 20, "10": 30}
SMALL_ALUMINUM = {"12": 15, "10": 25}

# Table 250.122: (largest device, copper, aluminum). Compared with a public reproduction.
EQUIPMENT_GROUND = (
    (15, "14", "12"), (20, "12", "10"), (60, "10", "8"), (100, "8", "6"), (200, "6", "4"), (300, "4", "2"),
    (400, "3", "1"),
)  # fmt: skip

# Chapter 9, table 8: direct-current resistance at 75 °C, uncoated stranded copper, ohm for 1000 ft.
RESISTANCE_COPPER = {
    "14": 3.14, "12": 1.98, "10": 1.24, "8": 0.778, "6": 0.491, "4": 0.308, "3": 0.245, "2": 0.194, "1": 0.154,
    "1/0": 0.122, "2/0": 0.0967,
}  # fmt: skip


def ampacity(material: str, size: str, column: str) -> float:
    """The table ampacity of a conductor in a temperature column, A."""
    table = AMPACITY_COPPER if material == "copper" else AMPACITY_ALUMINUM
    return table[size][COLUMNS.index(column)]


def correction(celsius: float, column: str) -> float:
    """The ambient correction factor of a temperature column."""
    row = next(row for row in CORRECTION if celsius <= row[0])
    factor = row[1 + COLUMNS.index(column)]
    assert factor is not None, f"no conductor of {column} at {celsius} °C"
    return factor


def adjustment(conductors: int) -> float:
    """The adjustment factor for a number of current-carrying conductors."""
    return next((factor for most, factor in ADJUSTMENT if conductors <= most), ADJUSTMENT_BEYOND)


def equipment_ground(device: float, material: str) -> str:
    """The smallest equipment grounding conductor for an overcurrent device."""
    row = next(row for row in EQUIPMENT_GROUND if device <= row[0])
    return row[1] if material == "copper" else row[2]
