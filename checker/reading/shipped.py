"""Where the files are that ship with the program: the rulesets and the schemas.

In a clone they stand at the top level, beside the package. A wheel carries them inside the package; `setup.py` puts them
there. Whatever reads a shipped file asks here for its folder.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path

PACKAGE = Path(str(resources.files("checker"))).resolve()  # pip unpacks a wheel: a package is always a folder on disk
IN_A_WHEEL = PACKAGE / "_shipped"
ROOT = IN_A_WHEEL if IN_A_WHEEL.is_dir() else PACKAGE.parent


def shipped(name: str) -> Path:
    """The folder of shipped files of a name: `rulesets` or `schemas`."""
    return ROOT / name
