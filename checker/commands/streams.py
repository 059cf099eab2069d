"""Standard output and error on a terminal of any encoding: a sign that it does not have is written in signs that it has.

Standard error may also be full, or its reader gone: a run goes on without it.
"""

from __future__ import annotations

import codecs
import contextlib
import io
import sys
import unicodedata
from typing import Any, TextIO, cast

# How the trade writes these on a plain keyboard. Any other sign loses its accents, or is a question mark.
PLAIN = {
    "°": "deg", "µ": "u", "²": "2", "³": "3", "×": "x", "·": "*", "±": "+/-", "≤": "<=", "≥": ">=", "≠": "not ",
    "→": "->", "−": "-", "–": "-", "—": "-", "…": "...", "‘": "'", "’": "'", "“": '"', "”": '"', "•": "*", "½": "1/2",
    "¼": "1/4", "¾": "3/4", "Δ": "d", "✓": "x", "\N{BULLET OPERATOR}": "*", "\N{NO-BREAK SPACE}": " ",
}  # fmt: skip
READABLE = "readable"


def make_readable() -> None:
    """Have both streams write what their encodings lack in plain signs, from now on, and standard error fail no run."""
    codecs.register_error(READABLE, _plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and codecs.lookup(stream.encoding).name != "utf-8":
            stream.reconfigure(errors=READABLE)
    if isinstance(sys.stderr, io.TextIOWrapper) and sys.stderr is sys.__stderr__:
        sys.stderr = cast(TextIO, _MayBeGone(sys.stderr))


class _MayBeGone:
    """Standard error that nobody may read any more: what cannot be told is left out, and the exit code says what it would."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        with contextlib.suppress(OSError):
            self._stream.write(text)
        return len(text)

    def flush(self) -> None:
        with contextlib.suppress(OSError):
            self._stream.flush()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    wanting = error.object[error.start : error.end]
    return "".join(PLAIN.get(sign) or _without_accents(sign) for sign in wanting), error.end


def _without_accents(sign: str) -> str:
    parts = unicodedata.normalize("NFKD", sign)
    return "".join(part for part in parts if part.isascii()) or "?"
