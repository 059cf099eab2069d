"""Libraries that only some commands need, and that are installed only where they are wanted."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from checker.commands.errors import stop


def refuse_without(module: str, extra: str, where: str | Path, otherwise: str = "") -> None:
    """End the command where a library is not installed, and say how to get it.

    Args:
        module: The library's name, as Python imports it.
        extra: The extra of this program that brings it.
        where: The option or command that needs it.
        otherwise: What can be done without it, in words behind a comma.
    """
    if find_spec(module) is None:
        hint = f"Get it with pip install 'changeout-checker[{extra}]'{f', or {otherwise}' if otherwise else ''}."
        stop(where, "It needs one more library, which is not installed.", hint)
