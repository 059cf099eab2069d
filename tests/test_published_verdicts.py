"""From a state's name to a verdict: states of different kinds, amendments, and which code governs in a house there."""

from __future__ import annotations

from pathlib import Path

import pytest

from checker.commands.places import job_at
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading.job import Job
from checker.rulesets import state_words
from checker.rulesets.applicability import Versions
from checker.rulesets.state_rulesets import state_of_file
from tests.support.rulesets import ON, STATES
from tests.support.states import editions, job, put, shipped_editions

MECHANICAL = ("irc-mechanical", "umc-mechanical")


def said(checker: Checker, one: Job, rule: str) -> tuple[set[str], Report]:
    report = checker.check_job(one, ON)
    return {finding.outcome for finding in report.findings if finding.rule == rule}, report


UNGUARDED = [
    {
        "key": "ac", "serves": "outdoor_unit", "gfci": "none",
        "devices": [{"key": "b", "place": "panel", "rating": "30 A"}],
    }
]  # fmt: skip


KINDS = {
    "statewide with amendments": ("Ohio", "outdoor-unit-ground-fault-protected", "fail"),
    "local option": ("nevada", "outdoor-unit-ground-fault-protected", "verify_locally"),
    "a uniform mechanical code": ("New Mexico", "umc-permit-obtained", "fail"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_from_a_states_name_to_a_verdict(shipped: Checker, kind: str) -> None:
    """The name as people write it is all that is told of the place."""
    spelled, rule, outcome = KINDS[kind]
    here = job_at(shipped, "", spelled, "")[0].text("site.state")
    one = job(shipped, here, outdoor_unit={"listed": False}, circuits=UNGUARDED, permit={"obtained": False})
    found = [finding for finding in shipped.check_job(one, ON).findings if finding.rule == rule]
    assert [outcome] == [finding.outcome for finding in found]
    assert bool(found[0].published) == (here == "OH"), "of the three only Ohio's edition counts by what is published"


def test_the_same_circuit_in_three_states(shipped: Checker) -> None:
    """An unlisted unit without GFCI: 210.8(F) came with the 2020 edition. Ohio enforces the 2023 one everywhere; Nevada leaves
    the edition to its places; Utah deleted the section from the 2020 one, which its office says is in force."""
    rule = "outdoor-unit-ground-fault-protected"
    unit = {"outdoor_unit": {"listed": False}, "circuits": UNGUARDED}
    told = {"adopted": [{"key": "e", "code": "nec", "edition": "2020", "told_by": "the clerk"}]}
    ohio, nevada = (said(shipped, job(shipped, state, **unit), rule)[0] for state in ("OH", "NV"))
    assert ({"fail"}, {"verify_locally"}) == (ohio, nevada)
    assert set() == said(shipped, job(shipped, "UT", site=told, **unit), rule)[0]


def test_statewide_with_amendments(shipped: Checker) -> None:
    """Ohio: the 2023 edition everywhere, said once with the question to the office."""
    one = job(shipped, "OH")
    assert ["2023"] == editions(shipped, one, "nec")
    report = shipped.check_job(one, ON)
    line = next(note for note in report.notes if note.startswith("Electrical code:"))
    assert "Ohio" in line
    assert "2023 NEC" in line
    assert "with state amendments" in line
    assert line.endswith("?")


def test_a_section_that_the_state_deleted_is_not_asked(shipped: Checker) -> None:
    """Texas excluded 210.8(F) of the 2020 edition (Texas Register of June 17, 2022); the 2023 edition has it again."""
    rule = "outdoor-unit-ground-fault-protected"
    unit = {"outdoor_unit": {"listed": False}, "circuits": UNGUARDED}
    was, report = said(shipped, job(shipped, "TX", "2022-09-01", **unit), rule)
    assert set() == was
    assert [note for note in report.notes if note.startswith("Not asked here:") and "16 TAC 73.100" in note]
    now, _ = said(shipped, job(shipped, "TX", "2023-09-01", **unit), rule)
    assert now


def test_local_option_judges_every_edition_and_names_the_likely_one(shipped: Checker) -> None:
    """Texas leaves the residential code to its cities."""
    one = job(shipped, "TX")
    assert shipped_editions(shipped, "irc-mechanical") == editions(shipped, one, "irc-mechanical")
    line = next(note for note in shipped.check_job(one, ON).deciding if "Residential code:" in note)
    assert "each city or county decides in Texas" in line


def test_a_uniform_code_takes_the_residential_ones_place(shipped: Checker) -> None:
    """New Mexico: mechanical work in houses goes by the state's mechanical code, which is based on the UMC."""
    one = job(shipped, "NM")
    versions = Versions(one, shipped.chain_of(one))
    assert "irc-mechanical" in versions.passed_over
    assert "umc-mechanical" not in versions.passed_over
    rulesets = {finding.rule for finding in shipped.check_job(one, ON).findings}
    assert [rule for rule in rulesets if rule.startswith("umc-")]


def test_where_either_code_could_govern_a_failure_of_one_alone_is_not_firm(shipped: Checker, tmp_path: Path) -> None:
    """No state has said so: what fails under the uniform code alone is a question to the office."""
    text = (STATES / "nm.yaml").read_text(encoding="utf-8").replace("in_houses: yes", "in_houses: unknown")
    put(tmp_path, "nm.yaml", text)
    library = shipped.library.with_one(shipped.library.rulesets["nec"])
    library.of_states = (tmp_path,)
    checker = Checker(library, shipped.vocabulary)
    one = job(checker, "NM", "2027-03-01", permit={"obtained": False}, dates={"permit_applied": "2027-03-01"})
    assert frozenset({"umc-mechanical", "irc-mechanical"}) == Versions(one, checker.chain_of(one)).either
    report = checker.check_job(one, ON)
    home = checker.chain_of(one).homes
    failed = {f.rule for f in report.findings if f.outcome == "fail" and home["rules", f.rule].id in MECHANICAL}
    assert set() == failed
    assert [f for f in report.findings if f.reason == "not_adopted" and "umc-mechanical" in str(f.alternatives)]


def test_another_edition_of_a_part_is_said(shipped: Checker) -> None:
    """Georgia keeps the 2015 energy code beside a later residential one: the rules on energy here go by the residential one's."""
    told = [{"key": "r", "code": "irc-mechanical", "edition": "2024", "told_by": "the clerk"}]
    one = job(shipped, "GA", site={"adopted": told})
    notes = list(state_words.notes(state_of_file(STATES / "ga.yaml"), Versions(one, shipped.chain_of(one)), ON))
    part = next(note for note in notes if note.startswith("Energy code: Georgia has the 2015 IECC"))
    assert part.endswith("Its rules here go by the 2024 residential code. Ask what differs.")
    open_one = job(shipped, "GA")
    versions = Versions(open_one, shipped.chain_of(open_one))
    assert not [
        note for note in state_words.notes(state_of_file(STATES / "ga.yaml"), versions, ON) if "go by the" in note
    ]
