"""A job that a ruleset is not written for: what else there is to say of it is said, and that ruleset is named everywhere.

Which law holds where: the refrigerant rules of 40 CFR part 82 know neither phase nor dwelling; a central air conditioner of
10 CFR 430.2 runs on single phase; a manufactured home is built to 24 CFR 3280; NEC Article 440 and 110.3(B) know neither. From
memory.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.authoring.lint import linter
from checker.cli import main
from checker.engine.checker import Checker
from checker.reading.job_schema import job_vocabulary
from checker.reporting.forms import FORMS
from checker.rulesets.library import open_library
from tests.support.jobs import document, judged
from tests.support.lantern_layers import RULES, hill
from tests.support.lantern_layers import job as lantern
from tests.support.rulesets import ON, TINY

PLATE = "overcurrent-within-nameplate"
RECOVERED = "refrigerant-recovered-before-opening"

# What a job is, and which rulesets of Alder County are not written for it.
OUTSIDE: dict[str, tuple[dict[str, Any], set[str]]] = {
    "three_phase": ({"scope": {"phase": "three_phase"}}, {"nec", "federal-efficiency"}),
    "manufactured": (
        {"site": {"dwelling": "manufactured"}},
        {"nec", "irc-mechanical", "federal-efficiency", "larch-state", "alder-county"},
    ),
    "multifamily": ({"site": {"dwelling": "multifamily"}}, {"nec", "irc-mechanical", "larch-state", "alder-county"}),
    "package_unit": (
        {"scope": {"system": "package_unit"}},
        {
            "nec", "irc-mechanical", "epa-refrigerant", "federal-efficiency", "manufacturer-instructions", "commissioning",
            "larch-state", "alder-county",
        },
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", OUTSIDE)
def test_what_is_not_written_for_the_job_is_left_out_and_named_and_the_rest_is_judged(
    name: str, shipped: Checker
) -> None:
    facts, outside = OUTSIDE[name]
    job, report = judged(shipped, document(facts))
    assert outside == {one.ruleset for one in report.not_judged}
    assert all(one.why and one.rules for one in report.not_judged)
    assert all(one.ruleset in report.headline for one in report.not_judged)
    assert report.findings
    assert not {finding.rule for finding in report.findings} & report.left_out
    for one in report.not_judged:
        held = {rule for line in shipped.library.rulesets[one.ruleset].header.written_for for rule in line.hold_beyond}
        assert {f.rule for f in report.findings if f.ruleset == one.ruleset} <= held
    rows = {rule for row in shipped.outcomes(job, ON) for rule in row.rules}
    assert not rows & report.left_out


@pytest.mark.parametrize("name", ["three_phase", "manufactured", "multifamily"])
def test_the_nameplate_and_the_federal_duties_hold_whatever_the_phase_and_the_dwelling(
    name: str, shipped: Checker
) -> None:
    job = document(OUTSIDE[name][0])
    circuit = next(circuit for circuit in job["circuits"] if circuit["serves"] == "outdoor_unit")
    for device in circuit["devices"]:
        device["rating"] = 100
    _, report = judged(shipped, job)
    found = {(finding.rule, finding.outcome) for finding in report.findings}
    assert {(PLATE, "fail"), (RECOVERED, "pass")} <= found


@pytest.mark.parametrize("name", OUTSIDE)
@pytest.mark.parametrize("failing", [False, True])
def test_the_exit_code_is_2_and_no_failure_hides_it(name: str, failing: bool, shipped: Checker) -> None:
    job = document(OUTSIDE[name][0])
    if failing:
        job["recovery"] |= {"done": False}
    _, report = judged(shipped, job)
    assert not failing or report.to_fix
    assert 2 == report.exit_code(strict=False) == report.exit_code(strict=True)


def test_a_job_inside_is_judged_by_all_and_ends_as_it_did(shipped: Checker) -> None:
    _, report = judged(shipped, document({}))
    assert () == report.not_judged
    assert "Not judged" not in report.headline
    assert 0 == report.exit_code(strict=False)


@pytest.mark.parametrize("name", OUTSIDE)
@pytest.mark.parametrize("form", [*FORMS, pytest.param("page", marks=pytest.mark.long)])
def test_no_form_is_silent_of_a_ruleset_that_did_not_judge_the_job(name: str, form: str, tmp_path: Path) -> None:
    facts, outside = OUTSIDE[name]
    (tmp_path / "job.json").write_text(json.dumps(document(facts)))
    output = tmp_path / "out"
    words = ["check", str(tmp_path / "job.json"), "--format", form, "--on", ON.isoformat(), "--output", str(output)]
    run = CliRunner().invoke(main, words)
    assert 2 == run.exit_code, run.output
    files = [output] if output.is_file() else [*output.rglob("*.html")]
    said = " ".join(" ".join(file.read_text(encoding="utf-8") for file in files).replace("\\-", "-").split())
    for ruleset in outside:
        assert ruleset in said
    assert re.search("(here|rules) cover |here doesn.{1,6}t cover |head has no ducts", said), "what the ruleset covers"


@pytest.mark.parametrize("words", [["prep"], ["packet"], ["check", "--summary"]], ids=" ".join)
def test_prep_packet_and_summary_name_them_too(words: list[str], tmp_path: Path) -> None:
    facts, outside = OUTSIDE["manufactured"]
    (tmp_path / "job.json").write_text(json.dumps(document(facts)))
    output = tmp_path / "out"
    option = [] if words[0] == "check" else ["--output"]
    run = CliRunner().invoke(main, [words[0], str(tmp_path / "job.json"), *words[1:], *option, str(output)])
    assert 2 == run.exit_code, run.output
    files = [output] if output.is_file() else [output / "report.html", output / "report.json"]
    for said in [file.read_text(encoding="utf-8") for file in files]:
        assert all(ruleset in said for ruleset in outside)


def test_a_rule_that_is_left_out_has_no_working_to_explain(tmp_path: Path) -> None:
    (tmp_path / "job.json").write_text(json.dumps(document({"site": {"dwelling": "manufactured"}})))
    run = CliRunner().invoke(main, ["explain", "permit-obtained", str(tmp_path / "job.json")])
    assert "Not judged on this job: These residential code rules cover" in run.output
    assert "→" not in run.output


# --- which ruleset follows which, on an invented trade ---

ONLY_LIT = "written_for:\n  - {when: lantern.lit, otherwise: The guild speaks of lit lanterns.}\n"


def by_guild(folder: Path, own: str = "", beyond: str = "") -> Checker:
    """The invented trade whose code speaks of lit lanterns alone; `own` is added to the header of the place on top of it."""
    lines = ONLY_LIT.replace("lanterns.}", f"lanterns., hold_beyond: [{beyond}]}}") if beyond else ONLY_LIT
    rulesets = folder / "rulesets"
    for source in (TINY / "rulesets").rglob("*.yaml"):
        target = rulesets / source.relative_to(TINY / "rulesets")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(source.read_text() + (lines if source.parts[-2:] == ("guild", "ruleset.yaml") else ""))
    made = folder / "places"
    made.mkdir()
    hill(made, rules=RULES)
    if own:
        header = made / "hill" / "ruleset.yaml"
        header.write_text(header.read_text() + own)
    return Checker(open_library([rulesets, made]), job_vocabulary(TINY / "job.schema.json"))


def left_out(checker: Checker, **facts: Any) -> dict[str, tuple[str, ...]]:
    return {one.ruleset: one.rules for one in checker.check_job(lantern(**facts), ON).not_judged}


def test_a_place_follows_the_code_that_it_stands_on(tmp_path: Path) -> None:
    checker = by_guild(tmp_path)
    assert {} == left_out(checker)
    assert {"guild", "hill"} == set(left_out(checker, lit=False))


def test_a_place_that_says_itself_what_it_is_written_for_follows_nobody(tmp_path: Path) -> None:
    own = 'written_for:\n  - {when: "lantern.paper in [tin]", otherwise: The hill speaks of tin.}\n'
    checker = by_guild(tmp_path, own)
    assert {"guild"} == set(left_out(checker, lit=False, paper="tin"))
    assert {"hill"} == set(left_out(checker, paper="oiled"))


def test_a_rule_that_holds_beyond_is_judged(tmp_path: Path) -> None:
    checker = by_guild(tmp_path, beyond="lit-lantern-high-enough")
    assert "lit-lantern-high-enough" not in left_out(checker, lit=False).get("guild", ())


def test_what_is_not_known_of_the_job_is_said_and_every_rule_is_judged(tmp_path: Path) -> None:
    report = by_guild(tmp_path).check_job(lantern(lit={"not_known": "dark"}), ON)
    assert () == report.not_judged
    assert any(note.startswith("Not recorded: lit. The guild speaks") for note in report.notes)


TIN = (
    'written_for:\n  - {when: "lantern.paper in [tin]", otherwise: It is for tin., only: [asked-by-line-high-enough]}\n'
)


def test_a_line_about_some_rules_only_leaves_them_out_and_judges_the_rest(tmp_path: Path) -> None:
    checker = by_guild(tmp_path, TIN)
    found = {}
    for paper in ("tin", "oiled"):
        report = checker.check_job(lantern(paper=paper), ON)
        assert () == report.not_judged
        found[paper] = {finding.rule for finding in report.findings if finding.ruleset == "hill"}
    assert found["tin"] - found["oiled"] == {"asked-by-line-high-enough"}
    assert found["oiled"]
    assert {"guild", "hill"} == set(left_out(checker, paper="oiled", lit=False)), "it still follows the code"
    assert ("It is for tin.",) == checker.why_left_out(lantern(paper="oiled"), "asked-by-line-high-enough", ON)
    assert () == checker.why_left_out(lantern(paper="tin"), "asked-by-line-high-enough", ON)


def test_a_line_about_some_rules_whose_fact_is_not_known_judges_them_and_says_so(tmp_path: Path) -> None:
    report = by_guild(tmp_path, TIN).check_job(lantern(paper={"not_known": "dark"}), ON)
    assert "asked-by-line-high-enough" in {finding.rule for finding in report.findings}
    assert any(note.endswith("It is for tin.") for note in report.notes)


def test_a_line_about_a_rule_that_is_none_is_told(tmp_path: Path) -> None:
    checker = by_guild(tmp_path, TIN.replace("asked-by-line-high-enough", "asked-by-line-high"))
    told = [problem.what for problem in linter.problems(checker)]
    assert any("'asked-by-line-high' is not a rule of this ruleset" in what for what in told)
