"""A rule's conditions and values as plain sentences: facts and limits by their titles, limits with what they are.

What is written stays beside each sentence; a line that cannot be read is shown as it is written, `rules lint` says why.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from checker.authoring.limit_words import Here, standing
from checker.binding import parser as syntax
from checker.binding.parser import ExpressionError, parse_condition, parse_value
from checker.binding.value_resolver import COUNTS
from checker.problems.sanitize import low
from checker.reading import units
from checker.reading.vocabulary import Vocabulary
from checker.rulesets.expression_words import names_in_text
from checker.rulesets.limits import kind_of
from checker.rulesets.models import Bring, Rule
from checker.rulesets.remedy_words import spoken
from checker.trade import functions

VERBS = {"<=": "is at most", "<": "is less than", ">=": "is at least", ">": "is more than"}
DATED = {"<=": "is on or before", "<": "is before", ">=": "is on or after", ">": "is after"}
EDITIONS = {
    "<=": "{} or earlier",
    "<": "earlier than {}",
    ">=": "{} or later",
    ">": "later than {}",
    "!=": "other than {}",
}
ARITHMETIC = {"+": "plus", "-": "minus", "*": "times", "/": "divided by"}
EXTREMES = {"larger_of": "larger", "smaller_of": "smaller"}
GROUPS = {"any_of": "any one of these", "all_of": "all of these", "none_of": "none of these"}
HOLE = re.compile(r"\{([^{}]*)\}")


class Sentence(NamedTuple):
    """A condition in words: the sentence, the text it was made from, what it joins, and what it says to do otherwise."""

    words: str
    text: str
    parts: tuple[Sentence, ...] = ()
    note: str = ""


class Words:
    """Turns the lines of one rule into sentences.

    Args:
        limits: The limits that can be named.
        names: What each code is called.
    """

    def __init__(
        self, rule: Rule, vocabulary: Vocabulary, limits: Mapping[str, Here], names: Mapping[str, str]
    ) -> None:
        self.rule, self.vocabulary, self.limits, self.names = rule, vocabulary, limits, names

    # --- conditions ---

    def lines(self, lines: Iterable[Any]) -> tuple[Sentence, ...]:
        """Conditions under each other."""
        return tuple(map(self.line, lines))

    def line(self, line: Any) -> Sentence:
        """One condition, or a group with what it joins."""
        if isinstance(line, str):
            return Sentence(self.sentence(line), " ".join(line.split()))
        if not isinstance(line, dict):
            return Sentence(str(line), "")
        sentence = self._group(line)
        option = " ".join(str(line.get("option", "")).split())
        if option:
            sentence = sentence._replace(words=f"{option[0].upper()}{option[1:]}: {_inside(sentence.words)}")
        otherwise = [self.filled(str(line.get("on_fail", ""))), *self.spoken(line.get("remedy", ""))]
        return sentence._replace(note=" ".join(filter(None, otherwise)))

    def spoken(self, words: Bring) -> tuple[str, ...]:
        """Each alternative of a remedy, facts and limits by their titles."""
        return tuple(map(self.filled, spoken(words)))

    def _group(self, line: Mapping[str, Any]) -> Sentence:
        for key in ("given", "none"):
            if key in line:
                recorded = "is recorded, and not as none" if key == "given" else "is recorded as none"
                return Sentence(_capital(f"{self.fact(str(line[key]))} {recorded}"), f"{key}: {line[key]}")
        if "met" in line:
            return Sentence(f"The rule {line['met']} applies and is met", f"met: {line['met']}")
        if "when" in line:
            return self.line(line["when"])
        for key, joined in GROUPS.items():
            if key in line:
                parts = self.lines(line[key] if isinstance(line[key], list) else [line[key]])
                if len(parts) == 1 and key != "none_of":
                    return parts[0]
                return Sentence(_capital(f"{joined}:"), f"{key}:", parts)
        return Sentence("", "")

    def sentence(self, text: str) -> str:
        """One condition; as it is written where it cannot be read."""
        try:
            return _capital(self._condition(parse_condition(text)))
        except ExpressionError:
            return " ".join(text.split())

    def _condition(self, node: syntax.Syntax) -> str:
        if isinstance(node, syntax.Compare):
            return self._compared(node)
        if isinstance(node, syntax.Member):
            words = [quoted(word.text) for word in node.words]
            listed = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
            return f"{self.noun(node.value)}: {'not ' if node.negated else ''}{listed}{self._it_is(node.value)}"
        if isinstance(node, syntax.Not):
            return f"{self.noun(node.value)}: no"
        return f"{self.noun(node)}: yes"

    def _compared(self, node: syntax.Compare) -> str:
        first, *others = node.operands
        if isinstance(first, syntax.Call) and first.name == "edition":
            return self._edition(first, node.operators[0], others[0])
        if len(others) == 2:
            low_end, middle, high_end = map(self.noun, node.operands)
            if set(node.operators) <= {"<=", ">="}:
                ends = (low_end, high_end) if node.operators[0] == "<=" else (high_end, low_end)
                return f"{middle} is from {ends[0]} to {ends[1]}"
            return f"{low_end} {node.operators[0]} {middle} {node.operators[1]} {high_end}"
        operator, sides = node.operators[0], f"{self.noun(first)}{{}}{self.noun(others[0])}"
        if operator in ("==", "!="):
            return sides.format(self._same(others[0], operator == "!=")) + self._it_is(first)
        verbs = DATED if any(map(self._dated, node.operands)) else VERBS
        return sides.format(f" {verbs[operator]} ")

    def _same(self, other: syntax.Syntax, negated: bool) -> str:
        """The words between two sides of an equality, by what the second is: a word of a list, a number, or another value."""
        if isinstance(other, syntax.Quoted) or (isinstance(other, syntax.Word) and not self._named(other.text)):
            return ": not " if negated else ": "
        if isinstance(other, syntax.Amount):
            return " is not " if negated else " is "
        return " is not the same as " if negated else " is the same as "

    def _named(self, word: str) -> bool:
        """Whether a word is a fact, a limit or a name under `where`, and not one out of a closed list."""
        return word in self.rule.where or word in self.limits or self.known(word)

    def _edition(self, call: syntax.Call, operator: str, asked: syntax.Syntax) -> str:
        code = call.arguments[0].text if call.arguments and isinstance(call.arguments[0], syntax.Word) else ""
        wanted = EDITIONS.get(operator, "{}").format(getattr(asked, "number", ""))
        return f"the edition of {self.names.get(code, code)} in force is {wanted}"

    def _dated(self, node: syntax.Syntax) -> bool:
        """Whether a value is a day of the calendar."""
        if not isinstance(node, syntax.Word):
            return isinstance(node, syntax.Day)
        leaf = self.vocabulary.leaf(self.path(node.text))
        here = self.limits.get(node.text)
        return (leaf is not None and leaf.form == "date") or (here is not None and here.limit.kind == "date")

    # --- values ---

    def value(self, text: str) -> str:
        """The value of a name under `where` in words; as it is written where it cannot be read."""
        try:
            return _capital(self.noun(parse_value(text)))
        except ExpressionError:
            return " ".join(text.split())

    def noun(self, node: syntax.Syntax) -> str:
        """A value as it stands inside a sentence."""
        if isinstance(node, syntax.Word):
            return self._word(node.text)
        if isinstance(node, syntax.Amount):
            return f"{node.number} {units.shown(node.unit)}".strip()
        if isinstance(node, syntax.Call):
            return self._called(node)
        if isinstance(node, syntax.Lookup):
            keys = " and ".join(self.noun(key) for _, key in node.keys)
            return f"{quoted(self._title_of_limit(node.table))}, looked up by {keys}"
        if isinstance(node, syntax.Arithmetic):
            return self._arithmetic(node)
        if isinstance(node, syntax.Choice):
            condition = _inside(_capital(self._condition(node.condition)))
            return f"{self.noun(node.value)} where {condition}, otherwise {self.noun(node.otherwise)}"
        if isinstance(node, syntax.Match) and node.operator:
            return f"{self.noun(node.field)} {VERBS[node.operator].removeprefix('is ')} {self.noun(node.value)}"
        if isinstance(node, syntax.Match):
            return f"{self.noun(node.field)}{self._same(node.value, node.negated)}{self.noun(node.value)}"
        if isinstance(node, syntax.Quoted):
            return quoted(self.fact(node.text) if "." in node.text and self.known(node.text) else node.text)
        return getattr(node, "text", "")

    def _word(self, word: str) -> str:
        if word in self.rule.where:
            return f"“{word.replace('_', ' ')}”"
        if word in self.limits:
            return self._limit(word)
        return self.fact(word) if self.known(word) else quoted(word)

    def _limit(self, name: str) -> str:
        here = self.limits[name]
        if here.limit.keys:
            return quoted(self._title_of_limit(name))
        title = self._title_of_limit(name)
        return title if kind_of(here.limit) == "word" else f"{standing(here)} ({title})"

    def _it_is(self, node: syntax.Syntax) -> str:
        """In brackets, the present word of a limit that answers a question, such as ` (it is: yes)`; else ""."""
        here = self.limits.get(node.text) if isinstance(node, syntax.Word) else None
        return f" (it is: {standing(here)})" if here and kind_of(here.limit) == "word" else ""

    def _title_of_limit(self, name: str) -> str:
        return low(" ".join(self.limits[name].limit.title.split())) if name in self.limits else name.replace("_", " ")

    def _arithmetic(self, node: syntax.Arithmetic) -> str:
        if node.operator == "-" and self._dated(node.left) and self._dated(node.right):
            return f"the time from {self.noun(node.right)} to {self.noun(node.left)}"
        left, right = self.noun(node.left), self.noun(node.right)
        if isinstance(node.left, syntax.Arithmetic) and node.operator in "*/":
            left = f"({left})"
        if isinstance(node.right, syntax.Arithmetic):
            right = f"({right})"
        return f"{left} {ARITHMETIC[node.operator]} {right}"

    def _called(self, node: syntax.Call) -> str:
        arguments = [part for part in node.arguments if not isinstance(part, syntax.Match)]
        nouns = [self.noun(part) for part in arguments]
        only = " and ".join(self.noun(part) for part in node.arguments if isinstance(part, syntax.Match))
        counted = f" (only those with {only})" if only else ""
        if node.name in EXTREMES:
            return f"the {EXTREMES[node.name]} of {nouns[0]} and {nouns[1]}"
        if node.name == "first_given":
            return ", or where that is none, ".join(nouns)
        if node.name in COUNTS:
            return f"the number of {nouns[0]}{counted}{' so far' if node.name == 'count_so_far' else ''}"
        if node.name == "highest_until":
            return f"the highest {nouns[0]}, as long as {nouns[1]} is at most {nouns[2]}"
        if node.name == "at":
            return f"{nouns[0]} when {nouns[1]} is {nouns[2]}"
        if node.name in ("first", "last", "lowest", "highest", "average", "total"):
            of = "of " if node.name == "total" else ""
            return f"the {node.name} {of}{nouns[0]}{counted}"
        return f"{_what(node.name)} (from {', '.join(nouns)})"

    # --- facts ---

    def path(self, written: str) -> str:
        """The full path of a fact, `item.` and `outer.` standing for the list that the rule goes through."""
        head, _, rest = written.partition(".")
        if not self.rule.for_each or head not in ("item", "outer"):
            return written
        around = self.rule.for_each if head == "item" else self.rule.for_each.rpartition(".")[0]
        return f"{around}.{rest}" if rest else around

    def known(self, written: str) -> bool:
        """Whether a word is the path of a fact or list, or goes to a group of facts."""
        path = self.path(written)
        grouped = "." in written and path in self.vocabulary.places
        return grouped or path in self.vocabulary.leaves or path in self.vocabulary.lists

    def fact(self, written: str) -> str:
        """The title of a fact as it stands inside a sentence."""
        path = self.path(written)
        title = self.vocabulary.title(path)
        return low(title) if title != path else path.rpartition(".")[2].replace("_", " ")

    def paths(self, lines: Any) -> list[str]:
        """Every fact and list that conditions and values of the rule name, in the order in which they stand."""
        named = (self.path(word) for word in written_words(lines) if word not in self.rule.where)
        entries = (self.vocabulary.leaves, self.vocabulary.lists)
        return [path for path in dict.fromkeys(named) if any(path in entry for entry in entries)]

    # --- messages ---

    def filled(self, text: str) -> str:
        """A message with the title of what stands in it between braces."""
        return HOLE.sub(lambda hole: self._hole(hole[1]), " ".join(text.split()))

    def _hole(self, inside: str) -> str:
        try:
            node = parse_value(inside)
        except ExpressionError:
            return f"‹{inside}›"
        if isinstance(node, syntax.Word) and node.text in self.limits and node.text not in self.rule.where:
            return standing(self.limits[node.text], marked=False)
        return f"‹{self.noun(node).strip('“”')}›"


def written_words(lines: Any) -> Iterator[str]:
    """Every name in conditions and values, text of messages left out."""
    if isinstance(lines, str):
        yield from names_in_text(lines)
    elif isinstance(lines, list):
        for line in lines:
            yield from written_words(line)
    elif isinstance(lines, dict):
        for key in (*GROUPS, "when", "given", "none"):
            yield from written_words(lines.get(key, ""))


def quoted(word: str) -> str:
    return f"“{word.replace('_', ' ')}”"


def _what(name: str) -> str:
    """The first sentence of a function's docstring, without units and cross-references."""
    function = functions().get(name)
    docstring = inspect.getdoc(function.compute) if function else None
    first = re.sub(r" \([^)]*\)", "", (docstring or name.replace("_", " ")).splitlines()[0])
    return low(re.split(r"[;:]|, (?:A|µF)\b|\. ", first)[0].rstrip("."))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _inside(text: str) -> str:
    return low(text) if len(text) > 1 else text
