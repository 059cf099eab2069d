"""Names of files on every system: made of words of others, such as a job's id, or given by others and not to be trusted."""

from __future__ import annotations

import re
import unicodedata
from pathlib import PurePosixPath, PureWindowsPath

MOST_LETTERS = 80
# Names that Windows keeps for its devices, whatever ending follows. Source: Microsoft, "Naming Files, Paths, and Namespaces".
RESERVED = re.compile(r"(?:con|prn|aux|nul|(?:com|lpt)[0-9¹²³])(?:\..*)?", re.IGNORECASE)


def safe_stem(words: str) -> str:
    """Words as the name of a file without its ending: every sign that some system refuses is a hyphen."""
    safe = re.sub(r"[^\w.-]+", "-", unicodedata.normalize("NFC", words)).strip(".-")[:MOST_LETTERS].rstrip(".-")
    if not safe or RESERVED.fullmatch(safe):
        safe = f"job-{safe}".rstrip("-")
    return safe


def leads_outside(name: str) -> bool:
    """Whether a name is absolute or goes up, by the rules of either kind of system."""
    return any(bool(path.anchor) or ".." in path.parts for path in (PurePosixPath(name), PureWindowsPath(name)))
