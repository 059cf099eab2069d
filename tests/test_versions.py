"""Ranges of versions mean what PEP 440 says, by its reference implementation, `packaging`."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from packaging.specifiers import InvalidSpecifier, SpecifierSet

from checker.rulesets.versions import within

NUMBERS = st.lists(st.integers(0, 3).map(str), min_size=1, max_size=4).map(".".join)
BOUNDS = st.tuples(st.sampled_from(["<", "<=", ">", ">=", "==", "!=", "~="]), st.sampled_from(["", " "]), NUMBERS,
                   st.sampled_from(["", "", ".*"])).map("".join)  # fmt: skip
RANGES = st.lists(BOUNDS, min_size=1, max_size=3).map(", ".join)


@given(st.tuples(*[st.integers(0, 3).map(str)] * 3).map(".".join), RANGES)
def test_a_version_lies_in_a_range_where_pep_440_says_so(version: str, versions: str) -> None:
    try:
        expected = version in SpecifierSet(versions)
    except InvalidSpecifier:
        with pytest.raises(ValueError, match="not a bound"):
            within(version, versions)
    else:
        assert expected == within(version, versions)


@pytest.mark.parametrize("versions", ["1.0", "=>1.0", ">=", "newest", "^1.0", ">=1.0 <2", ">=1.*", "~=1"])
def test_what_is_no_range_is_refused(versions: str) -> None:
    with pytest.raises(InvalidSpecifier):
        SpecifierSet(versions)
    with pytest.raises(ValueError, match="not a bound"):
        within("1.0.0", versions)
