"""Functions that a rule may call: what has to be computed rather than compared.

Each module holds one subject and ends with `FUNCTIONS`. Amounts are plain numbers in the base unit of their
kind (`units.txt`), dates are day numbers, and nothing here opens a job, reads a clock or remembers a result.
Numbers that a code prints and changes by edition are limits of a ruleset and reach a function as `tables`.
"""

from __future__ import annotations

import functools
import importlib
import importlib.util

from checker.trade.function import Function

MODULES = (
    "refrigerant", "air", "nitrogen", "evacuation", "recovery", "calendar_days",
    "overcurrent", "compressor_circuit", "heat_kit", "conductors", "supply_voltage", "capacitor",
)  # fmt: skip


@functools.cache
def functions() -> dict[str, Function]:
    """Every function that a rule may call, by its name."""
    names = [f"{__name__}.{name}" for name in MODULES]
    modules = [importlib.import_module(name) for name in names if importlib.util.find_spec(name)]
    return {function.name: function for module in modules for function in module.FUNCTIONS}
