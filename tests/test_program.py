"""The program of a place as one JSON document: what is written comes back, and judging by it is judging by the rulesets."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, ClassVar

import jsonschema_rs
import orjson
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from checker import trade
from checker.engine.checker import Checker
from checker.engine.variants import RuleVersions, merged
from checker.ir import program_schema, tree
from checker.ir.codec import KINDS, CodecError, Encoder, decoded, tag_of
from checker.ir.program import FORMAT, Program, document, loaded
from checker.ir.visitor import walk
from checker.reading.files import read_file, read_text
from checker.reading.shipped import shipped as shipped_folder
from checker.reporting import json as as_json
from checker.rulesets.applicability import Setting, Versions
from checker.rulesets.chain import Chain
from tests.support.jobs import whole_job
from tests.support.rulesets import ON

ROOT = Path(__file__).parent.parent
EXAMPLES = sorted((ROOT / "examples" / "jobs").glob("*.json"))
WHOLE = sorted(path for path in (ROOT / "tests" / "jobs").glob("*.json"))
SCHEMA = program_schema.schema()
LONG = ("xx-alder", "")  # with the other, every shipped rule stands somewhere
PLACES = ["xx-sorrel", *(pytest.param(place, marks=pytest.mark.long) for place in LONG)]


def written(program: Program) -> Any:
    """A program as another reader gets it."""
    return orjson.loads(orjson.dumps(document(program)))


class Programs(dict[str, Program]):
    """The whole program of each place, made when it is asked for."""

    def __init__(self, checker: Checker) -> None:
        self.checker = checker

    def __missing__(self, place: str) -> Program:
        self[place] = self.checker.whole_program(self.checker.chain(place))
        return self[place]


@pytest.fixture(scope="module")
def programs(shipped: Checker) -> Programs:
    return Programs(shipped)


@pytest.mark.parametrize("place", PLACES)
def test_every_shipped_rule_comes_back_as_it_was(programs: Programs, place: str) -> None:
    """Equal nodes, and equal to the last sign when they are written again: 1, 1.0 and true are three things."""
    before = programs[place]
    after = loaded(written(before))
    assert after.rules.keys() == before.rules.keys()
    for name, versions in before.rules.items():
        for one, other in zip(versions, after.rules[name], strict=True):
            assert one == other
    assert orjson.dumps(document(after)) == orjson.dumps(document(before))


@pytest.mark.long
def test_every_shipped_rule_is_in_one_of_these_programs(shipped: Checker, programs: Programs) -> None:
    made = [programs[place] for place in ("xx-sorrel", *LONG)]
    for one in (one for one in shipped.library.rulesets.values() if one.header.owner_kind == "group"):
        its = shipped.using(one.id)
        made.append(its.whole_program(its.chain(one.header.covers[0] if one.header.covers else "xx-alder")))
        assert loaded(written(made[-1])) == made[-1]
    rules = {name for ruleset in shipped.library.rulesets.values() for name in ruleset.rules}
    assert rules == {name for program in made for name in program.rules}
    versions = [one for program in made for each in program.rules.values() for one in each]
    assert rules == {one.rule.id for one in versions if one.rule}


def test_a_rule_comes_back_equal_to_the_last_sign_as_it_is_printed(programs: Programs) -> None:
    before = programs["xx-sorrel"]
    assert repr(loaded(written(before))) == repr(before)


@pytest.mark.parametrize("place", PLACES)
def test_the_document_is_as_its_schema_says(programs: Programs, place: str) -> None:
    data = written(programs[place])
    assert [str(error) for error in jsonschema_rs.validator_for(SCHEMA).iter_errors(data)] == []
    by_kind = {tag: Draft202012Validator({"$ref": f"#/$defs/{tag}", "$defs": SCHEMA["$defs"]}) for tag in KINDS}
    seen = {node["is"]: node for node in data["nodes"]}  # the slower validator looks at one of each kind
    assert {tag: [e.message for e in by_kind[tag].iter_errors(node)] for tag, node in seen.items()} == {
        tag: [] for tag in seen
    }


def test_the_schema_that_ships_is_current() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    path = shipped_folder("schemas") / "program.schema.json"
    assert path.read_text(encoding="utf-8") == program_schema.text(), (
        "python -m checker.ir.program_schema > schemas/program.schema.json"
    )


@pytest.fixture(scope="module")
def sorrel(programs: Programs) -> Any:
    """The program of a county, as another reader gets it."""
    return written(programs["xx-sorrel"])


NO_PROGRAMS: list[dict[str, Any]] = [
    {"program": 2},
    {"nodes": [{"is": "no_such_kind"}]},
    {"nodes": [{"is": "fact", "path": 3, "frame": "job", "kind": "flag"}]},
    {"nodes": [{"is": "truth", "value": -1, "text": ""}]},
    {"rules": {"a": [{}]}},
    {"more": 1},
]


@pytest.mark.parametrize("change", NO_PROGRAMS, ids=str)
def test_the_schema_refuses_what_is_no_program(sorrel: Any, change: dict[str, Any]) -> None:
    assert not jsonschema_rs.validator_for(SCHEMA).is_valid({**sorrel, **change})


@pytest.mark.parametrize(
    "nodes",
    [
        [{"is": "no_such_kind"}], [{"path": "a"}], [{"is": "truth", "value": 0, "text": ""}], ["fact"], [None],
        [{"is": "truth", "value": -1, "text": ""}], [{"is": "fact", "path": "a", "frame": "job", "kind": "flag", "more": 1}],
    ],
    ids=str,
)  # fmt: skip
def test_what_is_no_node_is_refused_and_never_guessed_at(nodes: list[Any]) -> None:
    with pytest.raises(CodecError):
        decoded(nodes)


@pytest.mark.parametrize("data", [None, [], {}, {"program": FORMAT}, {"program": FORMAT + 1, "nodes": []}], ids=str)
def test_what_is_no_program_of_this_format_is_refused(data: Any) -> None:
    with pytest.raises(CodecError):
        loaded(data)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_no_nan_and_no_infinity_goes_out(value: float) -> None:
    with pytest.raises(CodecError):
        Encoder().part(tree.Constant("a", value, "number"))


ENDS = st.floats(allow_nan=False)
WORDS = st.text(max_size=3)
ROWS = st.builds(
    tree.Row, st.lists(WORDS | st.tuples(ENDS, ENDS).map(sorted).map(tuple), max_size=3).map(tuple),
    st.none() | WORDS | st.booleans() | st.integers(-9, 9) | st.floats(allow_nan=False, allow_infinity=False),
)  # fmt: skip


@given(st.lists(ROWS, max_size=8))
def test_equal_numbers_of_different_types_and_open_ends_come_back_as_they_were(rows: list[tree.Row]) -> None:
    ends = [end for row in rows for key in row.keys if isinstance(key, tuple) for end in key]
    if any(math.isinf(end) and (end > 0) == (place % 2 == 0) for place, end in enumerate(ends)):
        return  # a range that begins above everything, or ends below it, holds nothing and is never made
    writer = Encoder()
    places = writer.part(tuple(rows))
    made = decoded(orjson.loads(orjson.dumps(writer.nodes)))
    assert repr([made[place] for place in places]) == repr(rows)


def test_every_kind_of_node_has_a_name_of_its_own() -> None:
    assert tag_of(tree.AnyOf) == "any_of"
    assert len(KINDS) == len({kind.__name__ for kind in KINDS.values()})
    assert KINDS["bound_rule"] is tree.BoundRule


def test_a_program_is_read_without_pydantic_and_without_yaml(programs: Programs, tmp_path: Path) -> None:
    file = tmp_path / "program.json"
    file.write_bytes(orjson.dumps(document(programs["xx-sorrel"])))
    said = "import json, sys; from checker.ir.program import loaded; import checker.judging.judge;"
    said += f"print(len(loaded(json.load(open({str(file)!r}))).rules));"
    said += "print(*sorted({'pydantic', 'yaml', 'click', 'jinja2', 'CoolProp'} & {*sys.modules}))"
    found = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True, cwd=ROOT)
    assert found.stdout.split("\n")[:2] == [str(len(programs["xx-sorrel"].rules)), ""]


def test_a_program_tells_which_rule_holds_on_a_day_under_an_edition(shipped: Checker, programs: Programs) -> None:
    """As binding tells it, for every rule, edition and period of a place."""
    place = shipped.chain("xx-sorrel")
    for name, versions in programs["xx-sorrel"].rules.items():
        for one in versions:
            days = {one.day, (one.until or one.day + 1) - 1}
            for day in days:
                bound = shipped.bound(place, name, Setting(one.editions, day, "", ""))
                assert programs["xx-sorrel"].rule(name, dict(one.editions), day) == bound


def test_the_functions_that_rules_call_are_told_with_all_that_works_them_out(programs: Programs) -> None:
    for program in [programs["xx-sorrel"]]:
        rules = [one.rule for versions in program.rules.values() for one in versions if one.rule]
        called = {node.function for rule in rules for node in walk(rule) if isinstance(node, tree.Call)}
        assert called <= program.functions.keys()
        assert {"standard_at_most", "standard_at_least"} <= program.functions.keys()  # called by other functions alone
        for name, one in program.functions.items():
            assert one.version == trade.functions()[name].version
            assert len(one.arguments) == len(trade.functions()[name].arguments)
            if one.form == "curve":
                assert one.data["curve"] in program.curves[one.data["file"]]["curves"]["R-410A"]


def test_an_edition_that_the_program_was_not_made_for_is_refused(programs: Programs) -> None:
    name, versions = next((n, v) for n, v in programs["xx-sorrel"].rules.items() if v[0].editions)
    with pytest.raises(KeyError):
        programs["xx-sorrel"].rule(name, {code: "1066" for code, _ in versions[0].editions}, versions[0].day)


class ByDocument(Checker):
    """Judges by rules that went out as JSON and came back."""

    came_back: ClassVar[dict[Any, tuple[RuleVersions, ...]]] = {}

    def program(self, place: Chain, versions: Versions) -> tuple[RuleVersions, ...]:
        key = (place.digest, repr(versions.key))
        if key not in self.came_back:
            after = loaded(written(self.program_of(place, versions.settings)))
            self.came_back[key] = tuple(
                RuleVersions(name, tuple(merged((Setting(*one.setting), one.rule) for one in several)))
                for name, several in after.rules.items()
            )
        return self.came_back[key]


def jobs() -> Iterator[Any]:
    for number, path in enumerate(EXAMPLES):
        yield pytest.param(path, id=f"examples/{path.stem}", marks=[pytest.mark.long] if number > 2 else [])
    yield from (pytest.param(path, id=f"jobs/{path.stem}", marks=pytest.mark.long) for path in WHOLE)


@pytest.fixture(scope="module")
def by_document(shipped: Checker) -> ByDocument:
    return ByDocument(shipped.library, shipped.vocabulary)


@pytest.mark.parametrize("path", [*jobs()])
def test_judging_by_the_document_is_judging_by_the_rulesets(
    shipped: Checker, by_document: ByDocument, path: Path
) -> None:
    job = read_file(path) if path in EXAMPLES else read_text(json.dumps(whole_job(path)).encode(), path.name)
    one, other = (json.loads(as_json.render([checker.check(job, ON)])) for checker in (shipped, by_document))
    assert one == other
