"""CoolProp, and the module that makes curves of it, opened where a test first asks them: that takes seconds.

`coolprop.PropsSI` and `coolprop.HAPropsSI` are CoolProp's own; `coolprop.make_curves` is ours.
"""

from __future__ import annotations

import importlib
from typing import Any

NAMES = ("make_curves", "PropsSI", "HAPropsSI")


def __getattr__(name: str) -> Any:
    if name not in NAMES:  # as pytest asks of everything that it finds in a file of tests
        raise AttributeError(name)
    if name == "make_curves":
        return importlib.import_module("checker.trade.make_curves")
    return getattr(importlib.import_module("CoolProp.CoolProp"), name)
