"""The cases of a rule as examples: what is given by the titles of the facts, and what the rule says of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from checker.authoring.docs.words import Words
from checker.rulesets.models import Case

OUTCOMES = {
    "pass": "passes",
    "fail": "fails",
    "verify_locally": "to verify",
    "does_not_apply": "does not apply",
}
YES_NO = {"true": "yes", "false": "no"}


class Example(NamedTuple):
    """A case: its name, the facts by title with what is written, what comes out and why, and where it is judged."""

    name: str
    given: tuple[tuple[str, str], ...]
    outcome: str
    because: str
    setting: str
    source: str


def example(case: Case, words: Words, source: str) -> Example:
    """A case in words. `source` names the ruleset that states it, where that is another than the rule's own."""
    given = tuple((f"{title[:1].upper()}{title[1:]}", value) for title, value in _facts(case.given, "", words))
    needs = [words.fact(need) for need in case.needs or ()]
    because = [case.reason.replace("_", " ")] if case.reason else []
    because += [f"needs {', '.join(dict.fromkeys(needs))}"] if needs else []
    under = [f"{words.names.get(code, code)} {edition}" for code, edition in case.editions.items()]
    setting = ", ".join([*under, *([f"in {case.place}"] if case.place else [])])
    name = " ".join(case.name.split())
    return Example(name, given, OUTCOMES[case.expect], "; ".join(because), setting, source)


def _facts(given: Any, path: str, words: Words) -> Iterator[tuple[str, str]]:
    """Each fact that is given: its title and its value; a list with its items numbered."""
    for name, value in given.items():
        inside = f"{path}.{name}" if path else name
        if isinstance(value, dict) and not _why(value):
            yield from _facts(value, inside, words)
        elif isinstance(value, list):
            yield words.fact(inside), _items(value, inside, words)
        else:
            yield words.fact(inside), _value(value, words, inside)


def _items(items: list[Any], path: str, words: Words) -> str:
    listed = []
    for number, item in enumerate(items, 1):
        facts = _facts(item, path, words) if isinstance(item, dict) else iter(())
        listed.append(f"({number}) " + (", ".join(f"{title} {value}" for title, value in facts) or "nothing noted"))
    return "; ".join(listed) or "none, the list is empty"


def _value(value: Any, words: Words, path: str) -> str:
    if isinstance(value, dict):
        return _why(value)
    leaf = words.vocabulary.leaf(words.path(path))
    written = " ".join(str(value).split())
    if leaf and leaf.form == "flag":
        return YES_NO.get(written, written)
    return written.replace("_", " ") if leaf and leaf.form == "choice" else written


def _why(value: dict[str, Any]) -> str:
    """`{none: why}` and `{not_known: why}` in words; nothing for a group of facts."""
    for key, word in (("none", "none"), ("not_known", "not known")):
        if set(value) == {key}:
            return f"{word} ({' '.join(str(value[key]).split())})"
    return ""
