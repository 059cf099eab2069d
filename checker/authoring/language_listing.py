"""What a rule can name: facts and functions, found by a word, with where they are used."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from checker.problems.problem import did_you_mean
from checker.reading.fact_shapes import Leaf
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.fingerprint import names_of
from checker.rulesets.library import Library
from checker.trade import functions
from checker.trade.function import Function

FORMS = {"flag": "yes or no", "text": "text", "date": "day", "count": "number of things", "constant": "fixed"}
MOST_USES = 3  # rules named of those that use a fact or a function
# What the language itself has, beside the functions of the trade. Each takes one value, or a list together.
OWN = {
    "first_given(a, b)": "a; b only where a is known to be none",
    "a when condition otherwise b": "a where the condition holds, b where it does not",
    "larger_of(a, b), smaller_of(a, b)": "the larger or smaller of two amounts of one kind; of two days the later or earlier",
    "count(list)": "how many items; `, list.field is value` narrows it to those, as do `is not`, `<=`, `<`, `>=` and `>`",
    "first(list.field), last(list.field)": "the first or the last item's value; may be narrowed as `count`",
    "lowest(list.field), highest(list.field)": "the lowest or the highest value; may be narrowed as `count`",
    "average(list.field), total(list.field)": "the average or the sum; may be narrowed as `count`",
    "highest_until(list.value, list.time, until)": "the highest value up to a time",
    "at(list.value, list.time, when)": "the value at a time",
    "edition(code)": "the edition in force; compared with an edition, as in `edition(code) >= 2020`",
    "table[key: value]": "the row of a table that the keys find",
}


class Named(NamedTuple):
    """A fact or a function: its name, what it is in words, more of it, and the rules that use it."""

    name: str
    what: str
    more: tuple[str, ...]
    used_by: tuple[str, ...]


def facts(library: Library, vocabulary: Vocabulary, wanted: str) -> list[Named]:
    """The facts whose name, title, question or other words have every word that is looked for; all where none is."""
    uses = _uses(library)
    leaves = [leaf for leaf in vocabulary.leaves.values() if leaf.form != "constant"]
    found = [leaf for leaf in leaves if _fits(wanted, _words(leaf))]
    near = [leaf for leaf in found if _fits(wanted, f"{leaf.path} {leaf.title}")] or found
    ordered = [*near, *(leaf for leaf in found if leaf not in near)]
    return [
        Named(leaf.path, leaf.title, tuple(_more(leaf, vocabulary)), tuple(uses.get(leaf.path, ()))) for leaf in ordered
    ]


def nearest_fact(vocabulary: Vocabulary, wanted: str) -> str:
    """What may have been meant by a word that stands in no fact."""
    words = {word for leaf in vocabulary.leaves.values() for word in re.findall(r"[a-z]{3,}", _words(leaf))}
    return did_you_mean(wanted.lower(), sorted(words)) or "Leave the word out to see every fact."


def trade_functions(library: Library, wanted: str) -> list[Named]:
    """The functions of the trade that a word fits, with their arguments and source."""
    uses = _uses(library)
    every = sorted(functions().items())
    return [
        Named(signature(one), "", (f"from {one.source}",), tuple(uses.get(name, ())))
        for name, one in every
        if _fits(wanted, f"{name} {one.source} {' '.join(argument.name for argument in one.arguments)} {one.result}")
    ]


def signature(one: Function) -> str:
    """`name(argument: kind, …) → kind`."""
    given = ", ".join(f"{argument.name}: {_kind(argument.kind)}" for argument in one.arguments)
    return f"{one.name}({given}) → {_kind(one.result)}"


def text(found: list[Named]) -> Iterator[str]:
    """Each as a few lines."""
    for one in found:
        yield one.name + (f": {one.what}" if one.what else "")
        for line in (*one.more, _used(one)):
            yield f"    {line}"


def table_of_functions() -> str:
    """Every function in a Markdown table, those of the language first."""
    rows = [f"| `{name}` | {what} |" for name, what in OWN.items()]
    rows += [f"| `{signature(one)}` | {one.source} |" for _, one in sorted(functions().items())]
    return "\n".join(["| function | what it is, or its source |", "|---|---|", *rows]) + "\n"


def _kind(kind: str) -> str:
    return kind.replace("_", " ")


def _fits(wanted: str, text: str) -> bool:
    """Whether each word that is looked for begins a word of a text."""
    plain = text.lower().replace("_", " ")
    return all(re.search(rf"\b{re.escape(word)}", plain) for word in wanted.lower().replace("_", " ").split())


def _words(leaf: Leaf) -> str:
    said = " ".join(word for word, _ in leaf.said)
    return " ".join([leaf.path, leaf.title, leaf.ask, leaf.description, *leaf.possible, *leaf.labels, said]).lower()


def _more(leaf: Leaf, vocabulary: Vocabulary) -> Iterator[str]:
    form = FORMS.get(leaf.form, "")
    if leaf.possible:
        yield f"one of: {', '.join(leaf.possible)}"
    elif leaf.unit:
        yield f"{_kind(leaf.kind)} in {leaf.unit}"
    elif form:
        yield form
    yield f"seen: {vocabulary.station(leaf.path).heading}"
    if leaf.ask:
        yield f"asked: {leaf.ask}"


def _used(one: Named) -> str:
    more = f" and {len(one.used_by) - MOST_USES} more" if len(one.used_by) > MOST_USES else ""
    return f"used by: {', '.join(one.used_by[:MOST_USES])}{more}" if one.used_by else "used by no rule"


def _uses(library: Library) -> dict[str, list[str]]:
    """For each fact and function, the rules whose conditions and values name it."""
    found: dict[str, list[str]] = {}
    for ruleset in library.rulesets.values():
        for rule_id, rule in ruleset.rules.items():
            outer = rule.for_each.rpartition(".")[0]
            for word in sorted(names_of(rule)):
                head, _, rest = word.partition(".")
                path = {"item": f"{rule.for_each}.{rest}", "outer": f"{outer}.{rest}"}.get(head, word)
                found.setdefault(path, []).append(rule_id)
    return found
