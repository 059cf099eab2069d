"""Names that nothing uses: a value under `where`, a limit, a fact that a ruleset adds, sections that make its rules law.

A use is a condition, another value, a value to mend, or a value between braces in a message; of the rule, or of any
amendment of it. Cases are no use. A limit is also used where a function of the trade reads it as its table, and where it
is the accuracy of a kind of reading.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from checker.authoring.lint.words import FILLED, FIXED, written
from checker.binding.rule_text import HOLE
from checker.engine.checker import Checker
from checker.judging.instruments import GIVEN_FOR, SHARE_FOR
from checker.problems.problem import Problem
from checker.rulesets.expression_words import names_in
from checker.rulesets.ruleset import Part, Ruleset
from checker.trade import functions

NO_USE = ("cases", "untried", "citation", "meaning", "values", "topic", *FIXED)


def unused_problems(checker: Checker) -> Iterator[Problem]:
    """Every name of a library's rulesets that nothing uses, in rules that bind."""
    rulesets = list(checker.library.rulesets.values())
    used = _words(_asked(rulesets)) | read_by_name(checker)
    for ruleset in rulesets:
        for rule_id in ruleset.rules:
            yield from _unused_values(rulesets, ruleset, rule_id)
        for name in ruleset.limits:
            if name not in used:
                what = f"Nothing names the limit '{name}': no rule, no amendment, no function."
                yield ruleset.parts["limits", name].problem(("=",), what, "Take it out, or name it in a rule.")
        for name in ruleset.facts:
            if f"local.{ruleset.id}.{name}" not in used:
                what = f"No rule reads the fact 'local.{ruleset.id}.{name}'."
                hint = "Take it out, or name it in a rule: people would be asked for something no rule uses."
                yield ruleset.parts["facts", name].problem(("=",), what, hint)
        named = {rule.made_law_by for rule in ruleset.rules.values()}
        for name in ruleset.header.made_law_by:
            if name not in named:
                what = f"No rule says that it is made law by '{name}'."
                hint = "Take it out, or write 'made_law_by:' with its name in the rules that it makes law."
                yield ruleset.parts["header", ""].problem(("made_law_by", name, "="), what, hint)


def _asked(rulesets: Iterable[Ruleset]) -> Iterator[Any]:
    """Every rule, amendment and header as written."""
    for ruleset in rulesets:
        for (section, _), part in ruleset.parts.items():
            if section in ("rules", "amend"):
                yield written(part)
        yield [line.when for line in ruleset.header.written_for]


def read_by_name(checker: Checker) -> set[str]:
    """Limits that no rule needs to name: tables of functions, and accuracies."""
    tables = {table for function in functions().values() for table in function.tables}
    measured = {leaf.measured for leaf in checker.vocabulary.leaves.values()} - {""}
    return tables | {name.format(kind) for name in (GIVEN_FOR, SHARE_FOR) for kind in measured}


def _words(data: Any, field: str = "") -> set[str]:
    """The words that a part of a rule uses, those of its messages between braces only."""
    if isinstance(data, str):
        return set(names_in(HOLE.findall(data) if field in FILLED else data))
    if isinstance(data, Mapping):
        return set().union(*(_words(value, key) for key, value in data.items() if key not in NO_USE))
    return set().union(*(_words(value, field) for value in data)) if isinstance(data, Iterable) else set()


def _unused_values(rulesets: list[Ruleset], home: Ruleset, rule_id: str) -> Iterator[Problem]:
    """Values under `where` that nothing of a rule uses, nor any amendment of it."""
    texts: list[tuple[Part, dict[str, Any]]] = [(home.parts["rules", rule_id], written(home.parts["rules", rule_id]))]
    for ruleset in rulesets:
        if rule_id in ruleset.amend:
            part = ruleset.parts["amend", rule_id]
            said = written(part)
            texts.append(
                (Part(part.document, (*part.path, "set")), {**said.get("set", {}), "add": said.get("add", {})})
            )
    used = set().union(*(_words({**text, "where": {}}) for _, text in texts))
    values = {name: value for _, text in texts for name, value in text.get("where", {}).items()}
    for part, text in texts:
        for name in text.get("where", {}):
            if name not in used.union(*(_words(value) for other, value in values.items() if other != name)):
                what = f"'{name}' is worked out, and nothing in '{rule_id}' uses it."
                yield part.problem(("where", name, "="), what, "Take it out, or name it in a condition or a message.")
