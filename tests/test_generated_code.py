"""No text of a ruleset is part of generated code: all of it is read again and holds our own names and nothing else."""

from __future__ import annotations

import ast
import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checker.binding import parser
from checker.binding.parser import ExpressionError
from checker.engine.checker import Checker
from checker.engine.functions import OFTEN
from checker.ir import tree
from checker.ir.node import replace
from checker.ir.visitor import children
from checker.judging import generated_code
from checker.judging.exactness import Domain
from checker.judging.generated_code import compiled, together
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_file, read_text
from checker.reading.job import Job, load
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.applicability import Versions
from checker.rulesets.library import open_library
from tests.support.rulesets import ON, TINY
from tests.support.small_domains import rule

EXAMPLES = sorted((Path(__file__).parent.parent / "examples" / "jobs").glob("*.json"))
READ = re.compile(
    r"get|at|see|call|walk|look|days?|abs|len|missing|marks|NAN|NONE|UNREAD|BETWEEN|Range|[cfov]\d+|[nxwm]"
)
SET = re.compile(r"[fov]\d+|[nxwm]")
OF_AN_OBJECT = re.compile(r"value|__class__")
GROWING = ("n.append", "m.append")  # the lists of what is missing, and of what is left to settle
CALLED = ("get", "see", "call", "walk", "look", "day", "days", "abs", "len", "missing", "marks", *GROWING)
SIGNATURE = "def judge(get, at, see)"
PLAIN = (True, False, None)
OPERATORS = {"<", "<=", ">", ">=", "==", "!=", "+", "-", "*", "/"}
ALLOWED = (
    ast.Module, ast.FunctionDef, ast.arguments, ast.arg, ast.Assign, ast.If, ast.Return, ast.List, ast.Name, ast.Load, ast.Store,
    ast.Call, ast.Attribute, ast.Subscript, ast.Constant, ast.BoolOp, ast.And, ast.Or, ast.UnaryOp, ast.Not, ast.IfExp,
    ast.Compare, ast.Is, ast.IsNot, ast.In, ast.NotIn, ast.Lt, ast.LtE, ast.Gt, ast.GtE, ast.Eq, ast.NotEq, ast.BinOp, ast.Add,
    ast.Sub, ast.Mult, ast.Div, ast.Tuple, ast.Expr, ast.Pass,
)  # fmt: skip
HOSTILE = (
    '"); __import__("os").system("x") #', "'''", '"""', "\\", "\n    raise SystemExit\n", "{0}", "f'{x}'", "K[0]", "judge",
    "c0 = 1", "\u2028", "\x00", "lambda: 0", "c1",
)  # fmt: skip


def foreign(source: str) -> list[str]:
    """What in a source is not ours: more than the one function, a kind of code that is never written, a name, a number."""
    module = ast.parse(source)
    heads = [_head(part) for part in module.body]
    found = [] if heads == [SIGNATURE] else heads
    nodes = [*ast.walk(module)]
    counted = {id(number) for node in nodes for number in _places(node)}
    for node in nodes:
        found += [node.name] if isinstance(node, ast.FunctionDef) and node not in module.body else []
        found += [] if isinstance(node, ALLOWED) else [type(node).__name__]
        found += [name for name, form in _names(node) if not form.fullmatch(name)]
        if isinstance(node, ast.Constant) and not (id(node) in counted or any(node.value is one for one in PLAIN)):
            found.append(repr(node.value))
        if isinstance(node, ast.Call) and ast.unparse(node.func) not in CALLED:
            found.append(ast.unparse(node))
    return found


def _head(part: ast.stmt) -> str:
    """What stands before the first colon of a statement; of a function only its head is written out."""
    if isinstance(part, ast.FunctionDef):
        part = copy.copy(part)
        part.body = [ast.Pass()]
    return ast.unparse(part).partition(":")[0]


def _names(node: ast.AST) -> Iterator[tuple[str, re.Pattern[str]]]:
    """The name in a node, with the form that it must have there."""
    if isinstance(node, ast.Name):
        yield node.id, SET if isinstance(node.ctx, ast.Store) else READ
    elif isinstance(node, ast.Attribute) and ast.unparse(node) not in GROWING:
        yield node.attr, OF_AN_OBJECT


def _places(node: ast.AST) -> Iterator[ast.Constant]:
    """The only numbers that are written: which of the paths is meant, `at[3]`, and which of the rules, `see(3)`."""
    found: list[ast.expr] = []
    if isinstance(node, ast.Subscript) and ast.unparse(node.value) == "at":
        found = [node.slice]
    elif isinstance(node, ast.Call) and ast.unparse(node.func) == "see":
        found = node.args
    yield from (one for one in found if isinstance(one, ast.Constant) and type(one.value) is int)


def sources(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Everything that is compiled from now on, as it is handed over."""
    found: list[str] = []

    def noted(source: str, name: str, mode: str) -> Any:
        found.append(source)
        assert not re.search(r"\D", name.replace("rules", "").strip("<> ")), name
        return compile(source, name, mode)

    monkeypatch.setattr(generated_code, "compile", noted, raising=False)
    return found


def unknown(_: tree.BoundRule, __: tree.Fact) -> Domain:
    return Domain()


@pytest.mark.parametrize(
    ("line", "seen"),
    [
        ("f0 = os", "os"), ("f0 = 'x'", "'x'"), ("f0 = 1.5", "1.5"), ("f0 = 1.0", "1.0"), ("f0 = 1", "1"), ("f0 = 4242", "4242"),
        ("f0 = c0 + 400", "400"), ("f0 = at['x']", "'x'"), ("f0 = see(c0, 'x')", "'x'"), ("f0 = at.append", "append"),
        ("import os", "Import"), ("f0 = lambda: 0", "Lambda"), ("c0 = f0", "c0"), ("judge = walk", "judge"),
        ("f0 = judge(get, at, see)", "judge"), ("f0 = c0(f0)", "c0(f0)"), ("f0 = x.append", "append"), ("f0 = m.pop", "pop"),
        ("f0 = f0.value(c0)", "f0.value(c0)"),
        ("f0 = call(*c0)", "Starred"), ("f0 = call(value=c0)", "keyword"), ("f0 = f'{c0}'", "JoinedStr"),
        ("def f0(): return c0", "f0"), ("f0 = [c0 for c0 in c1]", "ListComp"),
    ],
)  # fmt: skip
def test_what_is_foreign_would_be_seen(line: str, seen: str) -> None:
    clean = f"{SIGNATURE}:\n    f0 = get(c0, UNREAD).value\n    v1 = walk(see(0), at[3])\n    return [v1]\n"
    assert [] == foreign(clean)
    assert seen in foreign(clean.replace("    return", f"    {line}\n    return"))


@pytest.mark.parametrize(
    "more", ["f0 = None", "def judge(get, at, see, f0): return [c0]", "@call\ndef judge(get, at, see): return []"]
)
def test_more_than_the_one_function_would_be_seen(more: str) -> None:
    assert foreign(f"{SIGNATURE}:\n    return [c0]\n{more}\n")
    assert foreign(f"{more}\n")


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_every_field_stays_outside(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    found = sources(monkeypatch)
    function = together([_hostile(text)], unknown)
    compiled(_hostile(text))
    assert 2 == len(found)
    assert [] == [part for source in found for part in foreign(source)]
    assert READ.fullmatch(text) or text == "judge" or len(text) < 3 or all(text not in source for source in found)
    space = function.judge.__globals__  # type: ignore[attr-defined]
    assert text in space.values(), "it is handed over as it is"


@pytest.mark.long
def test_all_shipped_rules_are_written_in_our_own_names(shipped: Checker, monkeypatch: pytest.MonkeyPatch) -> None:
    found = sources(monkeypatch)
    bound = [one for one in _bound(shipped, "xx-alder") if not one.stale]
    for one in bound:
        compiled(one)
    assert len(bound) == len(found) > 150
    assert [] == [part for source in set(found) for part in foreign(source)]  # many rules are of one form


def test_whole_programs_of_shipped_rules_are_written_in_our_own_names(
    shipped: Checker, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = sources(monkeypatch)
    anew = Checker(shipped.library, shipped.vocabulary)
    for path in EXAMPLES[:6]:
        anew.outcomes(load(read_file(path), anew.vocabulary), ON)
    assert len(found) > 5
    assert max(source.count("\n") for source in found) > 100, "one function for several rules"
    assert [] == [part for source in found for part in foreign(source)]


@pytest.mark.parametrize(
    "text",
    [
        *(pytest.param(text, marks=pytest.mark.long) for text in HOSTILE),
        "}",
        "{lantern.height} {",
        "' + __import__('os') + '",
    ],
)
def test_a_ruleset_of_hostile_text_is_refused_or_its_text_stays_outside(
    text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From the file to the code: a text that cannot stand in its field is told of; where it can, it is no part of the code."""
    found, accepted = sources(monkeypatch), set()
    for number, (field, document) in enumerate(_rulesets(text)):
        folder, before = _written(tmp_path / str(number), document), len(found)
        try:
            _judged(folder, text)
        except ProblemsFound:
            continue
        assert before < len(found), f"no code was written with {field}"
        accepted.add(field)
    assert {"title", "intent", "owner", "section", "source"} <= accepted
    assert [] == [part for source in set(found) for part in foreign(source)]


SIGNS = st.sampled_from(
    [
        "a.b", "7 ft", "x", "(", ")", "<", "<=", ">", ">=", "==", "!=", "+", "-", "*", "/", ",", " in [x]", '"q"', "%", ";", "**",
        "//", "@", ":=", "&",
    ]
)  # fmt: skip


@settings(max_examples=600, deadline=None, derandomize=True)
@given(st.lists(SIGNS, max_size=9).map(" ".join))
def test_the_one_part_of_a_condition_that_is_written_is_out_of_a_closed_list(text: str) -> None:
    """An operator is the only text of a rule that stands in the code as it stands in the file."""
    for parse in (parser.parse_condition, parser.parse_value):
        try:
            assert set(_operators(parse(text))) <= OPERATORS
        except ExpressionError:
            continue


def test_the_operators_of_a_condition_are_all_found() -> None:
    assert ["<=", "+", "*"] == list(_operators(parser.parse_condition("a.b <= x + y * 2")))


def _operators(node: Any) -> Iterator[str]:
    if isinstance(node, parser.Arithmetic):
        yield node.operator
    if isinstance(node, parser.Compare):
        yield from node.operators
    for part in children(node):
        yield from _operators(part)


def _bound(checker: Checker, place: str) -> list[tree.BoundRule]:
    chain = checker.chain(place)
    program = checker.program(chain, Versions(_job(checker.vocabulary, {}), chain))
    return [variant.rule for asked in program for variant in asked.variants if variant.rule]


def _job(vocabulary: Vocabulary, facts: dict[str, Any]) -> Job:
    return load(read_text(json.dumps({"job_id": "1", "schema_version": 1, **facts}).encode(), "job.json"), vocabulary)


# --- a small ruleset, hostile in one text at a time ------------------------------------------------------------------


def _judged(folder: Path, text: str) -> None:
    """A job judged by what stands in a folder, its rules each as a function of its own and all of them as one."""
    schema = json.loads((TINY / "job.schema.json").read_text(encoding="utf-8"))
    schema["properties"]["lantern"]["properties"]["paper"]["anyOf"][0]["enum"].append(text)
    checker = Checker(open_library([folder]), Vocabulary(schema))
    lantern = {"lit": True, "height": 6, "paper": text}
    job = _job(checker.vocabulary, {"site": {"jurisdiction": "xx-nether-lamp"}, "lantern": lantern})
    checker.outcomes(job, ON)
    checker.check_job(job, ON)
    for one in _bound(checker, "xx-nether-lamp"):
        for _ in range(OFTEN + 1):
            checker.quick(one)


def _written(folder: Path, document: dict[str, Any]) -> Path:
    """A ruleset written to a folder; JSON is YAML too."""
    place = folder / "guild"
    place.mkdir(parents=True)
    topic = {name: part for name, part in document.items() if name != "header"}
    place.joinpath("ruleset.yaml").write_text(json.dumps(document["header"]), encoding="utf-8")
    place.joinpath("lanterns.yaml").write_text(json.dumps(topic), encoding="utf-8")
    return folder


def _rulesets(text: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """A small ruleset again and again, another text of it hostile each time; and the name of that text."""
    whole = {"header": HEADER, "rules": {"lit-lantern-high-enough": RULE}, "limits": {"least": LIMIT}}
    for place in _texts(whole):
        yield next(key for key in reversed(place) if isinstance(key, str)), _with(whole, place, text)
    require = ("rules", "lit-lantern-high-enough", "require")
    for line in (f'lantern.paper in ["{text}", tin]', f'lantern.paper != "{text}"', f"lantern.paper != {text}"):
        yield line, _with(whole, require, [line])
    yield "limit", _with(whole, ("limits", text), LIMIT)
    yield "id", _with(whole, ("rules", text), RULE)
    tag = {"form": "choice", "possible": [text, "b"], "title": text, "description": text, "ask": text, "known": "after"}
    yield "fact", _with(_with(whole, ("facts",), {"tag": tag}), require, [f'local.guild.tag != "{text}"'])


def _texts(node: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Where the texts of a ruleset stand."""
    if isinstance(node, dict | list):
        for key, value in node.items() if isinstance(node, dict) else enumerate(node):
            yield from _texts(value, (*at, key))
    else:
        yield at


def _with(whole: dict[str, Any], place: tuple[Any, ...], value: Any) -> dict[str, Any]:
    found = node = copy.deepcopy(whole)
    for key in place[:-1]:
        node = node[key]
    node[place[-1]] = value
    return found


HEADER = {
    "id": "guild", "version": "1.0.0", "title": "Rules", "owner": "The guild (invented)", "owner_kind": "federal",
    "reviewed_through": "2030-01-01", "documents": {"guild": "Guild book"}, "cautions": {"fire": "Keep water at hand."},
}  # fmt: skip
RULE = {
    "title": "A lit lantern hangs high enough", "topic": "hanging", "obligation": "shall", "intent": "Heads pass under it.",
    "citation": [{"document": "guild", "section": "3", "section_sure": "checked", "requirement_sure": "checked"}],
    "where": {"height": "lantern.height"}, "applies_when": ["lantern.lit"], "require": ["height >= least"],
    "on_fail": "It hangs at {lantern.height}.", "remedy": "Hang it at {least} or higher.", "caution": "fire",
    "cases": [{"name": "below", "given": {"lantern.lit": "true", "lantern.height": "6 ft"}, "expect": "fail"}],
}  # fmt: skip
LIMIT = {"title": "Least height", "unit": "ft", "values": [{"value": "7", "source": "Guild book 3", "sure": "checked"}]}


def _hostile(text: str) -> tree.BoundRule:
    """A rule whose every text, number aside, is this one: paths, words, names, units, messages."""
    word = tree.Fact(text, "job", "word")
    item = tree.Fact(text, "item", "number")
    limit = tree.Constant(text, 1.5, "number", text)
    flag = tree.Truth(tree.Fact(f"{text}.{text}", "job", "flag"), text)
    table = tree.Lookup(text, (tree.Row((text,), 1.0),), (word,), "number")
    ways = tree.Way(flag, text, ((text,),))
    require = tree.AnyOf(
        (
            tree.Branch(text, tree.Member(word, (text, "b"), False, text), ((text,),), (ways,)),
            tree.Branch(
                text, tree.Compare((word, tree.Constant(text, text, "word")), ("==",), "word", 0.0, text), (), ()
            ),
            tree.Branch(text, tree.Compare((item, limit, table), ("<=", "<"), "number", 1e-9, text), (), ()),
            tree.Branch(text, tree.Compare((tree.Named(text, "number"), limit), (">",), "number", 1e-9, text), (), ()),
        )
    )
    one = rule(flag, require)
    return replace(
        one,
        id=text, title=text, topic=text, obligation=text, cautions=(tree.Caution(text, text),), where={text: item},
        on_fail=((text,),), remedy=(ways,), verify=(tree.Ask(tree.Given(word, False, text), ((text,),)),), for_each=(text,),
        units={text: (text, 1)},
    )  # fmt: skip
