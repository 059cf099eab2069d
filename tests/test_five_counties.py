"""The guide's five counties and one group, made by the guide's own lines."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.reading.files import read_text
from checker.reading.job_schema import job_vocabulary
from checker.reading.shipped import ROOT
from checker.rulesets.library import SHIPPED, open_library
from tests.support.rulesets import ON

pytestmark = pytest.mark.long

GUIDE = (ROOT / "rulesets" / "README.md").read_text(encoding="utf-8")
COUNTIES = ("alder", "birch", "cedar", "dogwood", "elm")
# Farthest a disconnect may be, in feet: the code's 50, Cedar's 30, the group's 40; the stricter holds.
FARTHEST = {"alder": 25, "birch": 40, "cedar": 30, "dogwood": 40, "elm": 40}
RULE = "disconnect-fitted-in-sight"


def lines() -> list[str]:
    """The commands that the guide gives for it, the last of which judges a job."""
    part = GUIDE.split("### One group over several counties")[1].split("\n## ")[0]
    return [line for block in re.findall(r"```sh\n(.*?)```", part, re.DOTALL) for line in block.splitlines()]


@pytest.fixture(scope="module")
def five(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("five")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        *setting_up, judging = lines()
        for line in setting_up:
            result = CliRunner().invoke(main, shlex.split(line)[1:], input="1\n2\n")
            assert result.exit_code == 0, (line, result.output)
    assert "changeout check job.json --rules our --ruleset oak-group" == judging
    return folder


@pytest.fixture(scope="module")
def checker(five: Path) -> Checker:
    return Checker(open_library([SHIPPED, five / "our"]), job_vocabulary()).using("oak-group")


def outcome(checker: Checker, county: str, distance: str, reached: bool = True) -> str:
    job = json.loads((ROOT / "examples" / "jobs" / "01-clean.json").read_text(encoding="utf-8"))
    job["site"]["jurisdiction"] = f"xx-{county}"
    (circuit,) = (one for one in job["circuits"] if one["serves"] == "outdoor_unit")
    circuit["disconnect"] |= {"distance": distance, "readily_accessible": reached}
    report = checker.check(read_text(json.dumps(job).encode(), f"{county}.json"), ON)
    return next(finding.outcome for finding in report.findings if finding.rule == RULE)


@pytest.mark.parametrize("county", COUNTIES)
def test_the_stricter_of_county_and_group_holds_in_each(checker: Checker, county: str) -> None:
    far = FARTHEST[county]
    assert ["pass", "fail"] == [outcome(checker, county, f"{feet} ft") for feet in (far, far + 1)]


def test_what_the_group_adds_is_asked_in_each(checker: Checker) -> None:
    assert ["fail"] * 5 == [outcome(checker, county, "10 ft", reached=False) for county in COUNTIES]


def test_each_change_is_a_file_and_none_names_a_path_of_this_machine(five: Path) -> None:
    names = {path.relative_to(five / "our").as_posix() for path in (five / "our").rglob("amendments/*.yaml")}
    assert names == {
        "cedar-county/amendments/farthest_disconnect.yaml",
        f"oak-group/amendments/{RULE}.yaml",
        "oak-group/amendments/farthest_disconnect.yaml",
    }
    told = [
        path.name
        for path in (five / "our").rglob("*.yaml")
        if str(five) in path.read_text() or "=/" in path.read_text()
    ]
    assert [] == told
