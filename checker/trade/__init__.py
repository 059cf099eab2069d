"""Functions that a rule may call: what has to be computed rather than compared.

Each module holds one subject and declares its functions with `rule_function`. Amounts are plain numbers in the base unit of
their kind (`units.txt`), dates are day numbers, and nothing here opens a job, reads a clock or remembers a result.
Numbers that a code prints and changes by edition are limits of a ruleset and reach a function as `tables`.
"""

from __future__ import annotations

import functools

# Each of these declares its functions when it is imported.
from checker.trade import (  # noqa: F401
    air,
    calendar_days,
    capacitor,
    charge,
    compressor_circuit,
    conductors,
    evacuation,
    heat_kit,
    nitrogen,
    overcurrent,
    recovery,
    refrigerant,
)
from checker.trade.function import DECLARED, Function


@functools.cache
def functions() -> dict[str, Function]:
    """Every function that a rule may call, by its name."""
    return dict(DECLARED)
