"""No text of a ruleset is part of generated code: all of it is read again and holds our own names and nothing else."""

from __future__ import annotations

import ast
import re
from collections.abc import Sequence
from typing import Any

import pytest

from checker import generated, tree
from checker.check import Checker
from checker.generated import Domain, compiled, together
from checker.job import load
from checker.source import read_text
from checker.versions import Versions
from tests.small_domains import rule

OURS = re.compile(r"judge|get|at|see|call|walk|abs|NAN|NONE|UNREAD|Range|[cfov]\d+|worth|__class__")
ALLOWED = (
    ast.Module, ast.FunctionDef, ast.arguments, ast.arg, ast.Assign, ast.If, ast.Return, ast.List, ast.Name, ast.Load, ast.Store,
    ast.Call, ast.Attribute, ast.Subscript, ast.Constant, ast.BoolOp, ast.And, ast.Or, ast.UnaryOp, ast.Not, ast.IfExp,
    ast.Compare, ast.Is, ast.IsNot, ast.In, ast.NotIn, ast.Lt, ast.LtE, ast.Gt, ast.GtE, ast.Eq, ast.NotEq, ast.BinOp, ast.Add,
    ast.Sub, ast.Mult, ast.Div,
)  # fmt: skip
HOSTILE = (
    '"); __import__("os").system("x") #', "'''", '"""', "\\", "\n    raise SystemExit\n", "{0}", "f'{x}'", "K[0]", "judge",
    "c0 = 1", "\u2028", "\x00", "lambda: 0", "c1",
)  # fmt: skip


def foreign(source: str) -> list[str]:
    """What in a source is not ours: a kind of code that is never written, a name, an attribute or a constant."""
    found = []
    for node in ast.walk(ast.parse(source)):
        names = [node.id] if isinstance(node, ast.Name) else [node.attr] if isinstance(node, ast.Attribute) else []
        names += [node.arg] if isinstance(node, ast.arg) else []
        found += [name for name in names if not OURS.fullmatch(name)]
        if isinstance(node, ast.Constant) and not (node.value in (True, False, None) or type(node.value) is int):
            found.append(repr(node.value))
        if not isinstance(node, ALLOWED):
            found.append(type(node).__name__)
    return found


def sources(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Everything that is compiled from now on, as it is handed over."""
    found: list[str] = []

    def noted(source: str, name: str, mode: str) -> Any:
        found.append(source)
        assert not re.search(r"\D", name.replace("rules", "").strip("<> ")), name
        return compile(source, name, mode)

    monkeypatch.setattr(generated, "compile", noted, raising=False)
    return found


def unknown(_: tree.BoundRule, __: tree.Fact) -> Domain:
    return Domain()


def test_what_is_foreign_would_be_seen() -> None:
    assert ["os"] == foreign("f0 = os")
    assert ["'x'"] == foreign("f0 = 'x'")
    assert ["1.5"] == foreign("f0 = 1.5")
    assert "Import" in foreign("import os")
    assert "Lambda" in foreign("f0 = lambda: 0")


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_every_field_stays_outside(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    found = sources(monkeypatch)
    function = together([_hostile(text)], unknown)
    compiled(_hostile(text))
    assert 2 == len(found)
    assert [] == [part for source in found for part in foreign(source)]
    assert OURS.fullmatch(text) or len(text) < 3 or all(text not in source for source in found)
    space = function.judge.__globals__  # type: ignore[attr-defined]
    assert text in space.values(), "it is handed over as it is"


def test_all_shipped_rules_are_written_in_our_own_names(shipped: Checker, monkeypatch: pytest.MonkeyPatch) -> None:
    found = sources(monkeypatch)
    bound = [rule for rule in _bound(shipped) if rule.judged != "guarded" and not rule.stale]
    for one in bound:
        compiled(one)
    assert len(bound) == len(found) > 150
    assert [] == [part for source in found for part in foreign(source)]


def _bound(checker: Checker) -> Sequence[tree.BoundRule]:
    from tests.test_remembered import OFTEN  # noqa: F401

    chain = checker.chain("xx-alder")
    job = load(read_text(b'{"job_id": "1", "schema_version": 1}', "job.json"), checker.vocabulary)
    program = checker.program(chain, Versions(job, chain))
    return [variant.rule for asked in program for variant in asked.variants if variant.rule]


def _hostile(text: str) -> tree.BoundRule:
    """A rule whose every text, number aside, is this one: paths, words, names, units, messages."""
    word = tree.Fact(text, "job", "word")
    item = tree.Fact(text, "item", "number")
    limit = tree.Constant(text, 1.5, "number", text)
    flag = tree.Truth(tree.Fact(f"{text}.{text}", "job", "flag"), text)
    table = tree.Lookup(text, (tree.Row((text,), 1.0),), (word,), "number")
    require = tree.AnyOf(
        (
            tree.Branch(text, tree.Member(word, (text, "b"), False, text), ((text,),), ((text,),)),
            tree.Branch(
                text, tree.Compare((word, tree.Constant(text, text, "word")), ("==",), "word", 0.0, text), (), ()
            ),
            tree.Branch(text, tree.Compare((item, limit, table), ("<=", "<"), "number", 1e-9, text), (), ()),
            tree.Branch(text, tree.Compare((tree.Named(text, "number"), limit), (">",), "number", 1e-9, text), (), ()),
        )
    )
    one = rule(flag, require)
    return one._replace(
        id=text, title=text, topic=text, obligation=text, caution=text, where={text: item}, on_fail=((text,),),
        remedy=((text,),), verify=(tree.Ask(tree.Given(word, False, text), ((text,),)),), for_each=(text,),
        units={text: (text, 1)},
    )  # fmt: skip
