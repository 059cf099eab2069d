"""The files of curves and coefficients that ship beside the functions."""

from __future__ import annotations

import functools
import json
from importlib import resources
from typing import Any


@functools.cache
def data_file(name: str) -> Any:
    """What a file under `data/` holds, such as `saturation.json`. It is read once; whoever asks leaves it as it is."""
    return json.loads(resources.files("checker.trade").joinpath("data", name).read_text(encoding="utf-8"))
