"""The worked cases as JSON vectors: whoever has the document alone comes to what the cases state."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import orjson
import pytest

from checker.authoring.cases import stated
from checker.authoring.vectors import vectors
from checker.engine.checker import Checker
from checker.ir.outcomes import FAIL, PASS
from checker.ir.program import loaded
from checker.judging.generated_code import DOES_NOT_APPLY
from tests.support.commands import changeout
from tests.support.program_reader import needed, outcomes

SOME = ("federal-efficiency", "larch-state", "sorrel-county", "millrace-group", "alder-county")


def replayed(checker: Checker, names: Iterable[str]) -> tuple[list[dict[str, Any]], list[tuple[str, str, list[str]]]]:
    """The cases of some rulesets as another reader gets them, and those that lead it elsewhere."""
    text = orjson.dumps(vectors(checker, [checker.library.rulesets[name] for name in names]))
    data = orjson.loads(text)
    programs = [loaded(one) for one in data["programs"]]
    wrong = []
    for one in data["cases"]:
        program = programs[one["program"]]
        said = outcomes(program, one)
        if said != [one["expect"]]:
            wrong.append((one["rule"], one["name"], said))
        if one.get("needs") is not None and len(one["versions"]) == 1 and set(one["needs"]) != needed(program, one):
            wrong.append((one["rule"], one["name"], sorted(needed(program, one))))
    return data["cases"], wrong


def test_the_document_alone_leads_to_what_the_cases_state(shipped: Checker) -> None:
    told, wrong = replayed(shipped, SOME)
    assert wrong == []
    assert len(told) == sum(len([*stated(shipped.library.rulesets[name])]) for name in SOME)
    assert {PASS, FAIL, DOES_NOT_APPLY} <= {one["expect"] for one in told}


@pytest.mark.long
@pytest.mark.parametrize("name", ["irc-mechanical", "nec", "umc-mechanical", "epa-refrigerant", "manufacturer-instructions",
                                  "commissioning"])  # fmt: skip
def test_so_it_does_for_every_shipped_ruleset(shipped: Checker, name: str) -> None:
    told, wrong = replayed(shipped, [name])
    assert wrong == []
    assert len(told) > 100


def test_every_shipped_ruleset_is_replayed(shipped: Checker) -> None:
    long = {"irc-mechanical", "nec", "umc-mechanical", "epa-refrigerant", "manufacturer-instructions", "commissioning"}
    assert {*SOME} | long == {*shipped.library.rulesets}


def test_a_changed_value_leads_elsewhere(shipped: Checker) -> None:
    """The outcome comes out of the facts of the vector, not out of what it expects."""
    data = vectors(shipped, [shipped.library.rulesets["sorrel-county"]])
    programs = [loaded(one) for one in data["programs"]]
    emptied = [{**one, "values": {}, "lists": {}} for one in data["cases"]]
    turned = [one for one in emptied if outcomes(programs[one["program"]], one) != [one["expect"]]]
    assert turned


def test_the_command_writes_the_cases_of_a_folder_and_nothing_where_one_does_not_hold(tmp_path: Path) -> None:
    file = tmp_path / "cases.json"
    said = changeout("rules", "cases", "rulesets/jurisdictions/sorrel-county", "--export", str(file))
    data = json.loads(file.read_text(encoding="utf-8"))
    assert said.returncode == 0
    assert f"{file}: {len(data['cases'])} cases by {len(data['programs'])} programs." in said.stdout
    assert {one["ruleset"] for one in data["cases"]} == {"sorrel-county"}
    assert data["vectors"] == 1
    for one in data["cases"]:
        assert {"rule", "name", "program", "editions", "versions", "given", "values", "lists", "expect"} <= set(one)
        assert all(version["day"] >= 1 for version in one["versions"])
    kept = file.read_bytes()
    wrong = tmp_path / "rules"
    wrong.mkdir()
    for part in Path("rulesets/jurisdictions/sorrel-county").glob("*.yaml"):
        (wrong / part.name).write_text(
            part.read_text(encoding="utf-8").replace("sorrel-county", "sorrel-copy").replace("xx-sorrel", "xx-sorrel-copy")
            .replace("expect: pass", "expect: fail"), encoding="utf-8",
        )  # fmt: skip
    said = changeout("rules", "cases", str(wrong), "--export", str(file))
    assert said.returncode == 1
    assert "Nothing was written: first every case has to say what it states." in said.stdout
    assert file.read_bytes() == kept
