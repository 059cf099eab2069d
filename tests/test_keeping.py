"""Commands that write a ruleset: what is asked, what is written, and that nothing else in a file changes."""

from __future__ import annotations

import datetime
import difflib
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator

from checker.authoring.cases import run, stated
from checker.authoring.editing import file_edits
from checker.authoring.editing.layer_context import layers_around
from checker.authoring.lint import linter as lint
from checker.cli import main
from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_file, read_text
from checker.reading.job import load
from checker.reading.job_schema import job_vocabulary
from checker.reading.shipped import ROOT
from checker.rulesets import schema
from checker.rulesets.layering import effective, meaning_of
from checker.rulesets.library import SHIPPED, open_library
from tests.support.rulesets import ON

pytestmark = pytest.mark.long


class EditorsYaml(yaml.SafeLoader):
    """YAML as editors read it: a day is text."""


EditorsYaml.yaml_implicit_resolvers = {
    first: [pair for pair in pairs if pair[0] != "tag:yaml.org,2002:timestamp"]
    for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
SCHEMA = Draft202012Validator(schema.schema())
EXAMPLES = {"birch-group/amendments/most_cabinet_leakage.yaml", "birch-group/rules.yaml"}
COUNTY = ["ash-county", "county", "Ash County building office", "", "xx-ash", "Larch", "", "2021", "2026-01-01"]
COUNTY += ["Ordinance 4, section 2", "", "2023", "2027-01-01", "Ordinance 9, section 1", ""]


def changeout(*words: str, typed: tuple[str, ...] | list[str] = ()) -> Result:
    return CliRunner().invoke(main, list(words), input="".join(f"{line}\n" for line in typed))


def checker_with(folder: Path) -> Checker:
    return Checker(open_library([SHIPPED, folder], {SHIPPED: "rulesets", folder: folder.name}), job_vocabulary())


def files_of(folder: Path) -> dict[str, str]:
    files = sorted(folder.rglob("*.yaml"))
    return {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8") for path in files}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def unlinted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lint looks at every ruleset that the folder stands on; where it is not what is tested, it is left out."""
    monkeypatch.setattr(lint, "problems", lambda *_: [])


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A county made by prompts alone."""
    folder = tmp_path_factory.mktemp("made")
    result = changeout("rules", "new", "--into", str(folder), typed=COUNTY)
    assert 0 == result.exit_code, result.output
    return folder / "ash-county"


@pytest.fixture
def ash(made: Path, here: Path) -> Path:
    """A copy of that county in the folder that commands are given in."""
    return Path(shutil.copytree(made, here / "ash-county"))


# --- new -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        ("birch-group", "--uses", "alder-county"),
        ("pine-group", "--uses", "commissioning", "--uses", "nec"),
        (
            "elm-county",
            "--uses",
            "larch-state",
            "--kind",
            "local",
            "--covers",
            "xx-elm",
            "--adopts",
            "nec:2023:2027-01-01",
        ),
    ],
    ids=lambda words: words[0],
)
def test_a_new_ruleset_has_nothing_wrong_and_every_file_names_its_schema(here: Path, words: tuple[str, ...]) -> None:
    result = changeout("rules", "new", *words)
    assert 0 == result.exit_code, result.output
    assert f"{words[0]}: nothing wrong with it, and its 6 cases come out as they say." in result.output
    for name, text in files_of(here / words[0]).items():
        line, rest = text.split("\n", 1)
        found = re.fullmatch(r"# yaml-language-server: \$schema=(.+)", line)
        assert found, name
        named = (here / words[0] / name).parent / found[1]
        assert schema.PATH.read_bytes() == named.read_bytes(), name
        assert not Path(found[1]).is_absolute()
        assert [] == [error.message for error in SCHEMA.iter_errors(yaml.load(rest, EditorsYaml))], name


def test_a_new_ruleset_shows_an_amendment_an_addition_and_a_fact_of_its_own(here: Path, unlinted: None) -> None:
    changeout("rules", "new", "birch-group", "--uses", "alder-county")
    one = checker_with(here / "birch-group").library.get("birch-group")
    assert (1, 1, 1) == (len(one.amend), len(one.rules), len(one.facts))
    assert {"pass", "fail", "verify_locally"} == {case.case.expect for case in stated(one) if case.rule in one.rules}
    assert {"pass", "fail", "verify_locally"} == {
        case.case.expect for case in stated(one) if case.rule not in one.rules
    }


def test_inside_the_clone_the_schema_is_named_from_the_folder() -> None:
    line = "# yaml-language-server: $schema=../../../schemas/ruleset.schema.json\n"
    assert line == file_edits.schema_line(ROOT / "rulesets" / "groups" / "birch")


def test_the_amendment_of_a_new_ruleset_is_bound_to_what_the_layers_below_leave(here: Path, unlinted: None) -> None:
    changeout("rules", "new", "birch-group", "--uses", "alder-county")
    checker = checker_with(here / "birch-group")
    one = layers_around(checker, checker.library.get("birch-group"))
    ((name, change),) = one.ruleset.amend.items()
    home = one.home("limits", name)
    for edition, digest in change.meaning.items():
        in_force = {home.id: None if edition == "any" else edition}
        found = effective(one.below, "limits", name, in_force, 800_000)
        assert meaning_of(one.below, found, edition) == digest


def test_the_examples_of_a_new_ruleset_are_released_only_once_they_are_filled_in(here: Path) -> None:
    made = changeout("rules", "new", "birch-group", "--uses", "larch-state")
    assert "rules adopt" not in made.output
    told = re.findall(r"^  (birch-group/[\w/]+\.yaml:\d+)  .*to fill in", made.output, re.MULTILINE)
    assert {"birch-group/amendments/most_cabinet_leakage.yaml", "birch-group/rules.yaml"} == {
        place.split(":")[0] for place in told
    }
    refused = changeout("rules", "release", "birch-group", "--version", "1.0.0", "--on", "2026-11-25")
    assert told == re.findall(r"^(birch-group/[\w/]+\.yaml:\d+):\d+\n  This has still", refused.stderr, re.MULTILINE)
    assert (2, False) == (refused.exit_code, (here / "birch-group" / "releases").exists())


def open_places(text: str) -> list[str]:
    return re.findall(r"^(\S+\.yaml:\d+):\d+\n  'to fill in' is still here", text, re.MULTILINE)


def test_no_job_is_judged_by_examples_that_nobody_has_filled_in(here: Path, unlinted: None) -> None:
    changeout("rules", "new", "birch-group", "--uses", "alder-county")
    job = ROOT / "examples" / "jobs" / "01-clean.json"
    words = (str(job), "--rules", "birch-group", "--ruleset", "birch-group")
    told = [f"birch-group/{name}:{number}" for name, text in files_of(here / "birch-group").items()
            for number, line in enumerate(text.splitlines(), 1) if re.search(r": to fill in\b", line)]  # fmt: skip
    assert {"birch-group/amendments/most_cabinet_leakage.yaml", "birch-group/rules.yaml"} == {
        place.split(":")[0] for place in told
    }
    for command in ("check", "prep", "sheet"):
        refused = changeout(command, *words)
        assert (2, told) == (refused.exit_code, open_places(refused.output)), command
    with pytest.raises(ProblemsFound):
        checker_with(here / "birch-group").using("birch-group").outcomes(
            load(read_file(job, "01"), job_vocabulary()), ON
        )
    assert changeout("check", str(job)).exit_code == 0, "nobody else is kept from judging"
    for file in (here / "birch-group").rglob("*.yaml"):
        file.write_text(file.read_text(encoding="utf-8").replace(": to fill in", ": House rule 3"), encoding="utf-8")
    judged = changeout("check", *words)
    assert "Is the job card filled in and left with the work?" in judged.output, judged.output


@pytest.mark.parametrize("written", ["Ordinance 9, section 1", "Handbook 1"])
def test_nor_by_an_adoption_or_a_section_that_is_still_open(ash: Path, written: str) -> None:
    for file in ash.rglob("*.yaml"):
        text = file.read_text(encoding="utf-8").replace(": to fill in", ": Handbook 1")
        file.write_text(text.replace(written, "to fill in"), encoding="utf-8")
    job = {"job_id": "7", "schema_version": 1, "site": {"jurisdiction": "xx-ash"}}
    with pytest.raises(ProblemsFound) as refused:
        checker_with(ash).check(read_text(json.dumps(job).encode(), "job.json"), ON)
    assert refused.value.problems
    assert all("ash-county is not finished" in problem.what for problem in refused.value.problems)


def test_the_kind_of_an_amount_is_that_of_its_unit(here: Path, unlinted: None) -> None:
    changeout("rules", "new", "birch-group", "--uses", "alder-county")
    facts = here / "birch-group" / "facts.yaml"
    facts.write_text(facts.read_text() + """  card_height:
    form: quantity
    unit: ft
    title: Height of the card
    description: From the floor to the top of the card.
    ask: How high does the card hang?
    known: before_leaving
""")  # fmt: skip
    leaf = checker_with(here / "birch-group").vocabulary.leaf("local.birch-group.card_height")
    assert leaf
    assert ("length", "ft") == (leaf.kind, leaf.unit)


@pytest.mark.parametrize(
    ("line", "open_still"),
    [
        ("reason: to fill in", True),
        ('  - {document: a, section: "to fill in", section_sure: checked}', True),
        ("    citation: to fill in}  # later", True),
        ("  - to fill in", True),
        ("remedy: Leave no blank to fill in", False),
        ("remedy: Leave nothing to fill in, and sign it", False),
        ("# not while 'to fill in' stands here.", False),
    ],
)
def test_what_is_to_fill_in_is_a_whole_value_and_no_part_of_a_sentence(line: str, open_still: bool) -> None:
    assert open_still == bool(file_edits.left_to_fill_in(line, "a.yaml"))


NOBODYS = ["ash-county", "county", "Ash County", "", "xx-ash", "none of these", "nec", ""]


def test_a_county_that_adopts_nothing_is_told_what_that_means_and_asked_once_more(here: Path) -> None:
    result = changeout("rules", "new", typed=[*NOBODYS, "", "2023", "2026-01-01", "Ordinance 3", ""])
    assert 1 == result.output.count("Then nothing of nec is judged there until an edition is adopted.")
    assert ["2023"] == [
        one.edition for one in checker_with(here / "ash-county").library.get("ash-county").header.adopts
    ]


def test_a_county_goes_by_what_its_state_adopted_where_it_adopts_nothing_itself(here: Path) -> None:
    result = changeout("rules", "new", typed=[*COUNTY[:5], "Larch", "", "", ""])
    assert 0 == result.exit_code, result.output
    assert "Then nec holds there as larch-state adopted it." in result.output
    assert "Then irc-mechanical holds there as larch-state adopted it." in result.output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("Birch Group", "--uses", "nec"), "'Birch Group' cannot be a ruleset's name."),
        (("nec", "--uses", "nec"), "There is a ruleset 'nec' already."),
        (("birch-group", "--uses", "necc"), "There is no ruleset 'necc'."),
        (
            ("birch-county", "--uses", "nec", "--kind", "local", "--covers", "xx-alder"),
            "alder-county covers xx-alder already.",
        ),
        (
            ("birch-county", "--uses", "nec", "--kind", "local", "--covers", "birch"),
            "'birch' is not a jurisdiction code.",
        ),
        (("birch-group", "--uses", "nec", "--adopts", "nec:2019:2027-01-01"), "names no edition of a code here."),
        (
            ("birch-group", "--uses", "nec", "--adopts", "nec:2023:soon"),
            "'soon' is not a date: write year-month-day, such as 2027-01-01.",
        ),
        (
            ("birch-group", "--uses", "nec", "--adopts", "nec:2023:2027-01-01"),
            "A group ruleset cannot put an edition of a code in force.",
        ),
        (("there", "--uses", "nec"), "There is a folder there already."),
    ],
    ids=lambda words: words if isinstance(words, str) else "",
)
def test_what_cannot_be_made_is_told_and_nothing_is_written(here: Path, words: tuple[str, ...], said: str) -> None:
    (here / "there").mkdir()
    result = changeout("rules", "new", *words)
    assert said in result.output
    assert (2, ["there"]) == (result.exit_code, sorted(path.name for path in here.iterdir()))


def test_breaking_off_writes_nothing(here: Path) -> None:
    result = changeout("rules", "new", typed=["ash-county", "county"])
    assert "Stopped. Nothing was written." in result.output
    assert (130, []) == (result.exit_code, list(here.iterdir()))


# --- prompts alone ---------------------------------------------------------------------------------------------------


def test_answering_prompts_alone_makes_a_county_amends_a_rule_and_records_an_answer(ash: Path) -> None:
    amended = changeout("rules", "amend", "disconnect-fitted-in-sight", "--into", "ash-county",
                        typed=["2027-03-01", "move the limit farthest_disconnect", "30", "Lots are narrow here.", "1", "12",
                               "read in print", "yes"])  # fmt: skip
    assert 0 == amended.exit_code, amended.output
    answered = changeout("rules", "answer", "kept-access-put-to-the-authority", "--into", "ash-county",
                         typed=["2027-02-01", "it is not required here", "What served the old unit may serve the new one.",
                                "E. Hollin", "", "letter 7", "yes"])  # fmt: skip
    assert 0 == answered.exit_code, answered.output
    linted = changeout("rules", "lint", "ash-county")
    assert (0, "") == (linted.exit_code, linted.stderr)
    one = checker_with(ash).library.get("ash-county")
    assert {"2023"} == set(one.amend["farthest_disconnect"].meaning)
    assert {"2021"} == set(one.answers["kept-access-put-to-the-authority-2027-02-01"].meaning)


def test_an_amended_limit_is_tried_at_it_past_it_and_without_a_reading(ash: Path, unlinted: None) -> None:
    changeout("rules", "amend", "disconnect-fitted-in-sight", "--into", "ash-county", "--limit", "farthest_disconnect",
              "--to", "30 ft", "--from", "2027-03-01", "--reason", "Narrow lots.", "--document", "ordinance",
              "--section", "12", "--sure", "checked", "--yes")  # fmt: skip
    checker = checker_with(ash)
    change = checker.library.get("ash-county").amend["farthest_disconnect"]
    assert ["30"] == [value["value"] for value in change.set["values"]]
    tried = [(case.given.get("item.disconnect.distance"), case.expect) for case in change.cases]
    assert [("30 ft", "pass"), ("31 ft", "fail"), (None, "verify_locally")] == tried
    assert [] == [p for one in stated(checker.library.get("ash-county")) if (p := run(checker, one)[0])]


def test_a_job_is_judged_by_the_moved_limit_from_its_first_day(ash: Path, unlinted: None) -> None:
    for file in ash.rglob("*.yaml"):
        file.write_text(file.read_text().replace(": to fill in", ": Ordinance 3"))
    changeout("rules", "amend", "disconnect-fitted-in-sight", "--into", "ash-county", "--limit", "farthest_disconnect",
              "--to", "30", "--from", "2027-03-01", "--reason", "Narrow lots.", "--document", "ordinance",
              "--section", "12", "--sure", "checked", "--yes")  # fmt: skip

    def outcome(applied: str) -> str:
        disconnect = {"fitted": True, "in_sight": True, "distance": "40 ft"}
        circuit = {"key": "a", "serves": "outdoor_unit", "disconnect": disconnect}
        job = {"job_id": "7", "schema_version": 1, "site": {"jurisdiction": "xx-ash"}, "circuits": [circuit],
               "dates": {"permit_applied": applied}}  # fmt: skip
        report = checker_with(ash).check(read_text(json.dumps(job).encode(), "job.json"), datetime.date(2027, 6, 1))
        return next(f.outcome for f in report.findings if f.rule == "disconnect-fitted-in-sight")

    assert ("pass", "fail") == (outcome("2027-02-28"), outcome("2027-03-01"))


def test_a_line_added_by_a_group_stands_alone_in_its_file(here: Path) -> None:
    changeout("rules", "new", "birch-group", "--uses", "alder-county")
    result = changeout("rules", "amend", "disconnect-fitted-in-sight", "--into", "birch-group", "--from", "always",
                       "--add", "item.disconnect.lockable", "--reason", "We lock it.", "--document", "handbook",
                       "--section", "3", "--sure", "checked", "--yes", typed=["yes", "no"])  # fmt: skip
    assert 0 == result.exit_code, result.output
    change = checker_with(here / "birch-group").library.get("birch-group").amend["disconnect-fitted-in-sight"]
    assert change.add is not None
    assert ({}, ["item.disconnect.lockable"], None) == (change.set, change.add.require, change.starts)
    assert {"2020", "2023"} <= set(change.meaning), "every edition in force there"
    assert ["pass", "fail", "verify_locally"] == [case.expect for case in change.cases]


def test_a_new_line_that_cannot_be_read_is_asked_again(ash: Path) -> None:
    result = changeout("rules", "amend", "disconnect-fitted-in-sight", "--into", "ash-county", "--from", "always",
                       typed=["add a line", "item.disconnect.lockabel", "item.disconnect.distance <= 9 ft"])  # fmt: skip
    assert "Did you mean 'item.disconnect.lockable'?" in result.output
    assert "9 ft is used as a limit without a name. Give it a name and a source under 'limits:'" in result.output
    assert 130 == result.exit_code


def test_a_case_that_names_no_rule_is_told(ash: Path) -> None:
    (file,) = (ash / "amendments").iterdir()
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r", rule: [a-z-]+", "", text, count=1), encoding="utf-8")
    result = changeout("rules", "cases", "ash-county")
    assert "which is not a rule here.\n" in result.output
    assert "Name the rule that the case tests under 'rule:'." in result.output
    assert 1 == result.exit_code


def test_a_rule_is_withdrawn_and_no_longer_applies(ash: Path, unlinted: None) -> None:
    result = changeout("rules", "amend", "breaker-handle-within-reach", "--into", "ash-county", "--from", "2027-03-01",
                       "--withdraw", "--reason", "Panels hang low here.", "--document", "ordinance", "--section", "14",
                       "--sure", "checked", "--yes")  # fmt: skip
    assert (
        "'at the limit of this place' expects pass; the rule says does_not_apply"
        not in result.output.split("Written")[0]
    )
    change = checker_with(ash).library.get("ash-county").withdraw["breaker-handle-within-reach"]
    assert ["does_not_apply"] == [case.expect for case in change.cases]


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("disconnect-fitted-in-site", "Did you mean 'disconnect-fitted-in-sight'?"),
        ("no-knowing-release", "'no-knowing-release' is federal: it holds everywhere as it is."),
        ("umc-drain-falls", "There is no rule 'umc-drain-falls' below ash-county"),
    ],
)
def test_a_rule_that_cannot_be_amended_is_told(ash: Path, rule: str, said: str) -> None:
    before = files_of(ash)
    result = changeout("rules", "amend", rule, "--into", "ash-county", "--from", "always")
    assert said in result.output
    assert (2, before) == (result.exit_code, files_of(ash))


def test_a_group_cannot_loosen_a_shall(here: Path, unlinted: None) -> None:
    changeout("rules", "new", "birch-group", "--uses", "larch-state")
    words = ("rules", "amend", "disconnect-fitted-in-sight", "--into", "birch-group", "--from", "always")
    loosened = changeout(*words, "--limit", "farthest_disconnect", "--to", "80", "--reason", "r", "--document", "handbook",
                         "--section", "1", "--sure", "checked", "--yes")  # fmt: skip
    withdrawn = changeout(*words, "--withdraw", "--yes")
    assert (
        "A group ruleset can only make 'disconnect-fitted-in-sight' stricter, because it is a 'shall'."
        in loosened.output
    )
    assert "only code, state and local rulesets withdraw it" in withdrawn.output
    assert (2, 2) == (loosened.exit_code, withdrawn.exit_code)


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        (
            "farthest_disconnect",
            "In edition 2023 this rule does not use farthest_disconnect; it uses county_farthest_disconnect (25 ft).",
        ),
        ("zzz", "'zzz' is none of: county_farthest_disconnect."),
    ],
)
def test_a_limit_that_the_rule_does_not_use_there_is_told_with_the_one_it_uses(
    here: Path, unlinted: None, limit: str, said: str
) -> None:
    changeout("rules", "new", "birch-group", "--uses", "alder-county")
    before = files_of(here / "birch-group")
    result = changeout("rules", "amend", "disconnect-fitted-in-sight", "--into", "birch-group", "--from", "always",
                       "--limit", limit)  # fmt: skip
    assert said in result.output
    assert (2, before) == (result.exit_code, files_of(here / "birch-group"))


def test_a_rule_is_told_as_show_tells_it(ash: Path) -> None:
    rule = "return-air-away-from-combustion"
    told = changeout("rules", "amend", rule, "--into", "ash-county", "--from", "always").output.split("\n\n1. ")[0]
    shown = changeout("rules", "show", rule, "--place", "xx-ash", "--rules", "ash-county").output
    lines = [line.strip() for line in told.split("\n")[1:]]
    assert len(lines) > 3
    assert "\n".join(lines) in "\n".join(line.strip() for line in shown.split("\n"))
    assert "{'" not in told


def test_what_is_left_open_is_told_with_its_line(ash: Path, unlinted: None) -> None:
    result = changeout("rules", "amend", "disconnect-fitted-in-sight", "--into", "ash-county", "--limit", "farthest_disconnect",
                       "--to", "30", "--from", "always", "--document", "ordinance", "--yes", typed=["", ""])  # fmt: skip
    assert "Still to be filled in:\n  ash-county/amendments/farthest_disconnect.yaml:" in result.output
    assert "reason: to fill in" in result.output


def test_a_refused_edit_leaves_the_folder_as_it_was(ash: Path) -> None:
    before = files_of(ash)
    result = changeout("rules", "adopt", "nec", "2026", "2029-01-01", "--into", "ash-county", "--counts",
                       "dates.permit_applied", "--citation", "Ordinance 12", typed=["no"])  # fmt: skip
    assert "Nothing was written." in result.output
    assert (130, before) == (result.exit_code, files_of(ash))


# --- answer ----------------------------------------------------------------------------------------------------------


def test_an_answer_about_a_limit_left_to_the_place_gives_its_value(ash: Path, unlinted: None) -> None:
    result = changeout("rules", "answer", "service-receptacle-near", "--into", "ash-county", "--on", "2027-02-01", "--words",
                       "With every new unit.", "--who", "E. Hollin", "--office", "Building office", "--reference", "letter 9",
                       "--yes", typed=["held"])  # fmt: skip
    assert 0 == result.exit_code, result.output
    answer = checker_with(ash).library.get("ash-county").answers["service-receptacle-near-2027-02-01"]
    assert ("as_written", {"premises_rules_on_replacement": "held"}) == (answer.answer, answer.values)


def test_an_answer_to_a_rule_that_asks_nothing_is_told(ash: Path) -> None:
    result = changeout("rules", "answer", "disconnect-fitted-in-sight", "--into", "ash-county")
    assert "'disconnect-fitted-in-sight' puts no question to the authority here." in result.output
    assert (2, False) == (result.exit_code, (ash / "answers").exists())


def test_a_group_is_told_that_it_cannot_record_a_shall_as_not_asked_before_it_is_written(
    here: Path, unlinted: None
) -> None:
    changeout("rules", "new", "birch-group", "--uses", "larch-state")
    words = ("rules", "answer", "kept-access-put-to-the-authority", "--into", "birch-group", "--on", "2027-02-01")
    result = changeout(*words, "--answer", "not_asked", "--yes")
    assert "is a 'shall'; a group ruleset cannot record that it is not asked." in result.output
    assert "What was said" not in result.output
    assert (2, False) == (result.exit_code, (here / "birch-group" / "answers").exists())


def test_a_second_answer_to_a_question_is_told_before_it_is_written(ash: Path, unlinted: None) -> None:
    words = ["rules", "answer", "kept-access-put-to-the-authority", "--into", "ash-county", "--on", "2027-02-01", "--words",
             "w", "--who", "E. Hollin", "--office", "o", "--reference", "letter 7", "--yes", "--answer"]  # fmt: skip
    assert 0 == changeout(*words, "not_asked").exit_code
    before = files_of(ash)
    result = changeout(*words, "as_written")
    assert "Two answers to one question of 'kept-access-put-to-the-authority' hold on one day" in result.output
    assert "ash-county/answers/" in result.output
    assert (2, before) == (result.exit_code, files_of(ash))


# --- adopt -----------------------------------------------------------------------------------------------------------


def test_an_adopted_edition_is_one_line_more_and_amendments_are_carried_on(ash: Path) -> None:
    before = files_of(ash)
    ((name, change),) = checker_with(ash).library.get("ash-county").amend.items()
    checker = checker_with(ash)
    code = layers_around(checker, checker.library.get("ash-county")).home("limits", name)
    newest = code.header.editions[-1]
    assert newest not in change.meaning
    result = changeout("rules", "adopt", code.id, newest, "2029-01-01", "--into", "ash-county", "--counts",
                       "dates.permit_applied", "--citation", "Ordinance 12", typed=["yes", "yes", "yes"])  # fmt: skip
    assert 0 == result.exit_code, result.output
    texts = (files["ruleset.yaml"].splitlines() for files in (before, files_of(ash)))
    (line,) = (line for line in difflib.ndiff(*texts) if not line.startswith("  "))
    assert line.startswith("+ ")
    assert [{"code": code.id, "edition": newest, "from": "2029-01-01", "counts": "dates.permit_applied",
             "citation": "Ordinance 12"}] == yaml.load(line[1:], EditorsYaml)  # fmt: skip
    ((name, change),) = checker_with(ash).library.get("ash-county").amend.items()
    assert f"'{name}' requires the same under the new edition as it did where it was changed." in result.output
    assert newest in change.meaning


def test_a_code_that_is_not_used_yet_is_used_with_its_first_adoption(ash: Path, unlinted: None) -> None:
    result = changeout("rules", "adopt", "umc-mechanical", "2024", "2029-01-01", "--into", "ash-county", "--counts",
                       "dates.permit_issued", "--citation", "Ordinance 13", "--yes")  # fmt: skip
    assert 0 == result.exit_code, result.output
    assert ">=1.0, <2" == checker_with(ash).library.get("ash-county").header.uses["umc-mechanical"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("necc", "2026", "2029-01-01"), "'necc' is none of: irc-mechanical, nec, umc-mechanical."),
        (("1", "2026", "2029-01-01"), "'1' is none of: irc-mechanical, nec, umc-mechanical."),
        (("nec", "2019", "2029-01-01"), "'2019' is none of: 2014, 2017, 2020, 2023, 2026."),
        (("nec", "2026", "2027-01-01"), "nec 2023 is adopted from that day already (Ordinance 9, section 1)."),
        (("nec", "2026", "next year"), "'next year' is not a date: write year-month-day, such as 2027-01-01."),
    ],
)
def test_an_adoption_that_cannot_be_is_told(ash: Path, words: tuple[str, ...], said: str) -> None:
    result = changeout("rules", "adopt", *words, "--into", "ash-county", "--yes")
    assert said in result.output
    assert 2 == result.exit_code


OLDER = ("rules", "adopt", "nec", "2020", "2029-01-01", "--into", "ash-county", "--counts", "dates.permit_applied",
         "--citation", "Ordinance 12")  # fmt: skip
TURNED = "Note: nec 2023 is in force since 2027-01-01; from 2029-01-01, the older 2020 is."


def test_an_older_edition_after_a_newer_one_is_asked_about(ash: Path) -> None:
    before = files_of(ash)
    result = changeout(*OLDER, typed=[""])
    assert TURNED in result.output
    assert (130, before) == (result.exit_code, files_of(ash))


def test_an_older_edition_after_a_newer_one_is_written_with_a_warning_where_nothing_is_asked(
    ash: Path, unlinted: None
) -> None:
    result = changeout(*OLDER, "--yes")
    assert TURNED in result.output
    assert "Ordinance 12" in files_of(ash)["ruleset.yaml"]


def test_a_newer_edition_before_an_older_one_is_asked_about_and_the_usual_order_is_not(ash: Path) -> None:
    rest = ("--into", "ash-county", "--counts", "dates.permit_applied", "--citation", "Ordinance 12")
    early = changeout("rules", "adopt", "nec", "2026", "2026-12-01", *rest, typed=[""])
    assert "Note: nec 2026 is newer than 2023, which takes its place on 2027-01-01." in early.output
    assert "Note:" not in changeout("rules", "adopt", "nec", "2026", "2029-01-01", *rest, typed=["no"]).output


def test_a_group_puts_no_edition_in_force(here: Path, unlinted: None) -> None:
    changeout("rules", "new", "birch-group", "--uses", "larch-state")
    before = files_of(here / "birch-group")
    result = changeout("rules", "adopt", "nec", "2023", "2029-01-01", "--into", "birch-group", "--yes")
    assert "birch-group is a group ruleset, and cannot put an edition of a code in force." in result.output
    assert (2, before) == (result.exit_code, files_of(here / "birch-group"))


def test_a_word_that_an_option_only_begins_is_told(ash: Path, unlinted: None) -> None:
    result = changeout("rules", "adopt", "irc", "2024", "2029-01-01", "--into", "ash-county", "--counts",
                       "dates.permit_applied", "--citation", "Ordinance 14", "--yes")  # fmt: skip
    assert "'irc' is read as: irc-mechanical." in result.output
    assert 1 == result.output.count("is read as"), "the edition was written whole"


# --- list and show ---------------------------------------------------------------------------------------------------


def test_the_list_tells_editions_and_who_changed_what(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "150")
    shown = changeout("rules", "overview", "--place", "xx-alder", "--on", "2026-08-01").output
    assert "edition 2023 since 2026-07-01 (alder-county: Ordinance 2026-07; decided by dates.permit_applied)" in shown
    assert "amended by alder-county since 2026-07-01 (Alder County ordinance 2026-07 section 4)" in shown
    assert "withdrawn by alder-county" in shown
    assert "limit holidays moved by alder-county" in shown
    assert (
        "amended by alder-county since"
        not in changeout("rules", "overview", "--place", "xx-alder", "--on", "2026-06-30").output
    )


@pytest.mark.parametrize("columns", [60, 90, 120])
def test_the_list_keeps_within_the_terminal(monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    shown = changeout("rules", "overview", "--place", "xx-alder", "--on", "2026-08-01").output
    assert [] == [line for line in shown.split("\n") if len(line) > columns]


def test_show_is_explain() -> None:
    words = ("disconnect-fitted-in-sight", "--place", "xx-alder", "--on", "2026-08-01")
    assert changeout("explain", *words).output == changeout("rules", "show", *words).output != ""


# --- edits of text ---------------------------------------------------------------------------------------------------

ENTRY = {"reason": "Why: because.", "meaning": file_edits.OneLine({"2023": "0123456789abcdef"}), "set": {"title": "no"}}
TOPIC = """\
# Kept by hand.
limits:          # what is measured
    a_limit: {title: "A", values: []}   # a remark


amend:
    one-rule:
        reason: >-
          A reason
          of two lines.
    # a remark on the next one
    two-rule: {reason: short}

# Facts of our own.
facts:
  card: {form: flag}
"""


def added(text: str, section: str = "amend") -> str:
    return file_edits.with_entry(text, "topic.yaml", "# head\n", section, "new-rule", ENTRY)


@pytest.mark.parametrize("section", ["limits", "amend", "facts", "withdraw"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"], ids=["unix", "windows"])
@pytest.mark.parametrize("last", [True, False], ids=["ends", "open"])
def test_an_entry_is_added_and_every_other_byte_stays(section: str, ending: str, last: bool) -> None:
    text = (TOPIC if last else TOPIC.rstrip("\n")).replace("\n", ending)
    new = added(text, section)
    at = next(i for i, pair in enumerate(zip(text + " ", new, strict=False)) if pair[0] != pair[1])
    kept = len(new) - len(text)
    assert text in (new[:cut] + new[cut + kept :] for cut in range(at + 1)), "something else was changed"
    assert {"\r\n": 0, "\n": new.count("\n")}[ending] == new.count("\n") - new.count("\r\n")
    assert "Why: because." == read_text(new.encode(), "topic.yaml").data[section]["new-rule"]["reason"]
    assert "no" == read_text(new.encode(), "topic.yaml").data[section]["new-rule"]["set"]["title"]


def test_a_remark_above_the_next_section_stays_above_it() -> None:
    assert "\n# Facts of our own.\nfacts:" in added(TOPIC)


def test_an_entry_takes_the_indent_of_those_beside_it() -> None:
    assert "\n    new-rule:\n      reason: " in added(TOPIC)


def test_a_byte_order_mark_stays() -> None:
    assert added("\ufeff" + TOPIC).startswith("\ufeff# Kept by hand.")


def test_a_file_of_remarks_only_keeps_them_and_a_new_one_gets_its_head() -> None:
    assert "# only this\namend:\n  new-rule:" in added("# only this\n")
    assert added("").startswith("# head\namend:\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("amend:\n  new-rule: {reason: r}\n", "'new-rule' is already under 'amend'."),
        ("amend: {one-rule: {reason: r}}\n", "'amend' is written between brackets here"),
        ("amend:\n  - one\n :", "topic.yaml"),
        ("- one\n", "This file has to be names with values."),
    ],
)
def test_a_file_that_cannot_be_added_to_is_told(text: str, said: str) -> None:
    with pytest.raises(ProblemsFound) as told:
        added(text)
    assert said in str(told.value.problems[0])


@pytest.mark.parametrize("text", ["a: b", "no", "2023", "# x", "it's", 'say "so"', "{x}", "a, b", "[a]", "x #y", "-", "50 ft",
                                  "back\\slash", "a\n  b", "é°", "trailing:", "<= 3", "&a", "*a", "!t", "%x", "@x", "`x`",
                                  "12:30", "0.1.0", "1e5", "12345e67890123456"])  # fmt: skip
def test_whatever_is_typed_is_the_text_that_is_read(text: str) -> None:
    plain: Any = " ".join(text.split())
    entry = {"alone": text, "list": [text], "flow": file_edits.OneLine({"a": text, "b": [text]})}
    new = file_edits.with_entry("", "t.yaml", "", "amend", "r", entry)
    read = read_text(new.encode(), "t.yaml").data["amend"]["r"]
    assert {"alone": plain, "list": [plain], "flow": {"a": plain, "b": [plain]}} == read
    assert plain == str(yaml.load(new, EditorsYaml)["amend"]["r"]["alone"]), "an editor reads something else"


def test_a_file_changed_meanwhile_is_left_alone(here: Path) -> None:
    from checker.commands.ruleset_edits import Edit, _put

    file = here / "a.yaml"
    file.write_text("ours: 2\n")
    with pytest.raises(ProblemsFound, match="changed the file in the meantime"):
        _put([Edit(here / "b.yaml", None, "b: 1\n"), Edit(file, "ours: 1\n", "ours: 3\n")])
    assert ("ours: 2\n", False) == (file.read_text(), (here / "b.yaml").exists())


# --- on a terminal ---------------------------------------------------------------------------------------------------


def test_a_county_is_made_on_a_terminal_with_mistakes_on_the_way(here: Path) -> None:
    pexpect = pytest.importorskip("pexpect")
    terminal = pexpect.spawn(sys.executable, ["-c", "from checker.cli import main; main()", "rules", "new"], cwd=str(here),
                             env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb"}, encoding="utf-8", timeout=90,
                             dimensions=(40, 90))  # fmt: skip
    mistakes = {0: "Ash County", 4: "xx-alder", 8: "next January"}
    said = {
        0: "cannot be a ruleset's name",
        4: "alder-county covers xx-alder already",
        8: "is not a date: write year-month-day",
    }
    for index, answer in enumerate(COUNTY):
        terminal.expect(r"\r\n  > ")
        if index in mistakes:
            terminal.sendline(mistakes[index])
            terminal.expect(said[index])
            terminal.expect(r"\r\n  > ")
        terminal.sendline(answer)
    terminal.expect("ash-county: nothing wrong with it")
    terminal.expect(pexpect.EOF)
    terminal.close()
    assert 0 == terminal.exitstatus
    assert ["amendments/most_cabinet_leakage.yaml", "facts.yaml", "rules.yaml", "ruleset.yaml"] == sorted(
        files_of(here / "ash-county")
    )


def test_the_end_of_input_leaves_nothing_behind(here: Path) -> None:
    done = subprocess.run([sys.executable, "-c", "from checker.cli import main; main()", "rules", "new", "ash-county"],
                          cwd=here, env={**os.environ, "PYTHONPATH": str(ROOT)}, stdin=subprocess.DEVNULL, check=False,
                          capture_output=True, text=True)  # fmt: skip
    assert (130, "", []) == (done.returncode, done.stderr, list(here.iterdir()))
