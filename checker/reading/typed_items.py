"""What may stand in a typed line: an amount, a word of a list, a label with its value, a reading with its time.

A text is cut into pieces where letters, digits and signs meet; an item is a run of pieces that says something.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.reading import typed_input
from checker.reading.amount_text import DIFFERENCE
from checker.reading.fact_reader import LeafError, read_leaf
from checker.reading.fact_shapes import Leaf
from checker.reading.line import Line, labels_of
from checker.reading.typed_input import BARE, alike, value_of, values_of
from checker.reading.vocabulary import Vocabulary

Facts = dict[str, Any]

PIECE = re.compile(
    r"\d\d?(?:,\d{3})+(?!\d)(?:\.\d+)?|\d{3},000(?!\d)"  # thousands; 330,520 may be two numbers and is none
    r"|\d+(?:\.\d+)?|\.\d+|\+/-|[^\W\d_]+|\S"
)
PARTS = frozenset(",;\n")
TELLS = frozenset((":", "=", "-", "is", "of", "at", "@", "was", "read", "reads", "~"))  # between a label and its value
FILLS = frozenset(
    (*TELLS, "the", "a", "an", "and", "on", "by", "with", "x", "&", "+", "/", "|", "(", ")", ".", "to", "it", "in", "#")
)
LENGTH = 9  # pieces of the longest word or amount: 1-1/8 in. w.c.
WORDS = 14  # pieces of the longest text, such as a model number
AFTER = frozenset(("after", "at", "@"))  # between a reading and its time
LATER = frozenset((*TELLS, "later", "in"))
NOT_ALONE = frozenset(("none", "other", "yes", "no"))  # a value of many lists: it needs its label
SIZED = re.compile(r"#|no\.?\s|awg|ga|\d\s*[-/]\s*\d", re.IGNORECASE)

# How plain each way to read a run of pieces is: the least counts.
LOST, PARTLY, BARE_NUMBER, AMOUNT, ASIDE, WORD, PHRASE, LABELED, FILL = 100, 20, 3, 1.5, 1.3, 1.2, 1.1, 1, 0.4
GLUED, OTHER_UNIT = -0.01, 0.02  # a label without a blank beside its value; a unit that is not the fact's own


class Item(NamedTuple):
    """A run of pieces up to `end`: what it says, or for what has no label of its own, which facts it may say.

    The less it costs, the plainer it is. `meanings` are the values of a list that a part of a word may mean.
    """

    text: str
    end: int
    cost: float
    facts: Facts = {}  # noqa: RUF012  never written to
    may_be: Mapping[str, Facts] = MappingProxyType({})
    bare: bool = False
    meanings: tuple[str, ...] = ()
    aside: bool = False


class Finder:
    """Finds the items of one text."""

    def __init__(self, line: Line, vocabulary: Vocabulary, text: str) -> None:
        self.line, self.vocabulary, self.text = line, vocabulary, text
        self.spans = [match.span() for match in PIECE.finditer(text)]
        self.pieces = [text[start:end] for start, end in self.spans]
        self.labels = labels_of(line)
        self.leaves = {path: self._bare(vocabulary.leaves[path]) for path in line.labels}
        self._read_once = functools.cache(self._read)  # of this text alone, and gone with it
        self.phrases = {alike(words): said for words, said in line.phrases.items()}
        self.aside = frozenset(alike(words) for words in line.aside)
        self.row = [leaf for path, leaf in vocabulary.leaves.items() if line.rows and path.startswith(f"{line.rows}.")]

    def _bare(self, leaf: Leaf) -> Leaf:
        """A fact without the labels of the line, which are found apart from its value."""
        return leaf._replace(labels=tuple(word for word in leaf.labels if alike(word) not in self.labels))

    def slice(self, at: int, end: int) -> str:
        return self.text[self.spans[at][0] : self.spans[end - 1][1]]

    def ends(self, at: int, most: int = LENGTH) -> Iterator[int]:
        """Where a run of pieces that begins here may end: before the next comma."""
        for end in range(at + 1, min(at + most, len(self.pieces)) + 1):
            if self.pieces[end - 1] in PARTS:
                return
            yield end

    def items_at(self, at: int) -> Iterator[Item]:
        """Everything that the pieces from here on may say."""
        piece = self.pieces[at]
        if piece in PARTS:
            yield Item(piece, at + 1, 0)
            return
        fills = piece.casefold() in FILLS and not (piece == "/" and self._between_digits(at))
        yield Item(piece, at + 1, FILL if fills else LOST)
        yield from self._rows(at)
        for end in self.ends(at):
            words = alike(self.slice(at, end))
            if words in self.aside:
                yield self._item(at, end, ASIDE, aside=True)
            if words in self.phrases and "answer" not in self.phrases[words].values():
                yield self._item(at, end, PHRASE, dict(self.phrases[words]))
            if words in self.labels or words in self.phrases:
                yield from self._label_first(at, end, words)
            yield from self._unlabeled(at, end)
        yield from self._partly(at)

    def _between_digits(self, at: int) -> bool:
        around = (self.pieces[at - 1], self.pieces[at + 1]) if 0 < at < len(self.pieces) - 1 else ("",)
        return all(one[:1].isdigit() for one in around)

    def _item(self, at: int, end: int, cost: float, facts: Facts | None = None, **more: Any) -> Item:
        return Item(self.slice(at, end), end, cost, facts or {}, **more)

    # --- labels ---

    def _label_first(self, at: int, end: int, words: str) -> Iterator[Item]:
        """A label and its value, or its values: RLA 14.1."""
        begin = self._past(end, TELLS)
        for last in self.ends(begin):
            glued = self.spans[end - 1][1] == self.spans[last - 1][0]
            for facts, may_be in self._labeled(words, begin, last):
                cost = LABELED + GLUED * glued + self._other_unit(facts)
                yield self._item(at, last, cost, facts, may_be=may_be)
                yield from self._more(at, last, words, facts)
                yield from self._said_twice(at, last, cost, facts)
            said = self.phrases.get(alike(self.slice(begin, last)), {})
            if said and set(said) <= {*self.labels.get(words, ())} and "answer" not in said.values():
                yield self._item(at, last, LABELED, dict(said))
        if any(self.leaves[path].form == "text" for path in self.labels.get(words, ())):
            yield from self._text_after(at, begin, words)
        yield from self._in_order(at, begin, words)

    def _in_order(self, at: int, begin: int, words: str) -> Iterator[Item]:
        """Two numbers with a slash between, behind a label of two facts: suction 130/52."""
        both = [path for path in self.labels.get(words, ()) if not self.leaves[path].either_way]
        slash = begin + 1
        if len(both) != 2 or slash + 1 >= len(self.pieces) or self.pieces[slash] != "/":
            return
        first = self._reads(both[0], begin, slash)
        for last in self.ends(slash + 1) if first else ():
            second = self._reads(both[1], slash + 1, last)
            if second and BARE.fullmatch(self.slice(slash + 1, last)):
                yield self._item(at, last, LABELED, {**first, **second})

    def _more(self, at: int, end: int, words: str, facts: Facts) -> Iterator[Item]:
        """More values behind a label of several facts: liquid 320 psi 98 F."""
        begin = self._past(end, frozenset("/"))
        for last in self.ends(begin) if facts and len(self.labels.get(words, ())) > len(facts) else ():
            for more, _ in self._labeled(words, begin, last):
                if more and not set(more) & set(facts):
                    both = {**facts, **more}
                    yield self._item(at, last, LABELED + 0.1 * (len(both) - 1), both)
                    yield from self._more(at, last, words, both)

    def _said_twice(self, at: int, end: int, cost: float, facts: Facts) -> Iterator[Item]:
        """A value with a label before it and another of the same fact behind it: comp 14.1 RLA."""
        for last in self.ends(end) if facts else ():
            if set(facts) & {*self.labels.get(alike(self.slice(end, last)), ())}:
                yield self._item(at, last, cost, facts)

    def _other_unit(self, facts: Facts) -> float:
        """What it costs that amounts are written in units that are not the facts' own."""
        leaves = [(self.leaves[path], value) for path, value in facts.items() if path in self.leaves]
        return OTHER_UNIT * sum(
            leaf.form == "quantity" and isinstance(value, str) and read_leaf(leaf, value).unit != leaf.unit
            for leaf, value in leaves
        )

    def _labeled(self, words: str, at: int, end: int) -> Iterator[tuple[Facts, Mapping[str, Facts]]]:
        """What a value says beside a label, or which facts of the label it may be."""
        said = self.phrases.get(words, {})
        answered = [path for path, value in said.items() if value == "answer"]
        if answered:
            value = self._reads(answered[0], at, end)
            if value:
                (one,) = value.values()
                yield {path: one if told == "answer" else told for path, told in said.items()}, {}
            return
        found = {path: facts for path in self.labels.get(words, ()) if (facts := self._reads(path, at, end))}
        signed = bool(DIFFERENCE.match(self.slice(at, end)))
        if any(self.leaves[path].either_way == signed for path in found):
            found = {path: facts for path, facts in found.items() if self.leaves[path].either_way == signed}
        if len(found) == 1:
            yield next(iter(found.values())), {}
        elif found:
            yield {}, found

    def _text_after(self, at: int, begin: int, words: str) -> Iterator[Item]:
        """A text up to the next label: serial NV26-0318842."""
        (path,) = (path for path in self.labels[words] if self.leaves[path].form == "text")
        for last in self.ends(begin, WORDS):
            if any(alike(self.slice(start, last)) in self.labels for start in range(begin, last)):
                return
            yield self._item(at, last, LABELED + 0.5 - 0.01 * (last - begin), {path: self.slice(begin, last)})

    def _past(self, at: int, words: frozenset[str]) -> int:
        while at < len(self.pieces) and self.pieces[at].casefold() in words and not self._is_sign(at):
            at += 1
        return at

    def _is_sign(self, at: int) -> bool:
        """Whether a piece is the sign of the number behind it."""
        if self.pieces[at] not in "-+" or at + 1 == len(self.pieces):
            return False
        apart = at == 0 or self.spans[at - 1][1] < self.spans[at][0]
        return apart and self.spans[at][1] == self.spans[at + 1][0] and self.pieces[at + 1][0] in ".0123456789"

    # --- values ---

    def _reads(self, path: str, at: int, end: int) -> Facts:
        """The facts that a run of pieces says of a fact and of the one beside it; none where it cannot be that."""
        return self._read_once(path, self.slice(at, end)) if self._whole(at, end) else {}

    def _read(self, path: str, text: str) -> Facts:
        leaf = self.leaves[path]
        try:
            found = values_of(leaf, text) if leaf.form != "text" else {}
        except LeafError:
            return {}
        around = path[: len(path) - len(typed_input.name_of(path))]
        return {around + name: value for name, value in found.items()}

    def _whole(self, at: int, end: int) -> bool:
        """Whether a run of pieces begins as a value does: with no sign between it and what stands before."""
        return self.pieces[at] not in "-+" or self._is_sign(at)

    def _unlabeled(self, at: int, end: int) -> Iterator[Item]:
        """An amount or a word, by itself or with its label behind it."""
        text = self.slice(at, end)
        bare = bool(BARE.fullmatch(text))
        asked = [path for path in self.leaves if path in self.line.plain or (not bare and self._looks(path, at, text))]
        may_be = {
            path: facts for path in asked if self._alone(path, text, bare) and (facts := self._reads(path, at, end))
        }
        if may_be:
            word = not text[0].isdigit() and text[0] not in ".+-±#"
            cost = WORD if word else BARE_NUMBER if bare else AMOUNT + min(map(self._other_unit, may_be.values()))
            yield self._item(at, end, cost, may_be=may_be, bare=bare)
        begin = self._past(end, frozenset(("-", ":")))
        for last in self.ends(begin):
            words = alike(self.slice(begin, last))
            if words in self.labels or "answer" in self.phrases.get(words, {}).values():
                glued = self.spans[end - 1][1] == self.spans[end][0]
                for facts, either in self._labeled(words, at, end):
                    cost = LABELED + GLUED * glued + self._other_unit(facts)
                    yield self._item(at, last, cost, facts, may_be=either)

    def _looks(self, path: str, at: int, text: str) -> bool:
        """Whether a text looks like a value of a fact: it begins as a number does, or is a word of its list."""
        leaf = self.leaves[path]
        if leaf.form == "choice" and not _in_digits(leaf):
            return alike(text) in _words(leaf)
        return self.pieces[at][0] in "0123456789.+-±#" or leaf.form in ("choice", "date")

    def _alone(self, path: str, text: str, bare: bool) -> bool:
        """Whether a text may be a value of a fact without its label."""
        leaf = self.leaves[path]
        if leaf.either_way:
            return not bare and (bool(DIFFERENCE.match(text)) or leaf.kind == "number")
        if leaf.form == "choice":
            return bare or (not _in_digits(leaf) and text.casefold() not in NOT_ALONE) or bool(SIZED.search(text))
        return leaf.form in ("quantity", "date") or (bare and leaf.form == "count")

    def _partly(self, at: int) -> Iterator[Item]:
        """A word that is a part of values, or one that may mean several."""
        for end in self.ends(at, 3):
            text, meanings = self.slice(at, end), list[str]()
            for leaf in self.leaves.values() if len(text) > 2 and text.casefold() not in FILLS else ():
                if leaf.form == "choice" and not _in_digits(leaf):
                    meanings += _meanings(leaf, text)
            if meanings:
                yield self._item(at, end, PARTLY, meanings=tuple(dict.fromkeys(meanings)))

    # --- readings with their times ---

    def _rows(self, at: int) -> Iterator[Item]:
        """A reading with its time: after 10 min 520, 520 after 10 min."""
        if not self.row:
            return
        first, reading = self.row
        begin = at + 1 if self.pieces[at].casefold() in AFTER else at
        for middle in self.ends(begin):
            time = self._of(first, begin, middle, unit=True)
            for end in self.ends(self._past(middle, LATER)) if time else ():
                value = self._of(reading, self._past(middle, LATER), end)
                if value:
                    yield self._row(at, end, time, value)
            value = self._of(reading, at, middle)
            after = middle < len(self.pieces) and self.pieces[middle].casefold() in AFTER
            for end in self.ends(middle + 1) if value and after else ():
                time = self._of(first, middle + 1, end, unit=True)
                if time:
                    yield self._row(at, end, time, value)

    def _row(self, at: int, end: int, time: str, value: str) -> Item:
        names = [typed_input.name_of(leaf.path) for leaf in self.row]
        return self._item(at, end, LABELED, {self.line.rows: dict(zip(names, (time, value), strict=True))})

    def _of(self, leaf: Leaf, at: int, end: int, unit: bool = False) -> str:
        """An amount of a reading; nothing where it is none, or has no unit and needs one."""
        text = self.slice(at, end)
        if not self._whole(at, end) or (unit and BARE.fullmatch(text)):
            return ""
        try:
            return str(value_of(leaf, text))
        except LeafError:
            return ""


def _in_digits(leaf: Leaf) -> bool:
    """Whether the values of a list are numbers, such as sizes."""
    return leaf.possible[0][0].isdigit()


@functools.cache
def _words(leaf: Leaf) -> frozenset[str]:
    """The values of a list and the other words for them, as they are compared."""
    return frozenset(map(alike, (*leaf.possible, *(word for word, _ in leaf.said))))


def _meanings(leaf: Leaf, text: str) -> Iterator[str]:
    try:
        value_of(leaf, text)
    except typed_input.Unclear as unclear:
        yield from (one.replace("_", " ") for one in unclear.candidates)
    except LeafError:
        return
