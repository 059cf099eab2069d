"""What listing and manual require holds under every code; the code that is adopted is cited beside the manual.

The sections: IRC M1307.1 and M1401.1, IMC 304.1, UMC 303.1 and 304.1, from the shipped ruleset's own marks; that a manual's
limit holds wherever its equipment stands is common practice.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from checker.check import Checker
from checker.findings import FAIL, PASS, Finding
from checker.job import load
from checker.source import read_text
from tests.conftest import ON

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
