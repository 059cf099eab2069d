"""Plain data written as JSON, in which no sign that steers a terminal or turns the order of letters stands as it is.

A control, a mark of direction or a sign without a shape is written as its escape (`\\u009b`), which every reader takes for the
same sign. What is only hashed is not written here.
"""

from __future__ import annotations

import json
import re
from typing import Any

# C1 controls, the two line ends of Unicode, and all that it counts as format (marks of direction, signs of no width, joiners of
# scripts, tags); JSON itself escapes those below 32.
STEERING = re.compile(
    "[\x7f-\x9f\xad\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"
    "\ufff9-\ufffb\U000110bd\U000110cd\U00013430-\U0001343f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a"
    "\U000e0000-\U000e007f]"
)


def document(data: Any) -> str:
    """A text of many lines that ends with one."""
    return indented(data) + "\n"


def indented(data: Any) -> str:
    """A text of many lines, no end of line behind it."""
    return inert(json.dumps(data, ensure_ascii=False, indent=2))


def compact(data: Any) -> str:
    """A text on one line, no end of line behind it. Half of a character, as the name of a file may hold, stays."""
    return inert(json.dumps(data, ensure_ascii=False, separators=(",", ":")))


def inert(text: str) -> str:
    """JSON text with each such sign escaped; outside of its strings there are none."""
    return STEERING.sub(_escape, text)


def _escape(sign: re.Match[str]) -> str:
    return json.dumps(sign[0])[1:-1]
