"""Cells of CSV that must stay text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checker.reporting.csv_safe import safe_cell


@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("=1+1", "'=1+1"), ("+1 day", "'+1 day"), ("-x", "'-x"), ("@a", "'@a"), ("\ta", "'\ta"), ("\r=a", "'\r=a"),
        ("  =a", "'  =a"), ("＝a", "'＝a"), ("-5.2 °F", "'-5.2 °F"), ("-1+2", "'-1+2"), ("-", "'-"),
        ("-5.2", "-5.2"), ("+3", "+3"), ("1e-5", "1e-5"), ("-.5", "-.5"), ("a=b", "a=b"), ("", ""), ("'=a", "'=a"),
    ],
)  # fmt: skip
def test_a_cell_that_a_spreadsheet_would_compute_is_kept_text(text: str, safe: str) -> None:
    """The signs are those OWASP lists under CSV injection, from memory."""
    assert safe == safe_cell(text)


@given(st.text())
def test_no_cell_of_ours_begins_a_formula(text: str) -> None:
    safe = safe_cell(text)
    assert safe in (text, f"'{text}")
    if safe.lstrip()[:1] in ("=", "@"):
        pytest.fail(repr(safe))
    if safe.lstrip()[:1] in ("+", "-"):
        float(safe)
