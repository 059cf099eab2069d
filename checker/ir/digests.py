"""Digests by which data is known again: the same data gives the same digest, however it is laid out.

>>> digest({"b": 1, "a": 2}) == digest({"a": 2, "b": 1})
True
"""

from __future__ import annotations

import hashlib
import json
from typing import Any


def canonical(value: Any) -> str:
    """A value's JSON in one spelling: names sorted, nothing between."""
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def digest(value: Any) -> str:
    """The first 16 hex digits of the SHA-256 of a value's canonical JSON."""
    return digest_of_text(canonical(value))


def digest_of_text(text: str) -> str:
    """The first 16 hex digits of the SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]
