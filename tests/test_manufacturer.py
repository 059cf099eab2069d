"""What listing and manual require holds under every code; the code that is adopted is cited beside the manual.

The largest breaker or fuse of a nameplate is a rule of the electrical code, which the manufacturers' ruleset stands on: so it is
in force at every place too, and once.

The sections: IRC M1307.1 and M1401.1, IMC 304.1, UMC 303.1 and 304.1, from the shipped ruleset's own marks; that a manual's
limit holds wherever its equipment stands is common practice.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.ir.outcomes import FAIL, PASS
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import SHIPPED, open_library
from tests.support.places import county_on_the_irc
from tests.support.rulesets import ON

CLEAN = Path(__file__).parent.parent / "examples" / "jobs" / "01-clean.json"
LAW = {
    "xx-alder": "IRC",
    "xx-sorrel": "UMC",
    "": "",
}  # under the residential code, the uniform one, and where none is adopted
BROKEN: dict[str, dict[str, Any]] = {
    "flammable-charge-within-the-most": {"charge": {"total": "11.6 lb"}},
    "leak-detector-where-the-charge-asks": {"indoor_unit": {"detector_fitted": False}},
    "floor-area-enough-for-the-charge": {"indoor_unit": {"smallest_room_area": "189 sq ft"}},
    "line-set-within-makers-length-and-height": {"line_set": {"length": "101 ft"}},
    "pressure-test-as-the-manual-asks": {"pressure_test": {"pressure": "20 psig"}},
}


def found(checker: Checker, place: str, rule: str, change: dict[str, Any]) -> Finding:
    job = json.loads(CLEAN.read_text(encoding="utf-8"))
    job["site"]["jurisdiction"] = place or "xx-nowhere"
    for section, facts in change.items():
        job[section] |= facts
    read = load(read_text(json.dumps(job).encode(), "job.json"), checker.vocabulary)
    report = checker.check(read, ON)
    return next(finding for finding in report.findings if finding.rule == rule)


@pytest.mark.parametrize("place", LAW)
@pytest.mark.parametrize("rule", BROKEN)
def test_it_fails_and_passes_alike_under_every_code(shipped: Checker, rule: str, place: str) -> None:
    assert found(shipped, place, rule, {}).outcome == PASS
    broken = found(shipped, place, rule, BROKEN[rule])
    assert (broken.outcome, broken.obligation) == (FAIL, "shall")
    manual, *law = [cited.document for cited in broken.citations]
    assert manual == "Manufacturer's instructions"
    assert (law[0] if law else "") == LAW[place]


def test_no_test_at_all_fails_where_the_manual_asks_for_one(shipped: Checker) -> None:
    for place in LAW:
        none = {"pressure_test": {"gas": "none_done"}}
        assert found(shipped, place, "pressure-test-as-the-manual-asks", none).outcome == FAIL


HEATH = county_on_the_irc("heath", "Heath County (invented), which names no electrical code", "2015-07-01")


@pytest.fixture(scope="module")
def with_heath(tmp_path_factory: pytest.TempPathFactory) -> Checker:
    """The shipped rulesets and a county's that names no electrical code."""
    folder = tmp_path_factory.mktemp("counties")
    (folder / "heath").mkdir()
    (folder / "heath" / "ruleset.yaml").write_text(HEATH, encoding="utf-8")
    return Checker(open_library([SHIPPED, folder]), job_vocabulary())


@pytest.mark.parametrize("place", [*LAW, "xx-heath"])
def test_a_device_over_the_nameplate_fails_once_at_every_place_with_an_electrical_code_or_without(
    place: str, with_heath: Checker
) -> None:
    """45 A where the nameplate gives 20 A: NEC 440.4(B), 440.22(C) and 110.3(B), from the shipped rule's own marks."""
    job = json.loads((CLEAN.parent / "02-oversized-breaker.json").read_text(encoding="utf-8"))
    job["site"]["jurisdiction"] = place or "xx-nowhere"
    report = with_heath.check(read_text(json.dumps(job).encode(), "job.json"), ON)
    failed = [finding for finding in report.with_outcome(FAIL) if "nameplate max breaker" in finding.message]
    assert [(finding.rule, finding.item) for finding in failed] == [("overcurrent-within-nameplate", "condenser")]
    (found,) = failed
    assert {cited.document for cited in found.citations} == {"NEC"}
    told = any("adopts an edition of nec" in note or "under every shipped" in note for note in report.notes)
    assert told == (place not in ("xx-alder", "xx-sorrel"))
