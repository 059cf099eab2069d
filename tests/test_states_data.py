"""What the states' files hold: something of every state, and nothing read long ago that still decides."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.rulesets.limits import years_on
from checker.rulesets.state_rulesets import LASTS, periods, state_of_file
from checker.rulesets.states import FIRM, UNKNOWN, State
from tests.support.rulesets import ON
from tests.support.states import FILES, editions, job, shipped_editions

EVERY = [state_of_file(path).state for path in FILES]
AT_LEAST = {"electrical": 51, "residential": 51, "mechanical": 51, "fuel_gas": 33, "energy": 49}


def test_something_is_said_of_every_state_and_of_the_district() -> None:
    """Who decides on the electrical and the residential code, whether a license is needed, when somebody looked."""
    said = Counter(kind for state in EVERY for kind in state.codes)
    assert {kind: said[kind] for kind, least in AT_LEAST.items() if said[kind] < least} == {}
    assert [state.state for state in EVERY if state.license is None] == []
    assert len({state.state for state in EVERY}) == 51
    assert len([state for state in EVERY if "a2l" in state.acts]) >= 20
    assert len([one for state in EVERY for one in state.amendments if one.sure in FIRM]) >= 12


@pytest.mark.parametrize("state", EVERY, ids=lambda state: state.state)
def test_a_state_is_as_it_is_written(state: State) -> None:
    """Nothing reaches past the day somebody looked, no source is left over, who leaves it to its cities says so."""
    named = {name for part in (state.codes, state.acts) for one in part.values() for name in one.sources}
    named |= {name for code in state.codes.values() for one in code.in_force for name in one.sources}
    named |= {name for code in state.codes.values() for one in code.in_force for o in one.other for name in o.sources}
    named |= {name for one in state.amendments for name in one.sources}
    named |= set(state.license.sources) if state.license else set()
    assert named == set(state.sources)
    for kind, code in state.codes.items():
        assert code.known_through, kind
        assert code.known_through <= state.reviewed_through, kind
        assert code.decided_by == "locality" or code.in_force, kind
        assert [one for one in code.in_force if one.choice_until and one.choice_until <= one.starts] == []


def test_what_was_read_long_ago_no_longer_decides(shipped: Checker) -> None:
    """Tennessee's residential code was read to January 2022: it counts for two years, and is the likely one after them."""
    assert ["2018"] == editions(shipped, job(shipped, "TN", "2023-12-30"), "irc-mechanical")
    later = job(shipped, "TN", "2024-01-03")
    assert shipped_editions(shipped, "irc-mechanical") == editions(shipped, later, "irc-mechanical")
    line = next(note for note in shipped.check_job(later, ON).deciding if "Residential code:" in note)
    assert "most likely the 2018 IRC" in line
    assert "what was read reaches to 2022-01-01" in line


def test_no_edition_counts_for_long_past_what_was_read() -> None:
    for state in EVERY:
        for kind, code in state.codes.items():
            found = list(periods(code, state.sources))
            if found and found[-1].edition is code.in_force[-1]:
                assert found[-1].until == years_on(str(code.known_through), LASTS), (state.state, kind)
            assert all(one.starts != UNKNOWN and (not one.until or one.starts < one.until) for one in found)


def test_the_same_day_some_years_on() -> None:
    assert ["2026-07-01", "2026-03-01"] == [years_on("2024-07-01", 2), years_on("2024-02-29", 2)]
    assert "2028-02-29" == years_on("2024-02-29", 4)


def notes_of(checker: Checker, state: str, **site: Any) -> list[str]:
    return list(checker.check_job(job(checker, state, site=site), ON).deciding)


def test_what_a_state_changes_is_told_with_its_citation_also_where_no_rule_goes_by_it(shipped: Checker) -> None:
    """North Carolina's statute on permits (two cities' pages and a copy of it); Georgia's change of the 2020 NEC, from memory."""
    carolina = next(note for note in notes_of(shipped, "NC") if note.startswith("North Carolina changes IRC R105.2"))
    assert "(N.C.G.S. 160D-1110 and 143-138(b5); read second hand)" in carolina
    told = {year: [{"key": "e", "code": "nec", "edition": year, "told_by": "the clerk"}] for year in ("2020", "2023")}
    under = {year: " ".join(notes_of(shipped, "GA", adopted=one)) for year, one in told.items()}
    assert "Georgia may change NEC 210.8(F)" in under["2020"]
    assert "Georgia may change NEC" not in under["2023"]


def test_an_amendment_that_a_rule_goes_by_is_not_told_twice(shipped: Checker) -> None:
    """South Dakota does not take over 210.8(F) (its electrical commission's page): the rule is withdrawn, and says why."""
    assert not [note for note in notes_of(shipped, "SD") if "210.8(F)" in note and "changes" in note]
