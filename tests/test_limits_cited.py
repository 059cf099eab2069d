"""Who set a limit, and where that stands, in every form of report: counties, states, groups and answers of the authority.

What is expected is written out from the invented ordinances, acts, letters and handbooks; none is read out of a report.
"""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import Any, NamedTuple

import jsonschema_rs
import pytest

from checker.authoring import cases, explain
from checker.engine.checker import Checker
from checker.fieldwork import sheet_page
from checker.fieldwork.prep import prepare
from checker.fieldwork.sheet import sheet
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.problems.problem import ProblemsFound, Where
from checker.reading.files import read_text
from checker.reading.job import Job, load
from checker.reading.job_schema import job_vocabulary
from checker.reporting import json as as_json
from checker.reporting import page, text
from checker.reporting.form import Judged
from checker.reporting.forms import form
from checker.reporting.totals import Totals, share
from checker.rulesets.layering import effective, meaning_of
from checker.rulesets.library import open_library
from tests.support.rulesets import ON, TINY

MANY = ("jsonl", "csv", "junit", "sarif", "markdown")
REPORT = jsonschema_rs.Draft202012Validator(
    json.loads((Path(__file__).parent.parent / "schemas" / "report.schema.json").read_text())
)


def told(checker: Checker, job: Job, report: Report) -> dict[str, str]:
    """A report in its eight forms, each on one line and without the signs that a form puts before others."""
    found = {
        "text": text.render(report),
        "page": page.render(report, job, None),
        "json": as_json.render([report]),
    }
    judged = Judged(report, job, "job.json", checker, lambda _: Where("job.json"))
    totals = Totals()
    totals.add(share(report, 0))
    for name in MANY:
        one = form(name, everything=True)
        body = one.begin() + one.tell(one.once(judged)) + one.add(one.job(judged), True)
        found[name] = body + one.end(totals, checker, True)
    return {name: " ".join(said.replace("\\", "").replace("&#39;", "'").split()) for name, said in found.items()}


# --- the shipped layers ----------------------------------------------------------------------------------------------


class Layered(NamedTuple):
    """A limit that a layer set: in which rule it tells, its value, the section it stands in, and what it was before."""

    ruleset: str
    rule: str
    limit: str
    section: tuple[str, ...]
    before: str


# Alder County ordinances 2026-07 and 2018-41, Sorrel County ordinance 702, Larch act 2023-7, the Millrace handbook, and the
# letter of Alder County's building office: rulesets/jurisdictions, rulesets/states, rulesets/groups.
LAYERED = [
    Layered("alder-county", "disconnect-fitted-in-sight", "county_farthest_disconnect",
            ("Alder County ordinance", "2026-07 section 4"), "50 ft"),
    Layered("alder-county", "permit-before-work", "holidays", ("Alder County ordinance", "2018-41 section 2"), ""),
    Layered("alder-county", "permit-before-work", "office_calendar", ("Alder County ordinance", "2018-41 section 2"),
            "job"),
    Layered("alder-county", "service-receptacle-near", "premises_rules_on_replacement",
            ("Alder County building office (W. Garrick), 2026-03-04", "letter B-2026-0112"), ""),
    Layered("larch-state", "co-alarms-where-this-work-calls-for-them", "co_alarm_trigger",
            ("Larch act", "2023-7 section 4"), "fuel burning work"),
    Layered("sorrel-county", "umc-drain-ends-where-it-may", "umc_drain_end_elsewhere",
            ("Sorrel County ordinance", "702 section 12"), ""),
    Layered("millrace-group", "evacuation-level", "group_evacuation_level", ("Millrace Group handbook", "4.2"), ""),
    Layered("millrace-group", "evacuation-level-usual", "group_evacuation_level", ("Millrace Group handbook", "4.2"),
            "500 micron"),
]  # fmt: skip


def test_every_limit_that_a_shipped_layer_changes_fills_or_brings_into_a_rule_is_named_here(shipped: Checker) -> None:
    limits = {name for ruleset in shipped.library.rulesets.values() for name in ruleset.limits}
    changed: set[tuple[str, str]] = set()
    for ruleset in shipped.library.rulesets.values():
        changed |= {(ruleset.id, name) for name in ruleset.amend if name in limits}
        changed |= {(ruleset.id, name) for answer in ruleset.answers.values() for name in answer.values}
        written = str([change.set.get("require") for change in ruleset.amend.values()])
        changed |= {(ruleset.id, name) for name in ruleset.limits if name in written}
    assert changed == {(one.ruleset, one.limit) for one in LAYERED}


# What the layers' own cases leave out: a job that meets the limit.
MET: dict[str, dict[str, Any]] = {
    "premises_rules_on_replacement": {
        "site": {"jurisdiction": "xx-alder"},
        "dates": {"permit_applied": "2026-03-04"},
        "scope": {"outdoor_unit": True, "relocated_outdoor": False, "relocated_indoor": False},
        "service_receptacle": {"fitted": True, "distance": "12 ft", "same_level": True, "ahead_of_disconnect": True},
    },
    "co_alarm_trigger": {
        "site": {"jurisdiction": "xx-larch"},
        "dates": {"permit_applied": "2025-01-01"},
        "permit": {"obtained": True},
        "dwelling": {"garage_attached": True, "co_alarm_outside_bedrooms": True},
    },
}


class Told(NamedTuple):
    """A finding at a limit that a layer set, and its report with nothing else in it."""

    finding: Finding
    checker: Checker
    job: Job
    report: Report


@functools.cache
def at_its_limit(shipped: Checker, one: Layered) -> list[Told]:
    """What the cases of a layer, and the job that meets it, come to where the layer's limit holds."""
    jobs, found = [], []
    for case in cases.stated(shipped.library.rulesets[one.ruleset]):
        if case.rule == one.rule and case.case.expect in ("pass", "fail"):
            its = cases.checker_for(shipped, shipped.library.rulesets[one.ruleset])
            jobs.append((its, cases.loaded(its, case), case.case.editions))
    if one.limit in MET:
        document = read_text(json.dumps({"job_id": "a", "schema_version": 1} | MET[one.limit]).encode(), "a.json")
        jobs.append((shipped, load(document, shipped.vocabulary), {}))
    for its, job, editions in jobs:
        report = its.check_job(job, cases.ON)
        for finding in its.rule_on(job, one.rule, editions, cases.ON):
            if any(limit.name == one.limit and limit.set_by.ruleset == one.ruleset for limit in finding.limits):
                found.append(Told(finding, its, job, report._replace(findings=(finding,))))
    return found


each_layered = pytest.mark.parametrize(
    "one",
    [pytest.param(one, marks=[pytest.mark.long] if number > 3 else []) for number, one in enumerate(LAYERED)],
    ids=[f"{one.rule} {one.limit}" for one in LAYERED],
)


@each_layered
def test_a_limit_that_a_layer_set_is_cited_to_it_in_every_form(shipped: Checker, one: Layered) -> None:
    outcomes = set()
    for finding, its, job, report in at_its_limit(shipped, one):
        (limit,) = (limit for limit in finding.limits if limit.name == one.limit)
        assert one.before == (limit.instead_of.value if limit.instead_of else "")
        outcomes.add(finding.outcome)
        for name, said in told(its, job, report).items():
            missing = [part for part in one.section if part not in said]
            assert not missing, f"{name}, {finding.outcome}: {said}"
    assert {"pass", "fail"} == outcomes


@each_layered
def test_the_json_of_a_limit_names_its_layer_and_fits_the_schema(shipped: Checker, one: Layered) -> None:
    for _, _, _, report in at_its_limit(shipped, one):
        data = json.loads(as_json.render([report]))
        REPORT.validate(data)
        (rules,) = data["rules"].values()
        set_by = rules[one.rule]["set_by"][one.limit]
        assert one.ruleset == set_by["ruleset"]
        assert one.section in [(part["document"], part["section"]) for part in set_by["citations"]]


def test_an_amended_rule_is_cited_to_the_ordinance_beside_the_section_that_it_changes(shipped: Checker) -> None:
    first, *_ = at_its_limit(shipped, LAYERED[0])
    documents = [(one.document, one.section) for one in first.finding.citations]
    assert [
        ("NEC", "440.14, Article 100 (in sight from)"), ("Alder County ordinance", "2026-07 section 4"),
    ] == documents  # fmt: skip
    assert first.finding.title.endswith("within 25 ft"), "the amended title follows the amended limit"


def test_a_limit_is_told_beside_the_reading_with_what_it_was(shipped: Checker) -> None:
    beside = "25 ft (Alder County ordinance, 2026-07 section 4, in place of 50 ft, NEC Article 100"
    for finding, its, job, report in at_its_limit(shipped, LAYERED[0]):
        if finding.outcome == "fail" and "25.1 ft" in finding.message:
            said = told(its, job, report)
            assert {"text", "page", "csv", "junit", "sarif", "markdown"} <= {
                name for name, text in said.items() if beside in text
            }
            return
    raise AssertionError("no job fails by its distance")


def test_a_limit_of_the_code_itself_is_told_once_by_its_section(shipped: Checker) -> None:
    job = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": "xx-sorrel"},
           "dates": {"permit_issued": "2026-05-04"},
           "circuits": [{"key": "c", "serves": "outdoor_unit",
                         "disconnect": {"fitted": True, "in_sight": True, "distance": "51 ft"}}]}  # fmt: skip
    loaded = load(read_text(json.dumps(job).encode(), "a.json"), shipped.vocabulary)
    report = shipped.check_job(loaded, ON)
    (finding,) = (one for one in report.findings if one.rule == "disconnect-fitted-in-sight")
    (limit,) = finding.limits
    assert ("nec", "50 ft", True, None) == (limit.set_by.ruleset, limit.value, limit.own, limit.instead_of)
    said = text.render(report._replace(findings=(finding,)))
    assert "in place of" not in said
    assert "Limit:" not in said


def test_explain_and_the_sheet_and_the_plan_tell_who_set_a_limit(shipped: Checker) -> None:
    data = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": "xx-alder"},
            "dates": {"permit_applied": "2026-08-03"}, "scope": {"outdoor_unit": True},
            "circuits": [{"key": "c", "serves": "outdoor_unit"}]}  # fmt: skip
    document = read_text(json.dumps(data).encode(), "a.json")
    job = load(document, shipped.vocabulary)
    section = "Alder County ordinance, 2026-07 section 4, in place of 50 ft"
    page_of_sheet = sheet_page.render(sheet(shipped, document, lambda one: load(one, shipped.vocabulary), ON))
    assert section in page_of_sheet
    lines = [line.text for part in prepare(shipped, job, ON).sections for line in part.lines]
    assert any(section in line for line in lines)
    rule = "disconnect-fitted-in-sight"
    assert section in explain.working_text(shipped, job, rule, ON)
    assert "Changed by alder-county: Alder County ordinance 2026-07 section 4" in explain.rule_text(
        shipped, "xx-alder", rule, ON.toordinal()
    )


# --- two rulesets with a document of one name ------------------------------------------------------------------------

HEAD = """id: {id}
version: 1.0.0
title: {title} (invented)
owner: {title} (invented)
owner_kind: local
uses: {{{uses}: ">=1.0, <2"}}
covers: [{covers}]
reviewed_through: 2030-01-01
documents: {{ordinance: {title} ordinance}}
"""
SURE = "section_sure: checked, requirement_sure: checked"
COUNTY = f"""limits:
  county_height:
    title: Least height in the county
    unit: ft
    values:
      - {{value: "9", document: ordinance, source: "11", sure: checked}}
rules:
  county-height:
    title: A lantern in the county hangs high enough
    topic: hanging
    obligation: shall
    intent: Carts pass under it.
    citation: [{{document: ordinance, section: "11", {SURE}}}]
    require: [lantern.height >= county_height]
    on_fail: "{{lantern.height}}; {{county_height}} is the least."
    cases: [{{name: at the limit, given: {{lantern.height: 9 ft}}, expect: pass}}]
"""
TOWN = f"""limits:
  town_height:
    title: Least height in the town
    unit: ft
    values:
      - {{value: "12", document: ordinance, source: "22", sure: checked}}
amend:
  county-height:
    reason: Wagons are taller here.
    citation: [{{document: ordinance, section: "21", {SURE}}}]
    meaning: {{any: 0000000000000000}}
    direction: stricter
    set: {{require: [lantern.height >= town_height], on_fail: "{{lantern.height}}; {{town_height}} is the least."}}
"""
TOWN_ON_LIMIT = f"""amend:
  county_height:
    reason: Wagons are taller here.
    citation: [{{document: ordinance, section: "23", {SURE}}}]
    meaning: {{any: 0000000000000000}}
    direction: stricter
    set:
      values: [{{value: "12", source: Ordinance 23, sure: checked}}]
"""


def layers(folder: Path, town: str) -> Checker:
    """A county and a town, each with an ordinance of its own; the town's change names what the county's rule means."""
    for name, title, uses, covers, body in (
        ("county", "Reed County", "guild", "xx-reed", COUNTY), ("town", "Town of Tarn", "county", "xx-tarn", town),
    ):  # fmt: skip
        place = folder / name
        place.mkdir(exist_ok=True)
        (place / "ruleset.yaml").write_text(HEAD.format(id=name, title=title, uses=uses, covers=covers))
        (place / "rules.yaml").write_text(body)
    opened = open_library([TINY / "rulesets", folder])
    return Checker(opened, job_vocabulary(TINY / "job.schema.json"))


def with_meaning(folder: Path, town: str, section: str, name: str) -> Checker:
    one = layers(folder, "limits: {}\n")
    chain = one.chain("xx-tarn")
    meant = meaning_of(chain, effective(chain, section, name, {}, 1), "any")
    return layers(folder, town.replace("0" * 16, meant))


def at_height(one: Checker, place: str, height: str) -> tuple[Finding, dict[str, str]]:
    data = {"job_id": "a", "schema_version": 1, "site": {"jurisdiction": place}, "lantern": {"height": height}}
    job = load(read_text(json.dumps(data).encode(), "a.json"), one.vocabulary)
    report = one.check_job(job, ON)
    (finding,) = (one for one in report.findings if one.rule == "county-height")
    return finding, told(one, job, report._replace(findings=(finding,)))


def test_a_key_of_a_document_is_that_of_the_ruleset_that_cites(tmp_path: Path) -> None:
    one = with_meaning(tmp_path, TOWN, "rules", "county-height")
    finding, said = at_height(one, "xx-tarn", "11 ft")
    assert "fail" == finding.outcome
    cited = [("Reed County ordinance", "11"), ("Town of Tarn ordinance", "21")]
    assert cited == [(part.document, part.section) for part in finding.citations]
    for name, words in said.items():
        assert "Town of Tarn ordinance" in words, name
        assert "Reed County ordinance" in words, name
    assert "11 ft ≥ 12 ft (Town of Tarn ordinance, 22, in place of 9 ft, Reed County ordinance, 11)" in said["text"]
    below, said = at_height(one, "xx-reed", "11 ft")
    assert "pass" == below.outcome
    assert not any("Tarn" in words for words in said.values()), "the county's own place knows nothing of the town"


def test_so_is_that_of_a_limit_which_a_layer_changes(tmp_path: Path) -> None:
    one = with_meaning(tmp_path, TOWN_ON_LIMIT, "limits", "county_height")
    for height, outcome in (("11 ft", "fail"), ("12 ft", "pass")):
        finding, said = at_height(one, "xx-tarn", height)
        assert outcome == finding.outcome
        (limit,) = finding.limits
        assert [("Town of Tarn ordinance", "23")] == [(part.document, part.section) for part in limit.set_by.citations]
        assert limit.instead_of
        below = [(part.document, part.section) for part in limit.instead_of.set_by.citations]
        assert ("9 ft", "county", [("Reed County ordinance", "11")]) == (
            limit.instead_of.value, limit.instead_of.set_by.ruleset, below,
        )  # fmt: skip
        for name, words in said.items():
            assert "Town of Tarn ordinance, 23" in words or name in ("json", "jsonl"), name


def test_a_layer_that_leaves_a_value_as_it_was_did_not_set_it(tmp_path: Path) -> None:
    same = TOWN_ON_LIMIT.replace('value: "12"', 'value: "9"').replace("set:", "set:\n      title: As in the county")
    one = with_meaning(tmp_path, same, "limits", "county_height")
    finding, _ = at_height(one, "xx-tarn", "11 ft")
    (limit,) = finding.limits
    assert ("county", True, None, "As in the county") == (
        limit.set_by.ruleset, limit.own, limit.instead_of, limit.title,
    )  # fmt: skip


def test_a_limit_without_a_document_names_its_ruleset(tmp_path: Path) -> None:
    without = TOWN.replace('document: ordinance, source: "22"', "source: the clerk's table")
    one = with_meaning(tmp_path, without, "rules", "county-height")
    _, said = at_height(one, "xx-tarn", "11 ft")
    for name in ("text", "page", "csv", "junit", "sarif", "markdown"):
        assert "the clerk's table, set by town, in place of 9 ft" in said[name], name


def test_what_a_change_cites_is_no_part_of_what_a_finding_means(tmp_path: Path) -> None:
    """An acceptance holds on to the evidence: it does not lapse because a section was written otherwise."""
    one = with_meaning(tmp_path, TOWN, "rules", "county-height")
    before, _ = at_height(one, "xx-tarn", "11 ft")
    other = TOWN.replace('section: "21"', 'section: "21 (b)"').replace('source: "22"', 'source: "22 (b)"')
    (tmp_path / "again").mkdir()
    after, _ = at_height(with_meaning(tmp_path / "again", other, "rules", "county-height"), "xx-tarn", "11 ft")
    assert before.citations != after.citations
    assert (before.finding_id, before.evidence_digest) == (after.finding_id, after.evidence_digest)


def test_an_unknown_document_of_a_change_is_told_where_it_stands(tmp_path: Path) -> None:
    wrong = TOWN.replace('document: ordinance, section: "21"', 'document: ordnance, section: "21"')
    one = with_meaning(tmp_path, wrong, "rules", "county-height")
    with pytest.raises(ProblemsFound) as found:
        at_height(one, "xx-tarn", "11 ft")
    (problem,) = found.value.problems
    assert str(problem.where.file).endswith("town/rules.yaml")
    assert "'ordnance' is not a document that town names." == problem.what
    assert "ordinance" in problem.hint


def test_a_change_nobody_is_sure_of_gives_no_firm_outcome(tmp_path: Path) -> None:
    """As a doubtful section of the rule's own does; one that only words the rule anew changes nothing of that."""
    doubtful = TOWN.replace('section: "21", section_sure: checked, requirement_sure: checked',
                            'section: "21", section_sure: checked, requirement_sure: doubtful')  # fmt: skip
    finding, _ = at_height(with_meaning(tmp_path, doubtful, "rules", "county-height"), "xx-tarn", "11 ft")
    assert ("verify_locally", "authority_decides") == (finding.outcome, finding.reason)
    worded = doubtful.replace("require: [lantern.height >= town_height], ", "").replace(
        "{town_height}", "{county_height}"
    )
    (tmp_path / "worded").mkdir()
    finding, _ = at_height(with_meaning(tmp_path / "worded", worded, "rules", "county-height"), "xx-tarn", "8 ft")
    assert "fail" == finding.outcome
