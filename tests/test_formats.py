"""The forms of a report for many jobs: each valid by its own standard, all of one count, hostile words inert in each.

Standards: the OASIS schema of SARIF 2.1.0 as the npm package @microsoft/sarif-multitool-linux 5.7.0 carries it (MIT), and the
schema of JUnit reports (junit-10.xsd, MIT) as the source package of pytest 8.3.5 carries it; both under tests/standards.
CSV: RFC 4180, from memory. Markdown is read by markdown-it, JUnit by junitparser too.
"""

from __future__ import annotations

import csv
import gzip
import html
import io
import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from junitparser import JUnitXml, TestCase
from markdown_it import MarkdownIt
from xmlschema import XMLSchema

from checker.batch.sources import Item, document
from checker.engine import startup
from checker.engine.checker import Checker
from checker.findings.report import DEFERRAL
from checker.problems.problem import Problem, Where
from checker.reporting import sarif_frame
from checker.reporting.forms import FORMS
from tests.support.many_jobs import BELLS, HOSTILE, bell, hostile_items, item, job_files, job_lines, small, told
from tests.support.rulesets import ON
from tests.support.sarif import sarif_faults

STANDARDS = Path(__file__).parent / "standards"
REPORT = json.loads((Path(__file__).parent.parent / "schemas" / "report.schema.json").read_text())
NEVER = re.compile(r"\b(approved|compliant|certified)\b", re.IGNORECASE)


def results(text: str) -> list[dict[str, Any]]:
    return json.loads(text)["runs"][0]["results"]


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def cases(text: str) -> list[TestCase]:
    return [case for suite in JUnitXml.fromstring(text.encode()) for case in suite]


def outcome(case: TestCase) -> str:
    return str(case.result[0].type) if case.result else "pass"


@pytest.fixture(scope="module")
def forms(shipped: Checker) -> dict[str, str]:
    """The worked jobs, and one that cannot be read, told in every form."""
    jobs = [*job_files(), item({"job_id": 7}, "bad.json")]
    return {name: told(shipped, name, jobs)[0] for name in FORMS}


@pytest.fixture(scope="module")
def everything(shipped: Checker) -> str:
    """The worked jobs as SARIF, with what passed and what did not apply."""
    return told(shipped, "sarif", job_files(), everything=True)[0]


# --- counts ----------------------------------------------------------------------------------------------------------


@pytest.mark.long
def test_every_form_counts_the_same_outcomes(forms: dict[str, str], everything: str) -> None:
    jobs = json.loads(forms["json"])["jobs"]
    expected = Counter(finding["outcome"] for job in jobs for finding in job["findings"])
    assert {"pass", "fail", "verify_locally"} == set(expected), "the worked jobs have all three"
    lines = job_lines(forms["jsonl"])
    assert expected == Counter(finding["outcome"] for job in lines for finding in job.get("findings", ()))
    unread = "not_looked_at"  # facts, not findings
    assert {**expected, "unreadable": 1} == Counter(r["outcome"] for r in rows(forms["csv"]) if r["outcome"] != unread)
    assert {**expected, "unreadable": 1} == Counter(o for o in map(outcome, cases(forms["junit"])) if o != unread)
    told_of = [one["properties"]["outcome"] for one in results(forms["sarif"]) if "fingerprints" in one]
    assert {name: count for name, count in expected.items() if name != "pass"} == Counter(told_of)
    assert expected == Counter(one["properties"]["outcome"] for one in results(everything) if "fingerprints" in one)
    table = re.search(r"^\| (\d+) \| (\d+) \| \d+ \| (\d+) \| (\d+) \| (\d+) \|$", forms["markdown"], re.MULTILINE)
    assert table
    assert (len(jobs), 1, expected["pass"], expected["fail"], expected["verify_locally"]) == tuple(
        map(int, table.groups())
    )


def test_the_totals_of_a_run_are_those_of_its_reports(shipped: Checker) -> None:
    text, totals, _ = told(shipped, "json", [*job_files(), item({}, "bad.json")])
    jobs = json.loads(text)["jobs"]
    assert Counter(f["outcome"] for job in jobs for f in job["findings"]) == Counter(totals.outcomes())
    assert (len(jobs), 1) == (totals.jobs, totals.unreadable)
    fix = Counter(
        f["rule"] for job in jobs for f in job["findings"] if f["outcome"] == "fail" and not f.get("acceptance")
    )
    assert sum(fix.values()) == sum(jobs for _, _, jobs in totals.most_often()), "each at most once a job here"


@pytest.mark.parametrize("name", FORMS)
def test_every_form_says_who_decides_and_claims_nothing(forms: dict[str, str], name: str) -> None:
    words = " ".join(forms[name].replace("&#64;", "@").split())
    assert DEFERRAL in words or "The authority having jurisdiction decides." in words
    assert not NEVER.search(words.replace("EPA-certified", ""))


# --- each by its standard --------------------------------------------------------------------------------------------


def test_json_is_of_the_schema(forms: dict[str, str]) -> None:
    jsonschema_rs.Draft202012Validator(REPORT).validate(json.loads(forms["json"]))


def test_each_line_is_of_the_schema_and_each_rule_is_told_once_before_the_first_job_that_names_it(
    forms: dict[str, str],
) -> None:
    valid = jsonschema_rs.Draft202012Validator(REPORT)
    known: set[tuple[str, str]] = set()
    for line in map(json.loads, forms["jsonl"].splitlines()):
        valid.validate(line)
        new = [(key, rule) for key, rules in line.get("rules", {}).items() for rule in rules]
        assert not known & set(new)
        known |= set(new)
        assert {(line.get("rulebook"), one["rule"]) for one in line.get("findings", ())} <= known
    assert known == {(key, rule) for key, rules in json.loads(forms["json"])["rules"].items() for rule in rules}


def test_a_clean_job_is_at_most_30_kb_beside_its_rules(forms: dict[str, str]) -> None:
    """The bound is a wish of those who keep thousands of reports."""
    clean = next(
        line for line in forms["jsonl"].splitlines() if '"file":"examples/jobs/01-clean.json"' in line
    ).encode()
    assert len(json.loads(clean)["findings"]) > 150
    assert len(clean) <= 30_000
    assert len(gzip.compress(clean)) <= 6_500


def test_no_job_is_a_json_document_too(shipped: Checker) -> None:
    assert [] == json.loads(told(shipped, "json", [])[0])["jobs"]


def test_a_line_of_json_lines_is_a_job_of_the_json_report(forms: dict[str, str]) -> None:
    lines = job_lines(forms["jsonl"])
    assert json.loads(forms["json"])["jobs"] == [
        {name: said for name, said in line.items() if name not in ("report_version", "deferral")} for line in lines[:-1]
    ]
    assert ["bad.json"] == [line["file"] for line in lines if "unreadable" in line]


def test_json_lines_tell_of_files_whose_names_are_no_utf8(shipped: Checker) -> None:
    jobs = [item(small("a"), "a\udcff.json"), item({"job_id": 7}, "b\udcff.json")]
    text = told(shipped, "jsonl", jobs)[0].encode("utf-8", "backslashreplace").decode()
    first, second = job_lines(text)
    assert ["a\udcff.json", "b\udcff.json"] == [first["file"], second["file"]]
    assert json.loads(told(shipped, "json", jobs[:1])[0])["jobs"][0]["findings"] == first["findings"]


def test_csv_is_read_back_with_a_row_of_all_columns_for_each_finding(forms: dict[str, str]) -> None:
    found = rows(forms["csv"])
    assert all(None not in row and None not in row.values() for row in found), "each row has every column, and no more"
    assert forms["csv"].endswith("\r\n"), "lines end as RFC 4180 has it"
    (fail,) = (row for row in found if row["outcome"] == "fail" and row["rule"] == "overcurrent-within-nameplate")
    assert ("condenser", "no") == (fail["item"], fail["life_safety"])
    assert "45 A ≤ 20 A" in fail["comparison"]


def test_junit_is_valid_and_a_suite_counts_its_cases(forms: dict[str, str]) -> None:
    XMLSchema(str(STANDARDS / "junit-10.xsd")).validate(forms["junit"])
    for suite in JUnitXml.fromstring(forms["junit"].encode()):
        got = Counter(type(case.result[0]).__name__ if case.result else "" for case in suite)
        assert (suite.tests, suite.failures, suite.errors, suite.skipped) == (
            sum(got.values()), got["Failure"], got["Error"], got["Skipped"],
        )  # fmt: skip


def test_junit_skips_what_is_to_be_verified_with_its_reason_and_what_was_accepted(forms: dict[str, str]) -> None:
    found = cases(forms["junit"])
    (accepted,) = (case for case in found if outcome(case) == "fail" and type(case.result[0]).__name__ == "Skipped")
    assert accepted.result[0].message.startswith("Accepted in writing: ")
    open_ones = [case.result[0] for case in found if outcome(case) == "verify_locally"]
    assert all(one.message.startswith("To verify, ") for one in open_ones)


def test_sarif_is_valid_by_the_schema_of_oasis(forms: dict[str, str]) -> None:
    assert [] == sarif_faults(json.loads(forms["sarif"]))


def test_the_schema_of_oasis_refuses_what_is_wrong(forms: dict[str, str]) -> None:
    log = json.loads(forms["sarif"])
    log["runs"][0]["results"][0]["kind"] = "approved"
    assert sarif_faults(log), "so the test before this one can fail"


def test_sarif_names_only_rules_that_it_tells_of(forms: dict[str, str], everything: str) -> None:
    rules = {rule["id"]: rule for rule in json.loads(forms["sarif"])["runs"][0]["tool"]["driver"]["rules"]}
    assert {one["ruleId"] for one in results(forms["sarif"])} <= set(rules)
    assert len(rules) == len(json.loads(forms["sarif"])["runs"][0]["tool"]["driver"]["rules"]), "no rule twice"
    assert "440.22" in rules["overcurrent-within-nameplate"]["help"]["text"], "help names the section"
    rules |= {rule["id"]: rule for rule in json.loads(everything)["runs"][0]["tool"]["driver"]["rules"]}
    of_the_manual = rules["head-cable-has-the-conductors-asked"]
    for named in ("Manufacturer's instructions wiring", "Made law where adopted: NEC 110.3(B)", "UMC 303.1, 304.1"):
        assert named in of_the_manual["help"]["text"], "help of what a manual asks names the manual and each code"
    assert "manufacturer-instructions" in of_the_manual["properties"]["tags"]


def test_sarif_points_at_the_line_and_column_of_the_fact(forms: dict[str, str]) -> None:
    """The expected place is found in the file by eye and by text, not by our reader of positions."""
    lines = {entry.file: entry.content.decode().split("\n") for entry in job_files()}
    looked = 0
    for one in results(forms["sarif"]):
        for place in (*one["locations"], *one.get("relatedLocations", ())):
            pointer = place.get("logicalLocations", [{"fullyQualifiedName": ""}])[0]["fullyQualifiedName"]
            if one.get("properties", {}).get("outcome") != "fail" or not pointer:
                continue
            physical = place["physicalLocation"]
            line = lines[physical["artifactLocation"]["uri"]][physical["region"]["startLine"] - 1]
            name = pointer.rsplit("/", 1)[-1]
            assert line[: physical["region"]["startColumn"] - 1].strip().endswith(f'"{name}":'), (pointer, line)
            looked += 1
    assert looked > 10


def test_three_jobs_are_under_150_kb_of_sarif(shipped: Checker) -> None:
    """The bound is a wish of those who upload them."""
    assert len(told(shipped, "sarif", job_files()[:3])[0].encode()) < 150_000


def test_the_oversized_breaker_is_found_at_its_line(forms: dict[str, str]) -> None:
    (one,) = (
        r for r in results(forms["sarif"]) if r["kind"] == "fail" and r["ruleId"] == "overcurrent-within-nameplate"
    )
    text = (Path(__file__).parent.parent / "examples/jobs/02-oversized-breaker.json").read_text().split("\n")
    (place,) = one["locations"]
    assert '"rating": "45 A"' in text[place["physicalLocation"]["region"]["startLine"] - 1], "the fact that fails"


def test_sarif_places_of_a_job_on_a_line_are_those_of_the_file(shipped: Checker) -> None:
    line = json.dumps(small("a"))
    jobs = [Item("many.jsonl", 1, line.encode()), Item("many.jsonl", 17, line.encode())]
    (one,) = (
        r
        for r in results(told(shipped, "sarif", jobs[1:])[0])
        if r["kind"] == "fail" and r["ruleId"] == "overcurrent-within-nameplate"
    )
    region = [place["physicalLocation"] for place in (*one["locations"], *one["relatedLocations"])]
    assert {"many.jsonl"} == {place["artifactLocation"]["uri"] for place in region}
    assert {17} == {place["region"]["startLine"] for place in region}
    assert line.index("50}") + 1 in {place["region"]["startColumn"] for place in region}


def test_sarif_knows_a_finding_again_when_the_file_is_renamed_and_laid_out_anew(shipped: Checker) -> None:
    job = small("a")
    there = told(shipped, "sarif", [Item("x.json", 0, json.dumps(job).encode())])[0]
    here = told(shipped, "sarif", [Item("y/z.json", 0, json.dumps(job, indent=4).encode())])[0]
    marks = [[one.get("fingerprints") for one in results(text)] for text in (there, here)]
    assert marks[0] == marks[1]
    assert len(set(map(str, marks[0]))) > 50


def test_sarif_suppresses_what_the_authority_accepted_and_nothing_else(forms: dict[str, str]) -> None:
    suppressed = [one for one in results(forms["sarif"]) if one["suppressions"]]
    assert [("fail", "external", "accepted")] == [
        (one["kind"], one["suppressions"][0]["kind"], one["suppressions"][0]["status"]) for one in suppressed
    ]


def test_mistakes_of_a_ruleset_make_a_valid_log_too() -> None:
    rule = sarif_frame.Rule("mistake", "A mistake", "What it is.")
    problem = Problem(Where("our rules/a.yaml", 3, 5, "/rules"), "What.", "Do.")
    log = json.loads(
        sarif_frame.log([rule], [sarif_frame.of_problem("mistake", problem)], [sarif_frame.notification(problem)])
    )
    assert [] == sarif_faults(log)
    place = log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]
    assert ("our%20rules/a.yaml", 3, 5) == (
        place["artifactLocation"]["uri"], place["region"]["startLine"], place["region"]["startColumn"],
    )  # fmt: skip


def test_markdown_has_a_table_of_counts_and_no_html(forms: dict[str, str]) -> None:
    tokens = flat(forms["markdown"])
    assert not [token for token in tokens if token.type.startswith("html")]
    assert [token for token in tokens if token.type == "table_open"]


def assert_bounded(checker: Checker, jobs: list[Item]) -> None:
    """Hosts take about 65,000 characters in a comment (from memory); what is left out is counted."""
    text, totals, _ = told(checker, "markdown", jobs)
    assert len(text) < 65_000
    left_out = len(jobs) - text.count("### job-")
    assert left_out > 0
    assert f"{left_out} more with something to tell" in text
    assert len(jobs) == totals.jobs


def test_a_comment_stays_within_its_bound_and_says_what_it_left_out() -> None:
    bells = startup.open_checker([BELLS])
    assert_bounded(bells, [item(bell(f"job-{number}"), f"{number}.json") for number in range(250)])


@pytest.mark.long
def test_a_comment_on_real_jobs_stays_within_its_bound(shipped: Checker) -> None:
    assert_bounded(shipped, [item(small(f"job-{number}"), f"{number}.json") for number in range(120)])


# --- hostile words ---------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def hostile(shipped: Checker) -> dict[str, str]:
    return {name: told(shipped, name, hostile_items())[0] for name in FORMS}


@pytest.mark.parametrize("name", FORMS)
def test_no_form_writes_signs_that_steer_a_terminal(hostile: dict[str, str], name: str) -> None:
    text = hostile[name]
    if name == "jsonl":  # written out as \\u001b, as JSON has it
        assert "\\u001b" in text
    assert not re.search("[\x00-\x08\x0b\x0c\x0e-\x1f]", text)


def test_hostile_cells_are_no_formulas(hostile: dict[str, str]) -> None:
    found = rows(hostile["csv"])
    assert len(HOSTILE) + 1 == len({row["file"] for row in found})
    cells = [cell for row in found for cell in row.values()]
    assert not [cell for cell in cells if re.match(r"\s*[=+@-]", cell) and not re.fullmatch(r"-?[\d.]+", cell)]
    assert any(cell.startswith("'=HYPERLINK") for cell in cells), "it is there, as text"


def test_hostile_words_are_text_in_xml(hostile: dict[str, str]) -> None:
    XMLSchema(str(STANDARDS / "junit-10.xsd")).validate(hostile["junit"])
    names = [suite.name for suite in JUnitXml.fromstring(hostile["junit"].encode())]
    assert any("<script>alert(1)</script>" in name for name in names), "read back as it was written"


def test_hostile_words_leave_json_valid(hostile: dict[str, str]) -> None:
    assert [] == sarif_faults(json.loads(hostile["sarif"]))
    jsonschema_rs.Draft202012Validator(REPORT).validate(json.loads(hostile["json"]))
    assert len(HOSTILE) + 1 == len(job_lines(hostile["jsonl"]))


def test_hostile_words_are_no_markup_in_markdown(hostile: dict[str, str]) -> None:
    tokens = flat(hostile["markdown"])
    kinds = Counter(token.type for token in tokens)
    assert not [kind for kind in kinds if kind.startswith(("html", "link", "image", "code"))]
    assert len(HOSTILE) + 1 == sum(token.type == "heading_open" and token.tag == "h3" for token in tokens)
    assert 1 == kinds["table_open"], "the table of counts alone"
    shown = "".join(token.content for token in tokens if token.type in ("text", "text_special"))
    assert "<script>alert(1)</script>" in shown, "it is there, as text"
    assert "@everyone" not in hostile["markdown"], "nobody is called"


def flat(text: str) -> list[Any]:
    """What a reader of Markdown with tables and with links out of bare addresses makes of a text."""
    reader = MarkdownIt("gfm-like", {"html": True})
    return [part for token in reader.parse(text) for part in (token, *(token.children or ()))]


# --- why a run ends with exit code 1 ---------------------------------------------------------------------------------

Named = set[tuple[str, str]]  # rule and item


def in_the_way_of_json(text: str) -> Named:
    (job,) = json.loads(text)["jobs"]
    return {(f["rule"], f.get("item", "")) for f in job["findings"] if f.get("finding_id") in job.get("in_the_way", ())}


def in_the_way_of_lines(text: str) -> Named:
    (job,) = job_lines(text)
    return {(f["rule"], f.get("item", "")) for f in job["findings"] if f.get("finding_id") in job.get("in_the_way", ())}


def in_the_way_of_sarif(text: str) -> Named:
    errors = [one for one in results(text) if one["level"] == "error" and not one["suppressions"]]
    return {(one["ruleId"], one["properties"].get("item", "")) for one in errors}


def in_the_way_of_junit(text: str) -> Named:
    """Also practice that was not followed: that is a failure in JUnit."""
    failed = [case for case in cases(text) if case.result and type(case.result[0]).__name__ == "Failure"]
    return {(case.name.partition(" [")[0], case.name.partition(" [")[2].rstrip("]")) for case in failed}


def in_the_way_of_csv(text: str) -> Named:
    return {(row["rule"], row["item"]) for row in rows(text) if row["in_the_way"] == "yes"}


IN_THE_WAY = {
    "json": in_the_way_of_json,
    "jsonl": in_the_way_of_lines,
    "sarif": in_the_way_of_sarif,
    "junit": in_the_way_of_junit,
    "csv": in_the_way_of_csv,
}


@pytest.mark.parametrize("file", [entry.file for entry in job_files()])
def test_each_form_alone_names_what_makes_the_exit_code_1(shipped: Checker, file: str) -> None:
    (job,) = (entry for entry in job_files() if entry.file == file)
    report = shipped.check(document(job), ON)
    expected = {(f.rule, f.item) for f in report.findings if f.outcome == "fail" and not f.accepted and not f.practice}
    expected |= {(f.rule, f.item) for f in report.findings if f.life_safety and f.outcome != "pass" and not f.accepted}
    assert bool(expected) == (report.exit_code(strict=False) == 1)
    practice = {(f.rule, f.item) for f in report.practice}
    for name, in_the_way in IN_THE_WAY.items():
        assert expected == in_the_way(told(shipped, name, [job])[0]) - (practice if name == "junit" else set()), name
    plain = html.unescape(told(shipped, "markdown", [job])[0]).replace("\\", "")
    unnamed = [f for f in report.in_the_way if f.title not in plain]
    more = re.search(r"and (\d+) more questions of life safety", plain)
    assert len(unnamed) <= (int(more[1]) if more else 0)


def test_what_the_authority_accepted_is_shown_in_each_form_as_accepted(shipped: Checker) -> None:
    (job,) = (entry for entry in job_files() if "08-accepted" in entry.file)
    (finding,) = shipped.check(document(job), ON).accepted
    by = finding.acceptance.accepted_by if finding.acceptance else ""
    for name in FORMS:
        assert by in html.unescape(" ".join(told(shipped, name, [job], everything=True)[0].split())), name
