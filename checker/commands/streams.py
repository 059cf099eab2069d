"""Standard output and error on a terminal of any encoding: a sign that it does not have is written in signs that it has."""

from __future__ import annotations

import codecs
import io
import sys
import unicodedata

# How the trade writes these on a plain keyboard. Any other sign loses its accents, or is a question mark.
PLAIN = {
    "°": "deg", "µ": "u", "²": "2", "³": "3", "×": "x", "·": "*", "±": "+/-", "≤": "<=", "≥": ">=", "≠": "not ",
    "→": "->", "−": "-", "–": "-", "—": "-", "…": "...", "‘": "'", "’": "'", "“": '"', "”": '"', "•": "*", "½": "1/2",
    "¼": "1/4", "¾": "3/4", "Δ": "d", "✓": "x", "\N{BULLET OPERATOR}": "*", "\N{NO-BREAK SPACE}": " ",
}  # fmt: skip
READABLE = "readable"


def make_readable() -> None:
    """Have both streams write what their encodings lack in plain signs, from now on."""
    codecs.register_error(READABLE, _plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and codecs.lookup(stream.encoding).name != "utf-8":
            stream.reconfigure(errors=READABLE)


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    wanting = error.object[error.start : error.end]
    return "".join(PLAIN.get(sign) or _without_accents(sign) for sign in wanting), error.end


def _without_accents(sign: str) -> str:
    parts = unicodedata.normalize("NFKD", sign)
    return "".join(part for part in parts if part.isascii()) or "?"
