"""Proofs find each planted mistake and nothing else, and the jobs that show them come out so when they are checked.

The mistakes were planted by hand, one a rule, and the list below was written from what was planted.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checker.authoring.proofs import prover
from checker.authoring.proofs.encoding import Encoding
from checker.authoring.proofs.found import Findings
from checker.engine.checker import Checker
from checker.ir import tree
from checker.reading.files import read_text
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import open_library
from tests.support.rulesets import ON

PLANTED = Path(__file__).parent / "planted"
EXPECTED = {
    ("never-applies", "applies-beyond-both-ends"),
    ("never-applies", "applies-at-an-impossible-half"),
    ("never-fails", "length-any-at-all"),
    ("never-fails", "paper-of-any-kind"),
    ("never-passes", "length-between-crossed-ends"),
    ("never-passes", "lit-only-where-unlit"),
    ("contradiction", "length-at-least-eight, lit-length-at-most-seven"),
    ("contradiction", "length-by-paper, length-whatever-the-paper"),  # of rice alone: 8 ft at least, 7 ft at most
    ("twice", "nine-at-least-eight, nine-not-under-eight"),
    ("shadowed", "lit-and-long-or-nearly: lit and long"),
    ("shadowed", "tin-or-a-harder-paper: tin"),
    ("idle-fact", "long-lit-or-not: x.f12"),
    ("idle-change", "town: amended-to-the-same"),
    ("idle-change", "town: amended-by-less"),
    ("idle-question", "asked-on-a-day-that-never-is: dates.hung < early, dates.hung > late"),
    ("idle-question", "asked-about-nothing"),
    ("idle-limit", "never_read"),
    ("gap", "book: papers: x.c18 is tin"),
    ("untried-change", "town: withdrawn-untried"),
    ("given-twice", "a-case-says-it-twice: twice"),
    ("title-figure", "title-of-another-figure"),
}


@pytest.fixture(scope="module")
def planted() -> Checker:
    return Checker(open_library([PLANTED]), job_vocabulary(PLANTED / "job.schema.json"))


@pytest.fixture(scope="module")
def found(planted: Checker) -> Findings:
    return prover.prove(planted)


def test_every_planted_mistake_is_found_and_nothing_else(found: Findings) -> None:
    assert {(hit.sort, hit.name) for hit in found.hits} == EXPECTED
    assert not found.undecided


def test_the_jobs_that_show_them_come_out_so_when_checked(planted: Checker, found: Findings) -> None:
    shown = [hit.witness for hit in found.hits if hit.witness]
    assert len(shown) == 15
    for witness in shown:
        report = planted.check(read_text(json.dumps(witness.job).encode(), "witness.json"), ON)
        outcomes = {(finding.rule, finding.outcome) for finding in report.findings}
        for rule, outcome in witness.outcomes:
            if outcome == "does_not_apply":
                assert rule not in {named for named, _ in outcomes}
            else:
                assert (rule, outcome) in outcomes


def test_a_node_that_proofs_do_not_know_is_a_free_value(planted: Checker) -> None:
    class Unheard:
        text = "unheard of"

    encoding = Encoding(planted.vocabulary)
    rule = next(iter(prover.Forms(planted).of(planted.chain("xx-town"), "nothing-planted-here"))).rule
    formula = encoding.of(tree.All((Unheard(),)), rule)  # type: ignore[arg-type]
    assert formula.free == {"'Unheard' is not known to proofs"}
    assert encoding.job(formula) is not None


@pytest.mark.long
def test_proofs_find_nothing_in_the_shipped_rulesets(shipped: Checker) -> None:
    assert [(hit.sort, hit.name) for hit in prover.prove(shipped).hits] == []
