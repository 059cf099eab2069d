"""Proofs find each planted mistake and nothing else, and the jobs that show them come out so when they are checked.

The mistakes were planted by hand, one a rule, and the list below was written from what was planted.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.authoring.proofs import prover
from checker.authoring.proofs.encoding import Encoding
from checker.authoring.proofs.found import Findings
from checker.cli import main
from checker.engine.checker import Checker
from checker.ir import tree
from checker.reading.files import read_text
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.library import open_library
from tests.support.many_jobs import BELLS
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


GROUP = """\
# yaml-language-server: $schema=ruleset.schema.json
id: planted-group
version: 0.1.0
title: Planted
owner: Planted
owner_kind: group
uses: {chimebook: ">=1, <9"}
reviewed_through: 2030-01-01
documents: {ours: Ours}
"""
RULE = """\
  {name}:
    title: Wheel as ours
    topic: wheel
    obligation: shall
    intent: Ours.
    citation: [{{document: ours, section: "1", section_sure: checked, requirement_sure: checked}}]
    applies_when: [done.bell]
    require: [bell.clearance {sign} {limit}]
    on_fail: Not as ours.
    cases:
      - {{name: at, given: {{done.bell: "true", bell.clearance: {value} in}}, expect: pass}}
"""
LIMIT = '  {name}:\n    title: Ours\n    unit: in\n    values: [{{value: "{value}", source: ours, sure: checked}}]\n'


def test_a_groups_contradiction_is_told_and_check_runs_the_job_that_shows_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(BELLS, tmp_path / "bells")
    folder = tmp_path / "bells" / "planted"
    folder.mkdir()
    (folder / "ruleset.yaml").write_text(GROUP)
    limits = LIMIT.format(name="our_least", value=9) + LIMIT.format(name="our_most", value=8)
    rules = RULE.format(name="wheel-high", sign=">=", limit="our_least", value=9)
    rules += RULE.format(name="wheel-low", sign="<=", limit="our_most", value=8)
    (folder / "rules.yaml").write_text(f"limits:\n{limits}rules:\n{rules}")
    monkeypatch.chdir(tmp_path)
    run = CliRunner()
    told = run.invoke(main, ["rules", "prove", "bells/planted", "--rules", "bells", "--witness", "shown"])
    assert 1 == told.exit_code, told.output
    assert "[contradiction]" in told.stdout
    job = next(Path("shown").glob("*-contradiction.json"))
    found = run.invoke(main, ["check", str(job), "--rules", "bells", "--ruleset", "planted-group", "--format", "json"])
    outcomes = {one["rule"]: one["outcome"] for one in json.loads(found.stdout)["jobs"][0]["findings"]}
    assert "fail" in (outcomes["wheel-high"], outcomes["wheel-low"])


@pytest.mark.long
def test_proofs_find_nothing_in_the_shipped_rulesets(shipped: Checker) -> None:
    assert [(hit.sort, hit.name) for hit in prover.prove(shipped).hits] == []
