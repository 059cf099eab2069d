"""What is recorded does not vanish: what no rule that applied looked at is listed, what would worry an inspector first."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from checker.cli import main
from checker.engine.checker import Checker
from checker.findings.report import Report, Unread
from checker.reading.vocabulary import Vocabulary
from checker.reporting.forms import FORMS
from checker.rulesets.library import open_library
from tests.support.job_schema import LEAVES, SCHEMA
from tests.support.jobs import document, judged
from tests.support.lantern_layers import hill
from tests.support.lantern_layers import job as lantern
from tests.support.rulesets import ON, TINY


def listed(report: Report) -> dict[str, Unread]:
    return {one.fact: one for one in report.unread}


# Values on a job where nothing makes a rule of them apply: no circuit is new, no gas is altered, no duct is touched.
VANISHED: dict[str, tuple[str, str, Any]] = {
    "covering not inspected": ("permit", "inspection_before_cover", "failed"),
}


@pytest.mark.parametrize("name", VANISHED)
def test_a_worrying_value_that_no_rule_judged_is_listed_first_with_what_is_written(name: str, shipped: Checker) -> None:
    section, fact, value = VANISHED[name]
    job = document({})
    job["permit"] |= {"obtained": True}
    job.setdefault(section, {})[fact] = value
    _, report = judged(shipped, job)
    path = f"{section}.{fact}"
    assert listed(report)[path].alarming
    assert [one.alarming for one in report.unread] == sorted((one.alarming for one in report.unread), reverse=True)


def test_the_rating_of_the_old_device_is_listed_where_no_rule_needs_it(shipped: Checker) -> None:
    _, report = judged(shipped, document({"removed": {"device_rating": "40 A"}}))
    found = listed(report)["removed.device_rating"]
    assert ("40 A", False) == (found.written, found.alarming)


def test_what_only_rules_that_were_left_out_read_is_listed(shipped: Checker) -> None:
    """Inside, a rule of the residential code reads the fall of the drain; no rule that holds in a manufactured home does."""
    slope = "condensate.primary_drain.slope"
    _, inside = judged(shipped, document({}))
    _, outside = judged(shipped, document({"site": {"dwelling": "manufactured"}}))
    assert slope not in listed(inside)
    assert slope in listed(outside)


@pytest.mark.parametrize("form", sorted({*FORMS, "page"}))
def test_every_form_shows_it(form: str, tmp_path: Path) -> None:
    job = document({})
    job["permit"] |= {"inspection_before_cover": "failed"}
    (tmp_path / "job.json").write_text(json.dumps(job))
    output = tmp_path / "out"
    words = [
        "check",
        str(tmp_path / "job.json"),
        "--format",
        form,
        "--on",
        ON.isoformat(),
        "--output",
        str(output),
        "--all",
    ]
    run = CliRunner().invoke(main, words)
    assert run.exit_code in (0, 1), run.output
    files = [output] if output.is_file() else [*output.rglob("*.html")]
    said = " ".join(" ".join(file.read_text(encoding="utf-8") for file in files).split()).lower()
    assert "inspection before covering" in said
    assert "failed" in said
    assert ("removed.device_rating" if form in ("json", "jsonl") else "size of the old breaker or fuses") in said


# --- on an invented trade: which look counts ---


def with_alarm(folder: Path) -> Checker:
    """The invented trade, oiled paper being what would worry an inspector, under rules that read it of a lit lantern alone."""
    schema = json.loads((TINY / "job.schema.json").read_text())
    schema["properties"]["lantern"]["properties"]["paper"]["alarming"] = ["oiled"]
    hill(folder)
    return Checker(open_library([folder, *_guild(folder)]), Vocabulary(schema))


def _guild(folder: Path) -> list[Path]:
    made = folder.parent / f"{folder.name}-guild"
    (made / "guild").mkdir(parents=True)
    source = TINY / "rulesets" / "guild"
    (made / "guild" / "ruleset.yaml").write_text((source / "ruleset.yaml").read_text())
    rules = (source / "lanterns.yaml").read_text()
    (made / "guild" / "lanterns.yaml").write_text(rules[: rules.index("  tin-or-unlit-indoors:")])
    return [made]


@pytest.mark.parametrize(
    ("lantern_is", "listed_as"),
    [
        ({"lit": True, "paper": "oiled"}, None),  # a finding names it
        ({"lit": False, "paper": "oiled"}, True),  # the rule that reads it does not apply
        ({"lit": False, "paper": "tin"}, False),
    ],
)
def test_only_a_finding_counts_as_a_look_at_a_worrying_value(
    lantern_is: dict[str, Any], listed_as: bool | None, tmp_path: Path
) -> None:
    (tmp_path / "a").mkdir()
    found = listed(with_alarm(tmp_path / "a").check_job(lantern(**lantern_is), ON))
    assert listed_as == (found["lantern.paper"].alarming if "lantern.paper" in found else None)
    assert "lantern.lit" not in found, "what switched a rule off was looked at: the report says that it does not apply"


# --- the annotation ---

ALARMING = {path: node["alarming"] for path, node in LEAVES.items() if "alarming" in node}


@pytest.mark.parametrize("path", ALARMING)
def test_what_is_called_alarming_can_be_recorded_and_is_not_all_that_can(path: str) -> None:
    node, values = LEAVES[path], ALARMING[path]
    possible = next((part["enum"] for part in node.get("anyOf", ()) if "enum" in part), [True, False])
    assert {*values} < {*possible}
    assert node.get("$ref", "#/$defs/flag").startswith("#/$defs/flag")


def test_the_vocabulary_carries_it() -> None:
    leaf = Vocabulary(SCHEMA).leaf("panel.load_calculation")
    assert leaf
    assert ("exceeds",) == leaf.alarming
