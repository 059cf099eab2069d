"""Text of a rule's conditions and values → a small syntax tree with columns.

The grammar, whole:

    condition  =  "not" value  |  value  |  value op value [op value]  |  value ["not"] "in" "[" word, … "]"
    op         =  "<=" | "<" | ">=" | ">" | "==" | "!="
    choice     =  value ["when" condition "otherwise" choice]          under `where` and in messages
    value      =  term (("+" | "-") term)*
    term       =  atom (("*" | "/") atom)*
    atom       =  amount | day | "quoted text" | call | look-up | path | "(" value ")"
    call       =  name "(" argument, … ")"          argument = value [("is" ["not"] | "<=" | "<" | ">=" | ">") value]
    look-up    =  name "[" key ":" value, … "]"

A path is names with dots between them; only a ruleset's name, in `local.our-group.fact` and in
`edition(chime-book)`, may hold hyphens. No loops, no
attributes, no Python. Columns count from 1.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import NamedTuple

from checker.ir.node import Node, node
from checker.rulesets.expression_words import KEYWORDS, TOKEN

TURNED = {"=>": ">=", "=<": "<="}
MOST_CHARACTERS = 400
MOST_DEPTH = 12


class ExpressionError(ValueError):
    """Text that is not of the grammar: what is wrong, at which column, what to do."""

    def __init__(self, what: str, column: int, hint: str = "") -> None:
        self.what, self.column, self.hint = what, column, hint
        super().__init__(what)


@node
class Word(Node):
    """A fact's path, a limit, a name under `where`, or a word out of a closed list: binding tells which."""

    text: str
    column: int


@node
class Amount(Node):
    """A number as written, with the unit written behind it or none."""

    number: str
    unit: str
    column: int


@node
class Day(Node):
    text: str
    column: int


@node
class Quoted(Node):
    text: str
    column: int


@node
class Call(Node):
    name: str
    arguments: tuple[Syntax, ...]
    column: int


@node
class Match(Node):
    """`ropes.moves is item.key`, inside a fold: only the list items whose field is that; with `is not`, is not;
    with an `operator` (`swings.reach >= least`) those of which that holds."""

    field: Word
    value: Syntax
    negated: bool
    column: int
    operator: str = ""


@node
class Lookup(Node):
    table: str
    keys: tuple[tuple[str, Syntax], ...]
    column: int


@node
class Arithmetic(Node):
    operator: str
    left: Syntax
    right: Syntax
    column: int


@node
class Compare(Node):
    """One comparison, or a range: operands one more than operators."""

    operands: tuple[Syntax, ...]
    operators: tuple[str, ...]
    column: int


@node
class Member(Node):
    value: Syntax
    words: tuple[Word, ...]
    negated: bool
    column: int


@node
class Choice(Node):
    """A value where a condition holds, and another where it does not; `text` is the condition as written."""

    condition: Syntax
    value: Syntax
    otherwise: Syntax
    text: str
    column: int


@node
class Not(Node):
    value: Syntax
    column: int


Syntax = Word | Amount | Day | Quoted | Call | Match | Lookup | Arithmetic | Choice | Compare | Member | Not

MOST_KEPT = 10_000  # texts that have been read; a rule is bound under many editions and days


class _Token(NamedTuple):
    kind: str
    text: str
    column: int


@functools.lru_cache(maxsize=MOST_KEPT)
def parse_condition(text: str) -> Syntax:
    """A line under `applies_when`, `require` or `verify_when`.

    Raises:
        ExpressionError: The text is not a condition.
    """
    return _Parser(text).whole(_Parser.condition)


@functools.lru_cache(maxsize=MOST_KEPT)
def parse_value(text: str) -> Syntax:
    """What a name under `where` stands for, or what stands between braces in a message.

    Raises:
        ExpressionError: The text is not a value.
    """
    return _Parser(text).whole(_Parser.choice)


def _tokens(text: str) -> list[_Token]:
    found, at = [], 0
    while at < len(text):
        match = TOKEN.match(text, at)
        if match is None:
            wrong = next((one for one in TURNED if text.startswith(one, at)), text[at])
            raise ExpressionError(f"'{wrong}' means nothing here.", at + 1, _hint(wrong))
        kind = str(match.lastgroup)
        if kind != "space":
            found.append(_Token("key" if kind == "word" and match[0] in KEYWORDS else kind, match[0], at + 1))
        at = match.end()
    return [*found, _Token("end", "", len(text) + 1)]


def _hint(character: str) -> str:
    if character in TURNED:
        return f"Write '{TURNED[character]}': the sign < or > comes first."
    return {
        "=": "Write '==' to ask whether two things are the same.",
        "&": "Write each condition on a line of its own; lines mean 'all of these'.",
        "|": "Write 'any_of:' with one condition a line.",
        "'": 'Quote text with ".',
    }.get(character, 'Take it out, or quote the text with ".')


class _Parser:
    def __init__(self, text: str) -> None:
        if len(text) > MOST_CHARACTERS:
            raise ExpressionError(
                f"This is longer than {MOST_CHARACTERS} characters.", 1, "Name its parts under 'where'."
            )
        self.tokens = _tokens(text)
        self.text = text
        self.at = 0
        self.depth = 0

    def whole(self, rule: Callable[[_Parser], Syntax]) -> Syntax:
        found = rule(self)
        token = self.tokens[self.at]
        if token.kind == "key" and token.text in ("and", "or"):
            hint = "one condition a line" if token.text == "and" else "'any_of:' with one condition a line"
            raise ExpressionError(f"'{token.text}' is not used inside a line.", token.column, f"Write {hint}.")
        if token.kind != "end":
            hint = "A line is one comparison; arithmetic and functions go under 'where'."
            raise ExpressionError(f"'{token.text}' was not expected here.", token.column, hint)
        return found

    def condition(self) -> Syntax:
        token = self.tokens[self.at]
        if self.take("key", "not"):
            return Not(self.value(), token.column)
        first = self.value()
        token = self.tokens[self.at]
        if token.kind == "op":
            return self.comparison(first)
        if token.kind == "key" and token.text in ("in", "not"):
            return self.membership(first)
        return first

    def comparison(self, first: Syntax) -> Compare:
        operands, operators = [first], []
        column = self.tokens[self.at].column
        while self.tokens[self.at].kind == "op":
            operators.append(self.tokens[self.at].text)
            self.at += 1
            operands.append(self.value())
        if len(operators) > 2 or (len(operators) == 2 and not _same_way(operators)):
            raise ExpressionError("A range goes one way: low <= value <= high.", column, "Write one comparison a line.")
        return Compare(tuple(operands), tuple(operators), column)

    def membership(self, value: Syntax) -> Member:
        column = self.tokens[self.at].column
        negated = self.take("key", "not")
        self.want("key", "in")
        self.want("mark", "[")
        start = self.tokens[self.at].column - 1
        end = self.text.find("]", start)
        if end < 0:
            raise ExpressionError("The list has no end.", column, "Close it with ']'.")
        words, at = [], start
        for part in self.text[start:end].split(","):
            words.append(Word(part.strip().strip('"'), at + 1 + len(part) - len(part.lstrip())))
            at += len(part) + 1
        while self.tokens[self.at].column <= end:
            self.at += 1
        self.want("mark", "]")
        if not all(word.text for word in words):
            raise ExpressionError("The list holds an empty place.", column, "Write [one, two].")
        return Member(value, tuple(words), negated, column)

    def choice(self) -> Syntax:
        value = self.value()
        token = self.tokens[self.at]
        if not self.take("key", "when"):
            return value
        start = self.tokens[self.at].column - 1
        condition = self.condition()
        text = self.text[start : self.tokens[self.at].column - 1].strip()
        self.want("key", "otherwise", "Say what it is where the condition does not hold: a when condition otherwise b.")
        return Choice(condition, value, self.choice(), text, token.column)

    def value(self) -> Syntax:
        self.depth += 1
        if self.depth > MOST_DEPTH:
            raise ExpressionError(
                "This is nested too deep.", self.tokens[self.at].column, "Name its parts under 'where'."
            )
        left = self.term()
        while self.tokens[self.at].kind == "mark" and self.tokens[self.at].text in "+-":
            token = self.step()
            left = Arithmetic(token.text, left, self.term(), token.column)
        self.depth -= 1
        return left

    def term(self) -> Syntax:
        left = self.atom()
        while self.tokens[self.at].kind == "mark" and self.tokens[self.at].text in "*/":
            token = self.step()
            left = Arithmetic(token.text, left, self.atom(), token.column)
        return left

    def atom(self) -> Syntax:
        token = self.step()
        if token.kind == "day":
            return Day(token.text, token.column)
        if token.kind == "quoted":
            return Quoted(token.text[1:-1], token.column)
        if token.kind == "number":
            return self.amount(token)
        if token.kind == "mark" and token.text == "(":
            inner = self.value()
            self.want("mark", ")")
            return inner
        if token.kind != "word":
            what = f"'{token.text}' was not expected here." if token.text else "Something is missing at the end."
            raise ExpressionError(what, token.column, "A fact, a limit or a name under 'where' goes here.")
        if self.take("mark", "("):
            return Call(token.text, self.arguments(), token.column)
        if self.take("mark", "["):
            return Lookup(token.text, self.keys(), token.column)
        return Word(token.text, token.column)

    def amount(self, token: _Token) -> Amount:
        following = self.tokens[self.at]
        if following.kind in ("word", "other"):
            self.at += 1
            return Amount(token.text, following.text, token.column)
        return Amount(token.text, "", token.column)

    def arguments(self) -> tuple[Syntax, ...]:
        found: list[Syntax] = []
        while not self.take("mark", ")"):
            if found:
                self.want("mark", ",")
            found.append(self.argument())
        return tuple(found)

    def argument(self) -> Syntax:
        value = self.value()
        token = self.tokens[self.at]
        if token.kind == "op":
            return self.held_against(value)
        if not self.take("key", "is"):
            return value
        if not isinstance(value, Word):
            raise ExpressionError("'is' comes after a field of a list.", token.column, "Write list.field is word.")
        negated = self.take("key", "not")
        return Match(value, self.value(), negated, token.column)

    def held_against(self, field: Syntax) -> Match:
        """`field >= value` inside a fold, the field having been read."""
        token = self.step()
        if token.text in ("==", "!="):
            hint = "Write 'is' or 'is not' here."
            raise ExpressionError(f"'{token.text}' was not expected here.", token.column, hint)
        if not isinstance(field, Word):
            raise ExpressionError("A field of a list comes first here.", token.column, "Write list.field >= value.")
        return Match(field, self.value(), False, token.column, token.text)

    def keys(self) -> tuple[tuple[str, Syntax], ...]:
        found: list[tuple[str, Syntax]] = []
        while not self.take("mark", "]"):
            if found:
                self.want("mark", ",")
            name = self.want("word")
            self.want("mark", ":")
            found.append((name.text, self.value()))
        return tuple(found)

    def step(self) -> _Token:
        token = self.tokens[self.at]
        self.at = min(self.at + 1, len(self.tokens) - 1)
        return token

    def take(self, kind: str, text: str) -> bool:
        token = self.tokens[self.at]
        if token.kind != kind or token.text != text:
            return False
        self.at += 1
        return True

    def want(self, kind: str, text: str = "", hint: str = "") -> _Token:
        token = self.step()
        if token.kind != kind or (text and token.text != text):
            found = f"'{token.text}'" if token.text else "the end"
            raise ExpressionError(f"'{text or kind}' was expected, {found} was found.", token.column, hint)
        return token


def _same_way(operators: list[str]) -> bool:
    return set(operators) <= {"<", "<="} or set(operators) <= {">", ">="}
