"""The lines and messages of one rule: conditions parsed and resolved, messages cut into sentences, mistakes noted."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from checker.binding import authority_answers, parser
from checker.binding.names import Context
from checker.binding.parser import ExpressionError
from checker.binding.resolver import Resolver
from checker.ir import tree
from checker.ir.visitor import walk_through
from checker.problems.problem import Problem, did_you_mean, tell
from checker.rulesets import limits
from checker.rulesets.layering import Effective
from checker.rulesets.models import Bring, Rule, Words
from checker.rulesets.remedy_words import alternatives, parts_of

SENTENCE = re.compile(r"(?<=[.!?])\s+")
HOLE = re.compile(r"\{([^{}]*)\}")
COLON = re.compile(r": (?![^{}]*\})")  # but not inside of a value
GROUPS = ("any_of", "all_of", "none_of", "given", "none", "met", "when")

Found = TypeVar("Found")


class RuleText:
    """What the text of one rule says, as nodes. `problems` are its author's mistakes."""

    def __init__(self, found: Effective, context: Context) -> None:
        self.found = found
        rule = found.data
        assert isinstance(rule, Rule)
        self.data = rule
        self.for_each = self._lists(rule.for_each, context)
        self.context = context._replace(
            for_each=self.for_each, answered=authority_answers.values(rule, found.answers) if found.answers else {}
        )
        self.resolver = Resolver(self.context)
        self.problems: list[Problem] = []
        if rule.for_each and not self.for_each:
            lists = context.vocabulary.lists
            self.note(
                ("for_each",),
                ExpressionError(
                    f"'{rule.for_each}' is not a list with keys.",
                    1,
                    did_you_mean(rule.for_each, lists) or "Leave it out: there is no such list in a job.",
                ),
            )

    @staticmethod
    def _lists(path: str, context: Context) -> tuple[str, ...]:
        """`ropes.splices` → the list, and the list inside each of its items."""
        lists = context.vocabulary.lists
        if path not in lists or not lists[path].keyed:
            return ()
        outer, _, inner = path.rpartition(".")
        return (outer, inner) if outer in lists else (path,)

    # --- conditions ---

    def lines(self, field: str, lines: list[Any]) -> tuple[tree.Condition, ...]:
        found = [self.line((field, index), line) for index, line in enumerate(lines)]
        return tuple(condition for condition in found if condition is not None)

    def line(self, at: tuple[str | int, ...], line: Any) -> tree.Condition | None:
        if isinstance(line, str):
            return self.tried(at, line, lambda text: self.resolver.condition(parser.parse_condition(text), text))
        if not isinstance(line, dict):
            return self.tried(
                at,
                "",
                lambda _: _fail("A condition is a line of text, or any_of, all_of, none_of, given, none, met.", 1),
            )
        key = next((key for key in GROUPS if key in line), "")
        extra = sorted(set(line) - {key, "option", "on_fail", "remedy"})
        if not key or extra:
            word = extra[0] if extra else next(iter(line), "")
            return self.tried(
                (*at, word, "="),
                word,
                lambda _: _fail(
                    f"'{word}' is not a kind of condition.",
                    1,
                    did_you_mean(word, GROUPS) or f"One of: {', '.join(GROUPS)}.",
                ),
            )
        return self.group((*at, key), key, line[key])

    def group(self, at: tuple[str | int, ...], key: str, inside: Any) -> tree.Condition | None:
        if key in ("given", "none"):
            return self.tried(at, inside, lambda text: self.given(text, key == "none"))
        if key == "when":
            return self.line(at, inside)
        if key == "met":
            return self.tried(at, inside, lambda name: self.met(name, str(at[0])))
        if not isinstance(inside, list) or not inside:
            return self.tried(at, "", lambda _: _fail(f"'{key}' has no conditions.", 1, "Write one a line under it."))
        if key == "any_of":
            branches = [self.branch((*at, index), line) for index, line in enumerate(inside)]
            return tree.AnyOf(tuple(branch for branch in branches if branch))
        parts = tuple(part for index, line in enumerate(inside) if (part := self.line((*at, index), line)) is not None)
        return tree.All(parts) if key == "all_of" else tree.NoneOf(parts)

    def met(self, name: Any, field: str) -> tree.Condition:
        """What another rule asks, as a condition: true where it applies and is passed.

        Raises:
            ExpressionError: There is no such rule, or this one cannot ask for it.
        """
        raise NotImplementedError

    def branch(self, at: tuple[str | int, ...], line: Any) -> tree.Branch | None:
        condition = self.line(at, line)
        words = line if isinstance(line, dict) else {}
        on_fail = self.sentences((*at, "on_fail"), words.get("on_fail", ""))
        remedy = self.ways((*at, "remedy"), words.get("remedy", ""))
        return tree.Branch(words.get("option", ""), condition, on_fail, remedy) if condition else None

    def given(self, text: Any, none: bool) -> tree.Given:
        fact = self.resolver.fact(text) if isinstance(text, str) else None
        if fact is None:
            raise ExpressionError(f"'{text}' is not a fact.", 1, did_you_mean(str(text), self.resolver.known()))
        self.resolver.refuse_list(text, None)
        return tree.Given(fact, none, f"{'none' if none else 'given'}: {text}")

    def ask(self, index: int, line: Any) -> tree.Ask | None:
        at = ("verify_when", index)
        question = line.get("ask", "") if isinstance(line, dict) else ""
        condition = self.line(at, {k: v for k, v in line.items() if k != "ask"} if isinstance(line, dict) else line)
        if condition is None:
            return None
        for fact in walk_through(condition, self.resolver.where):
            if not isinstance(fact, tree.Fact):
                continue
            if fact.frame != "job" or not self.resolver.context.vocabulary.holds(fact.path, "place"):
                self.note(
                    at,
                    ExpressionError(
                        f"verify_when reads place, date and adoption only; '{fact.path}' is none of these.",
                        1,
                        "Put it under applies_when or require.",
                    ),
                )
        return tree.Ask(condition, self.sentences((*at, "ask"), question) or self.text("ask"))

    def replies(self, answers: Mapping[str, Any]) -> tuple[tree.Reply, ...]:
        """The answers to the rule's own question, with values of limits read."""
        found = []
        for label, means in answers.items():
            values = {} if isinstance(means, str) else means
            read = [self.tried(("answers", label, name), text, self.limit_value(name)) for name, text in values.items()]
            if None not in read:
                pairs = tuple(zip(values, read, strict=True))
                found.append(tree.Reply(label, means if isinstance(means, str) else "as_written", pairs))  # type: ignore[arg-type]
        return tuple(found)

    def limit_value(self, name: str) -> Callable[[str], Any]:
        """What reads a value of a limit that is left to the place."""

        def read(text: str) -> Any:
            home = self.context.chain.homes.get(("limits", name))
            if home is None:
                return _fail(f"'{name}' is not a limit.", 1, did_you_mean(name, self.context.chain.limit_names))
            try:
                return limits.read(home.limits[name], text)
            except limits.LimitError as error:
                return _fail(error.what, 1, error.hint)

        return read

    # --- messages ---

    def text(self, field: str) -> tuple[tree.Sentence, ...]:
        return self.sentences((field,), getattr(self.data, field))

    def ways(self, at: tuple[str | int, ...], words: Words) -> tuple[tree.Way, ...]:
        """A remedy's alternatives in the order in which they are tried; a plain text is the only one."""
        if isinstance(words, str):
            said = self.sentences(at, words)
            return (tree.Way(tree.All(()), "", said),) if said else ()
        found = [self.way((*at, index), one) for index, one in enumerate(words)]
        for index, one in enumerate(words[:-1]):
            if isinstance(one, dict) and "when" not in one:
                what = "This is always said, so nothing below it ever is."
                self.note((*at, index), ExpressionError(what, 1, "Put it last, or give it a 'when:' and an 'if:'."))
        return tuple(way for way in found if way)

    def parts(self, bring: Bring) -> tuple[tree.Bring, ...]:
        """The parts to bring, each with its sizes as values."""
        found, listed = [], isinstance(bring, list)
        for index, one in enumerate(parts_of(bring)):
            at: tuple[str | int, ...] = ("bring", index) if listed else ("bring",)
            if wrong := _not_a_part(one):
                self.note(at, ExpressionError(wrong, 1, "Write {part: its name, size: its size, note: what else}."))
                continue
            names = [part.name for part in self.context.vocabulary.parts]
            if one["part"] not in names:
                hint = did_you_mean(one["part"], names) or f"One of: {', '.join(names) or 'none'}."
                self.note(
                    (*at, "part"), ExpressionError(f"'{one['part']}' is not a part that rules may name.", 1, hint)
                )
                continue
            condition = self.line((*at, "when"), one["when"]) if "when" in one else tree.All(())
            least, most = (
                self.tried((*at, end), one[end], lambda text: self.hole(text, 0)) if end in one else None
                for end in ("at_least", "at_most")
            )
            size = self.sentences((*at, "size"), one["size"]) if "size" in one else ()
            if condition:
                words = (one["part"], condition, one.get("if", ""), size, least, most, one.get("note", ""))
                found.append(tree.Bring(*words))
        return tuple(found)

    def headlines(self, words: Words) -> tuple[tree.Way, ...]:
        """What is said first of a failure: each alternative cut at its colon, as what stands behind it may not be known."""
        found, listed = [], isinstance(words, list)
        for index, one in enumerate(alternatives(words)):
            at: tuple[str | int, ...] = ("failed", index) if listed else ("failed",)
            if wrong := _not_a_headline(one):
                self.note(at, ExpressionError(wrong, 1, "Write {when: a condition, say: what is wrong}."))
                continue
            condition = self.line((*at, "when"), one["when"]) if "when" in one else tree.All(())
            text = " ".join(one["say"].split())
            head, *tail = COLON.split(text, maxsplit=1)
            ends = [(head, 0), *((end, len(head) + 2) for end in tail)]
            said = [self.tried((*at, "say") if listed else at, end, self.sentence, start) for end, start in ends]
            if condition:
                found.append(tree.Way(condition, "", tuple(end for end in said if end)))
        return tuple(found)

    def way(self, at: tuple[str | int, ...], one: Any) -> tree.Way | None:
        if wrong := _not_a_way(one):
            self.note(at, ExpressionError(wrong, 1, "Write {when: a condition, if: it in words, say: what to do}."))
            return None
        condition = self.line((*at, "when"), one["when"]) if "when" in one else tree.All(())
        said = self.sentences((*at, "say"), one["say"])
        return tree.Way(condition, one.get("if", ""), said) if condition else None

    def sentences(self, at: tuple[str | int, ...], text: str) -> tuple[tree.Sentence, ...]:
        """A message cut into sentences, each to be left out where a value in it is unknown."""
        found, start = [], 0
        for part in SENTENCE.split(" ".join(text.split())):
            found.append(self.tried(at, part, self.sentence, start))
            start += len(part) + 1
        return tuple(part for part in found if part)

    def sentence(self, text: str) -> tree.Sentence:
        parts: list[str | tree.Hole] = []
        start = 0
        for index, part in enumerate(HOLE.split(text)):
            if index % 2 == 0:
                parts += [part] if part else []
            else:
                parts.append(self.hole(part, start))
            start += len(part) + 1
        return tuple(parts)

    def hole(self, text: str, start: int) -> tree.Hole:
        """A value between braces that stands `start` characters into its sentence."""
        try:
            value = self.resolver.value(parser.parse_value(text))
        except ExpressionError as error:
            raise ExpressionError(error.what, error.column + start, error.hint) from None
        return tree.Hole(value, *self.resolver.unit_of(value))

    def mend(self, mend: Mapping[str, str]) -> tuple[tuple[tree.Fact, tree.Value], ...]:
        found = []
        for path, text in mend.items():
            fact = self.resolver.fact(path)
            value = self.tried(("mend", path), text, lambda text: self.resolver.value(parser.parse_value(text)))
            if fact is None:
                self.note(
                    ("mend", path, "="),
                    ExpressionError(f"'{path}' is not a fact.", 1, did_you_mean(path, self.resolver.known())),
                )
            elif value is not None:
                found.append((fact, value))
        return tuple(found)

    # --- problems ---

    def tried(self, at: tuple[str | int, ...], text: Any, work: Callable[[str], Found], start: int = 0) -> Found | None:
        """What `work` makes of a text that stands `start` characters into the part at `at`; its problem is noted."""
        try:
            return work(text)
        except ExpressionError as error:
            self.note(at, error, start)
            return None

    def note(self, at: tuple[str | int, ...], error: ExpressionError, start: int = 0) -> None:
        field = str(at[0])
        written = field in self.found.parts or field in self.data.written
        column = error.column + start if written else 1
        part, inside = self.found.source(at)
        tell(self.problems, part.problem(inside if written else ("=",), error.what, error.hint, column))


def _not_a_way(one: Any) -> str:
    """Why an entry is no alternative of a remedy; nothing where it is one."""
    if not isinstance(one, dict) or not isinstance(one.get("say"), str) or not one["say"]:
        return "This alternative has no 'say'."
    if extra := sorted(set(one) - {"when", "if", "say"}):
        return f"'{extra[0]}' is not a part of an alternative."
    if ("when" in one) is not ("if" in one) or not isinstance(one.get("if", "-"), str):
        return "'when' and 'if' go together: the condition, and the words for it where it is not known."
    return ""


PART = {"part", "size", "at_least", "at_most", "note", "when", "if"}


def _not_a_part(one: Any) -> str:
    """Why an entry is no part to bring; nothing where it is one."""
    if not isinstance(one, dict) or "part" not in one:
        return "This names no part."
    if extra := sorted(set(one) - PART):
        return f"'{extra[0]}' is not said of a part."
    if ("when" in one) is not ("if" in one):
        return "'when' and 'if' go together: the condition, and the words for it where it is not known."
    return ""


def _not_a_headline(one: Any) -> str:
    """Why an entry is no alternative of a headline; nothing where it is one."""
    if not isinstance(one, dict) or not isinstance(one.get("say"), str) or not one["say"]:
        return "This alternative has no 'say'."
    extra = sorted(set(one) - {"when", "say"})
    return f"'{extra[0]}' is not a part of an alternative." if extra else ""


def _fail(what: str, column: int, hint: str = "") -> Any:
    raise ExpressionError(what, column, hint)
