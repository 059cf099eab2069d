"""The package as a library: light to import, its examples run, typed, and safe for threads."""

from __future__ import annotations

import datetime
import doctest
import json
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

import checker
from checker.reading.job_schema import job_vocabulary
from checker.reporting import json as as_json
from checker.rulesets.library import SHIPPED, open_library
from tests.support.many_jobs import JOBS, small
from tests.support.rulesets import ON

HEAVY = (
    "yaml",
    "pint",
    "pydantic",
    "jsonschema",
    "CoolProp",
    "jinja2",
    "matplotlib",
    "click",
    "numpy",
    "orjson",
    "multiprocessing",
)


def test_the_examples_in_its_documentation_run() -> None:
    found = doctest.testmod(checker)
    assert (0, True) == (found.failed, found.attempted >= 6)


def test_importing_it_reads_nothing_heavy() -> None:
    script = "import sys, checker; print([name for name in sys.modules if name.split('.')[0] in sys.argv[1:]])"
    run = subprocess.run([sys.executable, "-c", script, *HEAVY], capture_output=True, text=True, timeout=60)
    assert "[]" == run.stdout.strip(), run.stderr


def test_everything_it_offers_is_there_and_nothing_else_is() -> None:
    assert all(getattr(checker, name) for name in checker.__all__)
    with pytest.raises(AttributeError):
        _ = checker.no_such_name  # type: ignore[attr-defined]


def test_it_says_that_it_is_typed() -> None:
    assert (Path(checker.__file__).parent / "py.typed").exists()


def test_a_mapping_and_a_file_give_the_same_findings() -> None:
    path = JOBS / "02-oversized-breaker.json"
    of_file, of_mapping = checker.check(path, on=ON), checker.check(json.loads(path.read_text()), on=ON)
    assert of_file.findings == of_mapping.findings
    assert of_file.findings


def test_what_no_job_can_say_is_a_problem_and_not_a_traceback() -> None:
    for wrong in (
        {"job_id": {1, 2}},
        {"job_id": "a", "schema_version": float("nan")},
        {"job_id": "\ud800", "schema_version": 1},
    ):
        with pytest.raises(checker.ProblemsFound):
            checker.check(wrong, on=ON)


def test_the_day_decides_whether_an_acceptance_stands() -> None:
    (path,) = JOBS.glob("08-*.json")
    sooner, later = (checker.check(path, on=day) for day in (ON, datetime.date(2099, 1, 1)))
    assert ([True], []) == ([finding.accepted for finding in sooner.accepted], sooner.to_fix)
    assert ([False], []) == ([finding.accepted for finding in later.to_fix], later.accepted)


def test_many_jobs_come_one_at_a_time_each_under_its_name(tmp_path: Path) -> None:
    lines = tmp_path / "many.jsonl"
    lines.write_text(json.dumps(small("a")) + "\n{\n" + json.dumps(small("b")) + "\n")
    found = list(checker.check_paths(lines, on=ON))
    assert [f"{lines}:{number}" for number in (1, 2, 3)] == [name for name, _ in found]
    assert ["Report", "ProblemsFound", "Report"] == [type(outcome).__name__ for _, outcome in found]
    endless = iter(lambda: small("a"), None)
    assert "a" == next(checker.check_many(endless, on=ON)).job_id  # type: ignore[union-attr]


@pytest.mark.long
def test_threads_that_share_a_checker_give_the_reports_of_one() -> None:
    """Eight threads begin on a checker that nobody has used yet, so that they meet while rules are bound and compiled."""
    paths = sorted(JOBS.glob("*.json"))
    alone = [as_json.render([checker.check(path, on=ON)]) for path in paths] * 2
    shared = checker.Checker(open_library([SHIPPED], {SHIPPED: "rulesets"}), job_vocabulary())
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        with ThreadPoolExecutor(8) as threads:
            together = list(
                threads.map(lambda path: as_json.render([checker.check(path, on=ON, rules=shared)]), paths * 2)
            )
    finally:
        sys.setswitchinterval(before)
    assert alone == together
