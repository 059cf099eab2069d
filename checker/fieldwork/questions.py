"""The question about a fact, a list, or several facts of one thing, in the words of the job schema."""

from __future__ import annotations

import re

from checker.fieldwork import any_order, one_line
from checker.fieldwork.prompts import (
    Facts,
    NotAnAnswer,
    Question,
    said_of,
    shown_unit,
    value_of,
    values_of,
    words_of,
)
from checker.problems.sanitize import low
from checker.reading import typed_input, typed_line
from checker.reading.fact_reader import says_nothing
from checker.reading.fact_shapes import Leaf, ListOf, pattern
from checker.reading.job import Job
from checker.reading.typed_input import YES_NO
from checker.reading.vocabulary import Vocabulary

PART = r"[-+]?[\d.,]*[\d.]\s*(?:[^\d\s,.+-][^\s\d]*)?"  # a number and perhaps its unit, inside a row of them
EXAMPLE = "0 310, 5 340"
MOST_WORDS = 6  # more answers than this are not shown behind a part
IN_ORDER = "in this order, commas between; a dash leaves one for later"


def question_of(job: Job, path: str) -> Question:
    """The question about one fact or list of a job, with the name of the item that it is about."""
    vocabulary = job.vocabulary
    named = item_names(job, path)
    before = f"{named}: " if named else ""
    entry = vocabulary.lists.get(pattern(path))
    if entry:
        return _of_list(job, entry, path, before)
    leaf = vocabulary.leaves[pattern(path)]
    offered = job.lists.get(leaf.names, ())
    words = dict(zip(offered, offered, strict=True)) or words_of(leaf)
    text = f"{before}{leaf.ask or leaf.title}{shown_unit(leaf)}"

    def facts(answer: str) -> Facts:
        return placed_beside(_values(job, leaf, words.get(answer, answer)))

    def whole(answer: str) -> Facts:
        return placed_beside(typed_line.in_one_group(vocabulary, leaf, answer))

    def placed_beside(values: Facts) -> Facts:
        around = path[: len(path) - len(typed_input.name_of(path))]
        found = {around + name: value for name, value in values.items()}
        for other in set(found) & set(job.readings) - {path}:
            title = vocabulary.title(other)
            raise NotAnAnswer(f"{title} is recorded already: {job.readings[other].written}. Write one value here.")
        return found

    said = said_of(leaf, words)
    return Question(text, tuple(words), (path,), facts, may_be_none=leaf.may_be_none, said=said, whole=whole)


def _values(job: Job, leaf: Leaf, answer: str) -> Facts:
    """What an answer says of a fact, and of others of its group where it says them too: poles and amperes for 2p40."""
    try:
        return values_of(leaf, answer, job.lists.get(job.at("instruments"), ()))
    except NotAnAnswer:
        found = typed_line.in_one_group(job.vocabulary, leaf, answer)
        if found:
            return found
        raise


def item_names(job: Job, path: str) -> str:
    """The names of the list items around a fact, from the outside in; readings have no name and are counted from 1."""
    steps, names = path.split("."), []
    for at, step in enumerate(steps):
        around = ".".join(steps[:at])
        if step.isdigit() and int(step) < len(job.lists.get(around, ())):  # not of an item that is just being told
            entry = job.vocabulary.lists[pattern(around)]
            names.append(job.lists[around][int(step)] if entry.keyed else f"{entry.title} {int(step) + 1}")
    return ", ".join(names)


# --- several facts on one line ---------------------------------------------------------------------------------------


def on_one_line(job: Job, paths: list[str], thing: str = "") -> Question:
    """The question about several facts of one thing.

    Args:
        thing: What they are read off, where it is not one section of the schema.
    """
    each = len({*map(pattern, paths)}) == 1  # one fact of several items
    parts = tuple(item_names(job, path) if each else _shown(job.vocabulary, path) for path in paths)
    thing = thing or (_shown(job.vocabulary, paths[0]) if each else _thing(job, paths[0]))
    line = any_order.line_for(job, paths)
    labeled = f" Or in any order with its words, such as: {line.example}." if line else ""
    text = f"{thing}: {len(paths)} things on one line, {IN_ORDER}.{labeled}"

    def facts(answer: str) -> Facts:
        return _line_read(job, paths, answer).facts

    return Question(text, (), tuple(paths), facts, parts=parts, left=lambda answer: _line_read(job, paths, answer).left)


def _thing(job: Job, path: str) -> str:
    """What a fact is about: the names of the items around it and the title of its section."""
    section = job.vocabulary.section_title(path)
    return ": ".join(filter(None, (item_names(job, path), section)))


def _line_read(job: Job, paths: list[str], answer: str) -> any_order.Heard:
    """What a line says: by the order shown, or where it does not fit that, by its words."""
    titles = [job.vocabulary.title(path) for path in paths]
    _no_amount_for_text(job, paths, answer)
    try:
        return any_order.Heard(one_line.read([question_of(job, path) for path in paths], titles, answer))
    except NotAnAnswer as in_order:
        line = any_order.line_for(job, paths)
        if line is None:
            raise
        try:
            return any_order.read(job, line, paths, answer)
        except NotAnAnswer:
            if len(one_line.split(answer)) > len(paths) // 2:  # typed in the order shown: what is wrong there is told
                raise in_order from None
            raise


def _no_amount_for_text(job: Job, paths: list[str], answer: str) -> None:
    """Refuse an amount with its unit where a text is asked for, if another part of the line asks for such an amount.

    Raises:
        NotAnAnswer: 880 ft is no address.
    """
    leaves = [job.vocabulary.leaf(path) for path in paths]
    amounts = [leaf for leaf in leaves if leaf and leaf.form == "quantity"]
    for leaf, part in zip(leaves, one_line.split(answer), strict=False):
        if leaf and leaf.form == "text" and any(typed_input.is_amount(one, part) for one in amounts):
            raise NotAnAnswer(f"'{part}' isn't a {low(leaf.title)}. Use a dash to leave one for later: -, {part}.")


def _shown(vocabulary: Vocabulary, path: str) -> str:
    entry = vocabulary.lists.get(pattern(path))
    return (
        f"{entry.title}. {_how_read(entry, _inside(vocabulary, entry))}"
        if entry
        else _part_shown(vocabulary.leaves[pattern(path)])
    )


def _inside(vocabulary: Vocabulary, entry: ListOf) -> list[Leaf]:
    return [leaf for leaf in vocabulary.leaves.values() if leaf.path.startswith(f"{entry.path}.")]


def _part_shown(leaf: Leaf) -> str:
    """A part as it stands under the question: its title, with its unit or the words to choose from."""
    words = [word.replace("_", " ") for word in (YES_NO if leaf.form == "flag" else leaf.possible)]
    if words and len(words) <= MOST_WORDS:
        return f"{leaf.title}: {', '.join(words)}"
    return f"{leaf.title}{shown_unit(leaf)}"


# --- lists -----------------------------------------------------------------------------------------------------------


def _of_list(job: Job, entry: ListOf, path: str, before: str) -> Question:
    vocabulary = job.vocabulary
    leaves = _inside(vocabulary, entry)
    says = vocabulary.leaves.get(f"{entry.path}.{entry.key_says}")
    how = _how_named(entry, says) if entry.keyed else _how_read(entry, leaves)

    def facts(answer: str) -> Facts:
        if answer.lower() == "none":
            return {path: []}
        if entry.item_line and ":" in answer:
            return {path: _items(job, entry, path, answer, says)}
        if entry.item_line and (read := _unnamed(job, entry, path, answer)):
            return {path: read}
        if not entry.keyed:
            return _readings(job, entry, path, leaves, answer)
        return {path: _named([part.strip() for part in answer.split(",") if part.strip()], says)}

    parts = tuple(_part_shown(vocabulary.leaves[one]) for one in entry.item_line)
    return Question(f"{before}{entry.ask or entry.title} {how}", (), (path,), facts, a_list=True, parts=parts)


def _how_read(entry: ListOf, leaves: list[Leaf]) -> str:
    if entry.untimed:
        return f"{leaves[-1].title}{shown_unit(leaves[-1])}, with commas between the readings; or none."
    parts = " and ".join(f"{low(leaf.title)}{shown_unit(leaf)}" for leaf in leaves)
    return f"Of each reading, {parts}, with commas between the readings, such as {EXAMPLE}; or none."


def _how_named(entry: ListOf, says: Leaf | None) -> str:
    such_as = f", such as {', '.join(list(words_of(says))[:2])}" if says else ""
    how = f"A short name for each, commas between{such_as}; or none."
    quicker = " Or the name, a colon and the things below; a semicolon before the next one."
    return how + (quicker if entry.item_line else "")


def _items(job: Job, entry: ListOf, path: str, answer: str, says: Leaf | None) -> list[Facts]:
    """The items of a list, each with what is typed behind its name."""
    texts = [text.partition(":") for text in answer.split(";") if text.strip()]
    items = _named([name.strip() for name, _, _ in texts], says)
    for index, (item, (_, _, line)) in enumerate(zip(items, texts, strict=True), len(job.lists.get(path, ()))):
        paths = [f"{path}.{index}.{typed_input.name_of(one)}" for one in entry.item_line]
        found = _line_read(job, paths, line.strip()).facts if line.strip() else {}
        item |= {typed_input.name_of(fact): value for fact, value in found.items()}
    return items


def _unnamed(job: Job, entry: ListOf, path: str, answer: str) -> list[Facts]:
    """The items of a list that are told by what they are, without a name: each is named by the first word it says. Empty
    where the answer is no such lines."""
    texts = [text.strip() for text in answer.split(";") if text.strip()]
    found = [any_order.item(job, path, entry.item_line, text) for text in texts if any(map(str.isdigit, text))]
    if not found or len(found) < len(texts) or not all(found):
        return []
    words = [next((str(v).replace("_", " ") for v in item.values() if _is_word(v)), low(entry.title)) for item in found]
    keys = [f"{word} {words[:n].count(word) + 1}" if words.count(word) > 1 else word for n, word in enumerate(words)]
    return [{"key": key, **item} for key, item in zip(keys, found, strict=True)]


def _is_word(value: object) -> bool:
    return isinstance(value, str) and not any(map(str.isdigit, value))


def _named(names: list[str], says: Leaf | None) -> list[Facts]:
    """The items of a keyed list. A name that is a value of the fact `says` says that fact too."""
    if len(set(names)) < len(names):
        raise NotAnAnswer("Give each a name of its own.")
    if any(_no_name(name) for name in names):
        raise NotAnAnswer("Write none if there are none, or press Enter to skip it.")
    if not names or any("/" in name for name in names):
        raise NotAnAnswer("Write short names with commas between them, without a '/'.")
    return [{"key": name, **_said_by(name, says)} for name in names]


def _said_by(name: str, says: Leaf | None) -> Facts:
    try:
        return {typed_input.name_of(says.path): value_of(says, name)} if says else {}
    except NotAnAnswer:  # a name of the contractor's own
        return {}


def _no_name(text: str) -> bool:
    """Whether it is an answer to another question and no name: no, 0, n/a, don't know."""
    word = text.casefold()
    other = (*YES_NO, *typed_input.YES_NO_SAID, "none", "nothing", "0", "zero")
    return word in other or says_nothing(text) or bool(typed_input.unknown_why(text))


def _readings(job: Job, entry: ListOf, path: str, leaves: list[Leaf], answer: str) -> Facts:
    """A row of readings, with commas between; or as a line tells them, each with its time: 330, after 10 min 520."""
    apart = one_line.split(answer) if "," in answer or ";" in answer else [answer]
    if entry.untimed and len(apart) == 1 and len(answer.split()) > len(leaves):
        apart = answer.split()
    try:
        return {path: [_reading(entry, leaves, item) for item in apart if item]}
    except NotAnAnswer:
        line = any_order.line_for(job, [path])
        found = any_order.read(job, line, [path], answer).facts if line and line.rows == pattern(path) else {}
        if path in found:
            return found
        raise


def _reading(entry: ListOf, leaves: list[Leaf], item: str) -> Facts:
    """One of a row of readings, such as `5 320`: its parts in their order, each perhaps with its unit."""
    if entry.untimed and re.fullmatch(PART, item):
        return {typed_input.name_of(leaves[-1].path): value_of(leaves[-1], item)}
    found = re.fullmatch(r"\s+".join([f"({PART})"] * len(leaves)), item)
    if not found:
        raise NotAnAnswer(f"'{item}' is not {len(leaves)} numbers; write them such as {EXAMPLE}.")
    pairs = zip(leaves, found.groups(), strict=True)
    return {typed_input.name_of(leaf.path): value_of(leaf, part) for leaf, part in pairs}
