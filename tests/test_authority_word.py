"""What the authority wants is in its ruleset, or in a written answer that the job records; the crew's own word is neither.

IRC R105.1 asks for a permit for mechanical work; R105.2 exempts no split system (both read). That the office may write that
it needs none is its right under R104.1. Names, days and letters are invented.
"""

from __future__ import annotations

import copy
import html
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.reading.files import read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reporting import page as as_page
from checker.rulesets.layering import effective, meaning_of
from checker.rulesets.library import SHIPPED, open_library
from tests.support.jobs import whole_job
from tests.support.places import county_on_the_irc
from tests.support.rulesets import ON, Judge

ROOT = Path(__file__).parent.parent
JOBS = sorted(
    [*ROOT.glob("examples/jobs/*.json"), *ROOT.glob("examples/archive/*.json"), *ROOT.glob("tests/jobs/*.json")]
)
CLEAN = json.loads((ROOT / "examples/jobs/01-clean.json").read_text())
WRITTEN = {
    "key": "no permit",
    "rule": "permit-obtained",
    "answer": "no",
    "in_words": "no permit needed",
    "told_by": "J. Roe, building office",
    "on": "2026-04-02",
    "reference": "e-mail 12",
}
NONE_YET = {"obtained": False, "required_by_authority": False}
FORMS = ("text", "json", "jsonl", "csv", "junit", "sarif", "markdown")


def without_permit(*answers: dict[str, Any]) -> dict[str, Any]:
    job: dict[str, Any] = copy.deepcopy(CLEAN)
    return job | {"permit": NONE_YET, "authority_answers": list(answers)}


def outcome(report: Report, rule: str) -> str:
    return next((finding.outcome for finding in report.findings if finding.rule == rule), "does_not_apply")


def test_a_split_system_replaced_without_a_permit_fails_whatever_the_crew_was_told(judge: Judge) -> None:
    report = judge(without_permit())
    assert "fail" == outcome(report, "permit-obtained")
    assert 1 == report.exit_code(strict=False)


def test_a_written_answer_of_the_office_meets_it_and_says_whose_it_is(judge: Judge) -> None:
    report = judge(without_permit(WRITTEN))
    assert "pass" == outcome(report, "permit-obtained")
    notes = [note for finding in report.findings if finding.rule == "permit-obtained" for note in finding.notes]
    assert ["Settled by J. Roe, building office, 2026-04-02, e-mail 12 (answer in this job): no permit needed"] == notes


@pytest.mark.parametrize("form", FORMS)
def test_every_form_of_report_says_whose_answer_it_is(form: str, tmp_path: Path) -> None:
    file = tmp_path / "job.json"
    file.write_text(json.dumps(without_permit(WRITTEN)))
    written = CliRunner().invoke(main, ["check", str(file), "--format", form]).stdout
    assert_whose(written)


def test_the_page_says_whose_answer_it_is(shipped: Checker, tmp_path: Path) -> None:
    job = load(read_text(json.dumps(without_permit(WRITTEN)).encode(), "job.json"), shipped.vocabulary)
    assert_whose(html.unescape(as_page.render(shipped.check_job(job, ON), job, tmp_path)))


def assert_whose(written: str) -> None:
    for part in ("J. Roe, building office", "2026-04-02", "e-mail 12", "no permit needed"):
        assert part in " ".join(written.replace("\\", "").split())


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"told_by": None}, "it lacks who answered"),
        ({"on": None}, "it lacks the day it was given"),
        ({"reference": None}, "it lacks where it is written"),
        ({"told_by": None, "reference": None}, "it lacks who answered and where it is written"),
        ({"on": "2026-11-26"}, "it was given on 2026-11-26, after the day of this check"),
        ({"answer": "perhaps"}, "'perhaps' is none of the answers to its question (yes or no)"),
        ({"rule": "permit-obtaind"}, "no rule here is called 'permit-obtaind' (Did you mean 'permit-obtained'?)"),
        ({"rule": "disconnect-fitted-in-sight"}, "'disconnect-fitted-in-sight' leaves nothing to an answer"),
    ],
    ids=str,
)
def test_an_answer_that_lacks_something_changes_nothing_and_is_told(
    change: dict[str, Any], why: str, judge: Judge
) -> None:
    answer = {name: value for name, value in (WRITTEN | change).items() if value is not None}
    report = judge(without_permit(answer), ON)
    assert "fail" == outcome(report, "permit-obtained")
    assert f"The authority's answer 'no permit' does not count: {why}." in report.notes


def test_an_answer_that_a_permit_is_needed_leaves_the_failure(judge: Judge) -> None:
    assert "fail" == outcome(judge(without_permit(WRITTEN | {"answer": "yes"})), "permit-obtained")


def test_an_answer_settles_one_job_and_no_other(shipped: Checker) -> None:
    jobs = [load(read_text(json.dumps(one).encode(), "job.json"), shipped.vocabulary)
            for one in (without_permit(WRITTEN), without_permit(), without_permit(WRITTEN))]  # fmt: skip
    assert ["pass", "fail", "pass"] == [outcome(shipped.check_job(job, ON), "permit-obtained") for job in jobs]
    rows = [{name: said for row in shipped.outcomes(job, ON) for name, said in zip(row.rules, row.outcomes, strict=True)}
            for job in jobs]  # fmt: skip
    assert ["pass", "fail", "pass"] == [row["permit-obtained"] for row in rows]


# --- a place's own exemption ------------------------------------------------------------------------------------------

COUNTY = county_on_the_irc("fern", "Fern County (invented)", "2020-01-01")
EXEMPTION = """withdraw:
  permit-obtained:
    reason: A like-for-like exchange is done on a registered contractor's yearly permit.
    citation: [{{document: ordinance, section: "7-3", section_sure: checked, requirement_sure: checked}}]
    meaning: {{"2021": {meaning}}}
"""


def test_a_county_withdraws_the_permit_with_a_citation_that_is_printed(tmp_path: Path) -> None:
    (tmp_path / "fern").mkdir()
    (tmp_path / "fern" / "ruleset.yaml").write_text(COUNTY)
    before = Checker(open_library([SHIPPED, tmp_path]), job_vocabulary())
    job = load(read_text(json.dumps(_in_fern()).encode(), "job.json"), before.vocabulary)
    assert "fail" == outcome(before.check_job(job, ON), "permit-obtained")
    chain = before.chain("xx-fern")
    editions = {"irc-mechanical": "2021"}
    meaning = meaning_of(chain, effective(chain, "rules", "permit-obtained", editions, ON.toordinal()), "2021")
    (tmp_path / "fern" / "permit.yaml").write_text(EXEMPTION.format(meaning=meaning))
    after = Checker(open_library([SHIPPED, tmp_path]), job_vocabulary())
    report = after.check_job(load(read_text(json.dumps(_in_fern()).encode(), "job.json"), after.vocabulary), ON)
    assert "does_not_apply" == outcome(report, "permit-obtained")
    said = [note for note in report.notes if "Permit for the replacement" in note]
    assert 1 == len(said)
    assert "Withdrawn by fern-county (Fern County ordinance, 7-3): A like-for-like exchange" in said[0]


def _in_fern() -> dict[str, Any]:
    job = without_permit()
    return job | {"site": job["site"] | {"jurisdiction": "xx-fern"}}


# --- every rule, every job --------------------------------------------------------------------------------------------


def _set(job: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    changed: dict[str, Any] = copy.deepcopy(job)
    at = changed
    *around, last = path.split(".")
    for name in around:
        at = at.setdefault(name, {})
    at[last] = value
    return changed


def _words(shipped: Checker) -> list[tuple[str, Any]]:
    """Every value of every single fact that only reports the authority's word."""
    found: list[tuple[str, Any]] = []
    for leaf in shipped.vocabulary.leaves.values():
        if leaf.word_of and not any(leaf.path.startswith(f"{path}.") for path in shipped.vocabulary.lists):
            values = leaf.word_of_values or ((True, False) if leaf.form == "flag" else leaf.possible)
            found += [(leaf.path, value) for value in values]
    return found


def test_some_facts_are_marked_as_the_authoritys_word(shipped: Checker) -> None:
    assert {("permit.required_by_authority", False), ("permit.inspection_before_cover", "not_asked_for")} <= set(
        _words(shipped)
    )


@pytest.mark.parametrize("part", [0, *(pytest.param(n, marks=pytest.mark.long) for n in range(1, 5))])
def test_no_shall_passes_or_goes_away_by_what_a_job_says_that_the_authority_wants(shipped: Checker, part: int) -> None:
    """A rule that is open or fails without the word does so with it; every fifth job."""
    words = _words(shipped)
    for file in JOBS[part::5]:
        base = whole_job(file)
        silent = {path: _outcomes(shipped, _set(base, path, {"not_known": "nobody asked"})) for path in dict(words)}
        for path, value in words:
            told = _outcomes(shipped, _set(base, path, value))
            for key, was in silent[path].items():
                if was in ("fail", "verify_locally"):
                    assert told.get(key) in ("fail", "verify_locally"), (file.stem, path, value, key)


def _outcomes(shipped: Checker, data: dict[str, Any]) -> dict[tuple[str, str], str]:
    """The outcomes of rules that are a duty."""
    rulesets = shipped.library.rulesets.values()
    duties = {name for ruleset in rulesets for name, rule in ruleset.rules.items() if rule.obligation == "shall"}
    rows = shipped.outcomes(load(read_text(json.dumps(data).encode(), "job.json"), shipped.vocabulary), ON)
    found = [(rule, row.item, said) for row in rows for rule, said in zip(row.rules, row.outcomes, strict=True)]
    return {(rule, item): said for rule, item, said in found if rule in duties}
