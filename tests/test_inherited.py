"""Makers' sheets: what a job inherits, that it is said, and that nothing which the job records is touched.

What is expected here follows from the rules that `checker/reading/inherited/inheritance.py` states; the values are invented.
"""

from __future__ import annotations

import copy
import functools
import json
import operator
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from checker.cli import main
from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import Report
from checker.problems.problem import ProblemsFound
from checker.reading.fact_shapes import pattern
from checker.reading.files import read_file, read_text
from checker.reading.inherited import schema as inherited_schema
from checker.reading.inherited.equipment import open_sheets
from checker.reading.inherited.inheritance import Inherited, load_job
from checker.reading.inherited.manufacturer_sheet import Sheet, equipment_of, fits, gives
from checker.reading.inherited.profile import open_profile
from checker.reading.job import Job
from checker.reading.job_schema import job_vocabulary
from checker.reporting import json as as_json
from checker.reporting import text as as_text
from tests.support.opening import forget_reports
from tests.support.rulesets import ON

EXAMPLES = Path(__file__).parent.parent / "examples"
SHOP = EXAMPLES / "shop/20-quarry-lane.json"
MISTAKES = Path(__file__).parent / "mistakes"
VOCABULARY = job_vocabulary()

MODEL = {"maker": "Nivarrick", "model": "NV14-030"}
SOURCE = "the manufacturer's sheet nivarrick-nv14 (Nivarrick, NV14 installation, p. 12, read 2026-05-02 by Ines Tallow)"
ORIGIN = "from the manufacturer's sheet nivarrick-nv14 (NV14 installation, p. 12)"
SHEET = """
  {id}:
    maker: {maker}
    part: {part}
    models: ["{models}"]
    manual: {{title: NV14 installation, page: "12", read_on: 2026-05-02, read_by: Ines Tallow}}
    sure: {sure}
    facts:
"""

Sheets = Callable[..., tuple[Sheet, ...]]


@pytest.fixture
def sheets(tmp_path: Path) -> Sheets:
    """Facts → every sheet written so far, that of these facts last."""

    def write(facts: dict[str, str], **fields: str) -> tuple[Sheet, ...]:
        usual = {"id": "nivarrick-nv14", "maker": "Nivarrick", "part": "outdoor_unit", "models": "NV14-0##"}
        text = SHEET.format(**{**usual, "sure": "checked", **fields})
        text += "".join(f"      {path}: {value}\n" for path, value in facts.items())
        number = len(list(tmp_path.glob("*.yaml")))
        (tmp_path / f"{number}.yaml").write_text(f"sheets:{text}", encoding="utf-8")
        return open_sheets([tmp_path], VOCABULARY)

    return write


def job(facts: dict[str, Any], sheets: tuple[Sheet, ...] = ()) -> Job:
    text = json.dumps({"job_id": "test", "schema_version": 1, **facts}).encode()
    return load_job(read_text(text, "job.json"), VOCABULARY, Inherited(sheets))


def example(checker: Checker) -> Report:
    inherited = Inherited(
        open_sheets([EXAMPLES / "equipment"], checker.vocabulary),
        open_profile(EXAMPLES / "profile.json", checker.vocabulary),
    )
    loaded = load_job(read_file(SHOP, "examples/shop/20-quarry-lane.json"), checker.vocabulary, inherited)
    return checker.check_job(loaded, ON)


def found(report: Report, rule: str) -> Finding:
    (finding,) = (finding for finding in report.findings if finding.rule == rule)
    return finding


# --- a job inherits, and it is said ----------------------------------------------------------------------------------


def test_an_inherited_fact_decides_a_rule_and_is_said_to_be_inherited(sheets: Sheets, shipped: Checker) -> None:
    facts = {"outdoor_unit": MODEL, "scope": {"line_set": True}, "evacuation": {"done": True, "level": "480 micron"}}
    asked = sheets({"instructions.evacuation_level": "420 micron"})
    before, after = (
        found(shipped.check_job(job(facts, inherited), ON), "evacuation-level") for inherited in ((), asked)
    )
    assert ("verify_locally", "fail") == (before.outcome, after.outcome)
    assert ["420 micron (manufacturer's sheet)"] == [fact.written for fact in after.evidence if fact.origin]
    assert f"inherited {ORIGIN}: vacuum by the manual" in after.notes
    assert "The manual requires 420 micron (manufacturer's sheet) or lower" in after.message


def test_the_evidence_of_an_inherited_fact_is_that_of_a_typed_one(sheets: Sheets, shipped: Checker) -> None:
    facts: dict[str, Any] = {"outdoor_unit": MODEL, "scope": {"line_set": True}, "evacuation": {"level": "480 micron"}}
    inherited = job(facts, sheets({"instructions.evacuation_level": "420 micron"}))
    typed = job({**facts, "instructions": {"evacuation_level": "420 micron"}})
    one, other = (found(shipped.check_job(loaded, ON), "evacuation-level") for loaded in (inherited, typed))
    assert one.evidence_digest == other.evidence_digest


def test_the_report_says_which_sheet_gave_how_much(sheets: Sheets) -> None:
    inherited = sheets({"instructions.test_hold": "60 min", "instructions.trap_required": "yes"})
    assert (f"Inherited from {SOURCE}: 2 facts that the job does not record.",) == job(
        {"outdoor_unit": MODEL}, inherited
    ).notes


def test_what_a_job_records_wins_and_a_difference_is_reported(sheets: Sheets) -> None:
    facts = {"outdoor_unit": MODEL, "instructions": {"test_hold": "30 min"}}
    loaded = job(facts, sheets({"instructions.test_hold": "60 min"}))
    assert "30 min" == loaded.readings["instructions.test_hold"].written
    note = f"Test time by the manual: 30 min in the job, 60 min {ORIGIN}. The job's is used."
    assert (note,) == loaded.notes


def test_the_same_amount_in_another_unit_is_no_difference(sheets: Sheets) -> None:
    facts = {"outdoor_unit": MODEL, "instructions": {"minimum_clearance_coil": "1 ft"}}
    assert () == job(facts, sheets({"instructions.minimum_clearance_coil": "12 in"})).notes


def test_a_plate_that_shows_none_wins_too(sheets: Sheets) -> None:
    plate = {"branch_selection_current": {"none": "not on the plate"}}
    inherited = sheets({"outdoor_unit.nameplate.branch_selection_current": "14 A"})
    loaded = job({"outdoor_unit": {**MODEL, "nameplate": plate}}, inherited)
    assert "none (not on the plate)" == loaded.readings["outdoor_unit.nameplate.branch_selection_current"].written
    said = f"none (not on the plate) in the job, 14 A {ORIGIN}. The job's is used."
    assert (f"Branch-circuit selection current: {said}",) == loaded.notes


def test_what_was_not_known_is_taken_and_said(sheets: Sheets) -> None:
    facts = {"outdoor_unit": MODEL, "instructions": {"test_hold": {"not_known": "no manual at hand"}}}
    loaded = job(facts, sheets({"instructions.test_hold": "60 min"}))
    said = f"noted as not known (no manual at hand); used is 60 min (manufacturer's sheet) {ORIGIN}."
    assert f"Test time by the manual: {said}" in loaded.notes
    assert {} == loaded.not_known


def test_a_sheet_from_memory_is_used_and_marked(sheets: Sheets) -> None:
    loaded = job({"outdoor_unit": MODEL}, sheets({"instructions.test_hold": "60 min"}, sure="from_memory"))
    reading = loaded.readings["instructions.test_hold"]
    assert "60 min (manufacturer's sheet, from memory)" == reading.written
    assert "from the manufacturer's sheet nivarrick-nv14 (NV14 installation, p. 12, from memory)" == reading.origin


def test_a_doubtful_sheet_is_shown_and_not_used(sheets: Sheets) -> None:
    loaded = job({"outdoor_unit": MODEL}, sheets({"instructions.test_hold": "60 min"}, sure="doubtful"))
    assert "instructions.test_hold" not in loaded.readings
    source = SOURCE.replace("Ines Tallow)", "Ines Tallow, in doubt)")
    assert (f"Doubtful and not used: {source}. It says: Test time by the manual 60 min.",) == loaded.notes


# --- which sheet -----------------------------------------------------------------------------------------------------


def test_a_model_that_is_on_no_sheet_is_said(sheets: Sheets) -> None:
    loaded = job({"outdoor_unit": {"model": "HG2-24"}}, sheets({"instructions.test_hold": "60 min"}))
    assert ("No manufacturer's sheet is for the outdoor unit HG2-24.",) == loaded.notes


def test_another_makers_sheet_is_not_used(sheets: Sheets) -> None:
    facts = {"outdoor_unit": {**MODEL, "maker": "Harrowgild"}}
    loaded = job(facts, sheets({"instructions.test_hold": "60 min"}))
    said = f"The outdoor unit NV14-030 is by Harrowgild in the job; {SOURCE} is from another manufacturer and not used."
    assert (said,) == loaded.notes
    assert "instructions.test_hold" not in loaded.readings


def test_of_two_makers_sheets_with_one_model_the_recorded_maker_decides(sheets: Sheets) -> None:
    sheets({"instructions.test_hold": "60 min"})
    both = sheets({"instructions.test_hold": "90 min"}, id="harrowgild", maker="Harrowgild")
    loaded = job({"outdoor_unit": {**MODEL, "maker": "HARROWGILD"}}, both)
    assert "90 min (manufacturer's sheet)" == loaded.readings["instructions.test_hold"].written
    with pytest.raises(ProblemsFound, match=r"fits two sheets: 'harrowgild' here, and 'nivarrick-nv14' at .*0\.yaml:2"):
        job({"outdoor_unit": {"model": "NV14-030"}}, both)


def test_where_the_sheets_of_two_units_differ_neither_is_used(sheets: Sheets) -> None:
    sheets({"instructions.evacuation_level": "420 micron"})
    both = sheets({"instructions.evacuation_level": "500 micron"}, id="coil", part="indoor_unit", models="NVC-*")
    loaded = job({"outdoor_unit": MODEL, "indoor_unit": {"model": "NVC-3036"}}, both)
    assert "instructions.evacuation_level" not in loaded.readings
    said = f"420 micron {ORIGIN}; 500 micron {ORIGIN.replace('nivarrick-nv14', 'coil')}"
    assert f"Vacuum by the manual: manufacturers' sheets differ, and none is used: {said}." in loaded.notes


def test_plate_values_go_to_the_circuit_that_serves_the_unit(sheets: Sheets) -> None:
    circuits = [{"key": "furnace", "serves": "furnace"}, {"key": "condenser", "serves": "outdoor_unit"}]
    inherited = sheets({"circuit.nameplate.maximum_breaker": "25 A"})
    loaded = job({"outdoor_unit": MODEL, "circuits": circuits}, inherited)
    assert "25 A (manufacturer's sheet)" == loaded.readings["circuits.1.nameplate.maximum_breaker"].written
    assert "circuits.0.nameplate.maximum_breaker" not in loaded.readings


@pytest.mark.parametrize(
    ("part", "job_facts", "why"),
    [
        (
            "outdoor_unit",
            {"circuits": [{"key": "1", "serves": "outdoor_unit"}, {"key": "2", "serves": "outdoor_unit"}]},
            "outdoor unit's circuit are not taken from {source}: it has several.",
        ),
        (
            "indoor_unit",
            {"circuits": [{"key": "1", "serves": "air_handler"}], "indoor_unit": MODEL},
            "indoor unit's circuit are not taken from {source}: "
            "a heat kit changes them, and the job does not say that none is fitted.",
        ),
    ],
)
def test_plate_values_that_could_be_of_another_circuit_are_not_taken(
    part: str, job_facts: dict[str, Any], why: str, sheets: Sheets
) -> None:
    inherited = sheets({"circuit.nameplate.maximum_breaker": "25 A"}, part=part)
    loaded = job({"outdoor_unit": MODEL, **job_facts}, inherited)
    assert f"Plate values of the {why.format(source=SOURCE)}" in loaded.notes
    assert [] == [path for path in loaded.readings if path.endswith("maximum_breaker")]


# --- patterns --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pattern", "model", "fit"),
    [
        ("NV14-030", "NV14-030", True),
        ("NV14-030", "nv14-030", True),
        ("NV14-030", "NV14-030A", False),
        ("NV14-030", "NV14 030", False),
        ("NV14-030", "NV14030", False),
        ("NV14-0##", "NV14-036", True),
        ("NV14-0##", "NV14-03A", False),
        ("NV14-0##", "NV14-0٣٦", False),
        ("NV14-03?", "NV14-03A", True),
        ("NV14-03?", "NV14-03", False),
        ("NV14-*", "NV14-", True),
        ("*030*", "NV14-030-A", True),
        ("NV*-03*A", "NV14-03-03A", True),
        ("N.14[0-9]", "NV140", False),
        ("N.14[0-9]", "n.14[0-9]", True),
    ],
)
def test_a_pattern_is_plain_text_but_for_three_signs(pattern: str, model: str, fit: bool) -> None:
    assert fit is fits(pattern, model)


def by_hand(pattern: str, model: str) -> bool:
    """What a pattern means, by its definition: one sign after the other."""
    if not pattern:
        return not model
    if pattern[0] == "*":
        return any(by_hand(pattern[1:], model[start:]) for start in range(len(model) + 1))
    one = {"?": True, "#": model[:1] in set("0123456789")}.get(pattern[0], model[:1].lower() == pattern[0].lower())
    return bool(model) and one and by_hand(pattern[1:], model[1:])


@given(st.text("aB1-*?#", max_size=8), st.text("AbB12-", max_size=8))
def test_a_pattern_fits_what_its_definition_says(pattern: str, model: str) -> None:
    assert by_hand(pattern, model) is fits(pattern, model)


def test_a_pattern_of_many_stars_takes_no_time() -> None:
    assert not fits("*a" * 200 + "b", "a" * 5000)


# --- what a sheet may say --------------------------------------------------------------------------------------------


def test_a_sheet_gives_nothing_that_is_measured_or_tells_of_the_work() -> None:
    given_ = {leaf.path: leaf for part in equipment_of(VOCABULARY).parts for leaf in gives(part, VOCABULARY).values()}
    assert {"instructions.evacuation_level", "circuits.nameplate.maximum_breaker"} <= set(given_)
    assert [] == [path for path, leaf in given_.items() if leaf.measured or leaf.known != "after"]
    sections = {"instructions", "outdoor_unit", "indoor_unit", "heating", "ratings", "circuits"}
    assert sections == {path.split(".")[0] for path in given_}
    assert {"nameplate"} == {path.split(".")[1] for path in given_ if path.startswith("circuits.")}


@pytest.mark.parametrize("path", [path for path, leaf in VOCABULARY.leaves.items() if leaf.measured])
def test_a_sheet_with_a_measured_fact_is_refused(path: str, sheets: Sheets) -> None:
    with pytest.raises(ProblemsFound, match="is measured on the job; no manufacturer can know it"):
        sheets({path.replace("circuits.", "circuit.", 1): "1"})


def test_both_schemas_are_as_reading_makes_them() -> None:
    assert {path: path.read_text(encoding="utf-8") for path in inherited_schema.texts()} == inherited_schema.texts()


def test_the_examples_are_valid_for_editors_and_mistakes_are_not() -> None:
    equipment, profile = (
        Draft202012Validator(made()) for made in (inherited_schema.equipment, inherited_schema.profile)
    )
    for path in (EXAMPLES / "equipment").iterdir():
        assert [] == [error.message for error in equipment.iter_errors(read_file(path).data)]
    assert profile.is_valid(read_file(EXAMPLES / "profile.json").data)
    for name in ("unknown-fact", "measured-fact", "without-a-manual", "value-out-of-a-table", "unknown-field"):
        (path,) = (MISTAKES / f"equipment-{name}" / "sheets").iterdir()
        assert not equipment.is_valid(read_file(path).data), name
    for name in ("facts-of-one-job", "unknown-fact-and-wrong-unit", "without-a-schema-version"):
        assert not profile.is_valid(read_file(MISTAKES / f"profile-{name}" / "profile.json").data), name


# --- the whole -------------------------------------------------------------------------------------------------------


def test_the_example_is_answered_out_of_what_it_inherits(shipped: Checker) -> None:
    report = example(shipped)
    assert 0 == report.exit_code(strict=False)
    assert "pass" == found(report, "evacuation-level").outcome
    assert [] == [note for note in report.notes if "The job's is used" in note], "plate and sheet agree"


def test_the_same_job_and_sheets_give_the_same_bytes(shipped: Checker) -> None:
    first = as_json.render([example(shipped)]) + as_text.render(example(shipped))
    forget_reports()
    assert first == as_json.render([example(shipped)]) + as_text.render(example(shipped))
    schema = json.loads((EXAMPLES.parent / "schemas" / "report.schema.json").read_text(encoding="utf-8"))
    rendered = json.loads(as_json.render([example(shipped)]))
    assert [] == [error.message for error in Draft202012Validator(schema).iter_errors(rendered)]


CLEAN: dict[str, Any] = json.loads((EXAMPLES / "jobs" / "01-clean.json").read_text(encoding="utf-8"))
ASKED = [
    *[("instructions", name) for name in CLEAN["instructions"]],
    *[("outdoor_unit", "nameplate", name) for name in CLEAN["outdoor_unit"]["nameplate"]],
    *[("circuits", 0, "nameplate", name) for name in CLEAN["circuits"][0]["nameplate"]],
]


def without(left_out: set[tuple[Any, ...]], level: str) -> dict[str, Any]:
    """The clean job less some facts that the sheets know, and with another evacuation."""
    facts = copy.deepcopy(CLEAN)
    facts["evacuation"]["level"] = level
    for *around, name in left_out:
        del functools.reduce(operator.getitem, around, facts)[name]
    return facts


@pytest.mark.long
@settings(max_examples=12)
@given(left_out=st.sets(st.sampled_from(ASKED)), level=st.sampled_from(["300 micron", "800 micron"]))
def test_a_sheet_changes_nothing_of_a_rule_whose_facts_are_all_typed(
    left_out: set[tuple[Any, ...]], level: str, shipped: Checker
) -> None:
    sheets = open_sheets([EXAMPLES / "equipment"], VOCABULARY)
    plain, rich = (job(without(left_out, level), inherited) for inherited in ((), sheets))
    taken = [pattern(path).removeprefix("circuits.") for path, reading in rich.readings.items() if reading.origin]
    texts = {name: repr(rule) for each in shipped.library.rulesets.values() for name, rule in each.rules.items()}
    untouched = {name for name, text in texts.items() if not any(path in text for path in taken)}
    assert len(untouched) > 50
    before, after = (
        [
            (f.rule, f.item, f.outcome, f.evidence_digest)
            for f in shipped.check_job(one, ON).findings
            if f.rule in untouched
        ]
        for one in (plain, rich)
    )
    assert before == after


def test_explain_reads_what_it_is_told_to_and_nothing_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(EXAMPLES, tmp_path / "here")
    monkeypatch.chdir(tmp_path / "here")
    arguments = ["explain", "evacuation-level", "shop/20-quarry-lane.json", "--no-config", "--on", "2026-11-25"]
    alone = CliRunner().invoke(main, arguments)
    assert (2, True) == (alone.exit_code, "is not among the job's instruments" in alone.stderr)
    told = CliRunner().invoke(main, [*arguments, "--equipment", "equipment", "--profile", "profile.json"])
    assert 0 == told.exit_code
    assert "instructions.evacuation_level = 400 micron (manufacturer's sheet)" in told.stdout
    assert "Note: Inherited from the manufacturer's sheet nivarrick-nv14-036" in told.stdout
