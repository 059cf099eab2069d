"""Tables of refrigerants: the pressure class that recovery goes by, and target superheat.

Classes are fixed on purpose, and not worked out from the saturation curves: R-410A lies 3 psi under the limit between two
classes, and a newer equation of state must not move it. Safety groups and warming potentials are tables of a ruleset.
"""

from __future__ import annotations

# 40 CFR 82.152 (checked): below 45, 170 and 355 psia at 104 °F; it names R-22, R-407C and R-410A as high and R-134a as medium;
# R-454A, R-454C and R-457A by their bubble points (283, 247 and 224 psia, CoolProp 8.0).
# R-466A is not here: there is no saturation curve of it, and its class is known from memory alone.
PRESSURE_CLASSES = {
    "R-22": "high_pressure",
    "R-32": "very_high_pressure",
    "R-134a": "medium_pressure",
    "R-404A": "high_pressure",
    "R-407C": "high_pressure",
    "R-410A": "high_pressure",
    "R-452B": "high_pressure",
    "R-454A": "high_pressure",
    "R-454B": "high_pressure",
    "R-454C": "high_pressure",
    "R-457A": "high_pressure",
}

# Target superheat at the service port, °F, of a cooling system with a fixed orifice: outdoor dry bulb (°F) -> one number
# for each indoor wet bulb of WET_BULBS (°F); None where the chart says not to charge by superheat.
# Source: Lennox 14ACX installation manual, page 26. The same chart in °C in the Carrier 38TUA installation and start-up
# instructions, Table 6, has its gaps at the same places and agrees within 1 °F; it starts at 55 °F outdoors, so the row of
# 40 °F stands in one manual alone. The trade's formula, (3 x wet bulb - 80 - dry bulb) / 2, comes near it and no more:
# within 3 °F at wet bulbs up to 70 °F, and up to 6.5 °F short of it in hot weather with a moist house.
WET_BULBS = tuple(float(degrees) for degrees in range(50, 77, 2))
NO = None
TARGET_SUPERHEAT: dict[float, tuple[float | None, ...]] = {
    40.0: (15, 18, 20, 23, 26, 29, 32, 34, 38, 41, 43, 46, 48, 51),
    55.0: (9, 12, 14, 17, 20, 23, 27, 30, 33, 36, 38, 40, 42, 44),
    65.0: (NO, 6, 10, 13, 16, 19, 21, 24, 27, 30, 33, 36, 38, 41),
    75.0: (NO, NO, NO, 6, 9, 12, 15, 18, 21, 24, 28, 31, 34, 37),
    80.0: (NO, NO, NO, NO, 5, 8, 12, 15, 18, 21, 25, 28, 31, 35),
    85.0: (NO, NO, NO, NO, NO, NO, 8, 11, 15, 19, 22, 26, 30, 33),
    90.0: (NO, NO, NO, NO, NO, NO, 5, 9, 13, 16, 20, 24, 27, 31),
    95.0: (NO, NO, NO, NO, NO, NO, NO, 6, 10, 14, 18, 22, 25, 29),
    100.0: (NO, NO, NO, NO, NO, NO, NO, NO, 8, 12, 16, 21, 24, 28),
    105.0: (NO, NO, NO, NO, NO, NO, NO, NO, 5, 9, 13, 17, 22, 26),
    110.0: (NO, NO, NO, NO, NO, NO, NO, NO, NO, 6, 11, 15, 20, 25),
    115.0: (NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, 8, 14, 18, 23),
}
