"""The text of a PDF, to be compared with what it should say: without spaces, letters that are drawn as one taken apart."""

from __future__ import annotations

import io
import re
import unicodedata

import pypdf


def text_of(content: bytes, pages: slice = slice(None)) -> str:
    """All text of a PDF, or of some of its pages, as `bare` writes it."""
    return bare(" ".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(content)).pages[pages]))


def bare(text: str) -> str:
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))
