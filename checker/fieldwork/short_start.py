"""The questions that a job begins with; the job schema says which. An interview asks all of them, a plan a few.

Each question writes the facts that its answer says, and no others: an answer skipped leaves the fact unrecorded.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Any, NamedTuple

from checker.fieldwork.place_question import Places, facts_of
from checker.fieldwork.prompts import Facts, NotAnAnswer, Question, placed, said_of, value_of, words_of
from checker.fieldwork.questions import on_one_line, question_of
from checker.reading import typed_input
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job
from checker.reading.vocabulary import Vocabulary


def questions(vocabulary: Vocabulary, places: Places, of: str, facts: Facts) -> Iterator[Question]:
    """The questions in order, as the schema names them.

    Args:
        places: The places that can be named.
        of: Under which name the schema lists them, such as `prep` for the few that a plan needs.
        facts: What was answered so far; it grows while the questions are asked.
    """
    for told in vocabulary.commands.get(of, ()):
        if not (told.get("elsewhere") and facts.get(vocabulary.at("place")) in places.covered):
            yield _question(vocabulary, told, places)


class Setting(NamedTuple):
    """What opening questions depend on: the places that can be named, whether there are manufacturers' sheets, the facts
    that could still change an outcome, and what is published of the codes of the state."""

    places: Places
    sheets: bool = False
    needed: Collection[str] = ()
    published: tuple[str, ...] = ()


def of_job(job: Job, setting: Setting, of: str = "start") -> Iterator[Question]:
    """The opening questions of a job. One about an item of a list comes up once the job has that item.

    Args:
        of: Under which name the schema lists them, such as `together` for those that come up at their station.
    """
    moved: dict[str, str] = {}
    for path, made in job.vocabulary.commands.get("start_items", {}).items():
        moved[f"{path}.0."] = _item(job, _at(path, moved), made[0])
    covered = job.place in setting.places.covered
    for told in job.vocabulary.commands.get(of, ()):
        here = _only(_moved(told, moved), setting.needed)
        paths = (*here.get("facts", ()), *here.get("line", ()))
        apart = (covered and ("elsewhere" in told or "place" in told)) or (
            told.get("with_sheets") and not setting.sheets
        )
        if all(paths) and not apart:
            found = _of_list(job, here) or _of_line(job, here) or _rest_of_place(job, here)
            found = found or _question(job.vocabulary, here, setting.places)
            known = setting.published if job.at("adopted") in paths else ()
            yield found._replace(text=f"{found.text} Published: {' '.join(known)}") if known else found


def _only(told: Mapping[str, Any], needed: Collection[str]) -> Mapping[str, Any]:
    """An opening question without the things of which no fact could change an outcome."""
    if "several" not in told or "items" in told:
        return told
    several = {word: facts for word, facts in told["several"].items() if any(path in needed for path in facts)}
    return {**told, "several": several}


def job_of(vocabulary: Vocabulary, name: str, facts: Facts) -> dict[str, Any]:
    """The job file that the answers make: the facts by path, put into their places."""
    items = vocabulary.commands.get("start_items", {})
    lists = {path: made for path, made in items.items() if any(fact.startswith(f"{path}.") for fact in facts)}
    return placed({"job_id": name, "schema_version": 1}, {**lists, **facts})


def _question(vocabulary: Vocabulary, told: Mapping[str, Any], places: Places) -> Question:
    """One opening question."""
    inside = (path for kind in ("choices", "parts", "several") for path in _paths(told, kind))
    paths = (told["items"],) if "items" in told else tuple(dict.fromkeys(told.get("facts", ()) or inside))
    found = _of_place(vocabulary, told, places) if "place" in told else _form(vocabulary, told, paths)
    return found._replace(text=told["ask"], decides=told.get("decides", False), opens=True)


def _of_place(vocabulary: Vocabulary, told: Mapping[str, Any], places: Places) -> Question:
    """The question about the state and the place in it."""
    paths = (vocabulary.at("state"), vocabulary.at("place"))
    return Question(told["ask"], (), paths, lambda answer: facts_of(places, answer))


def _rest_of_place(job: Job, told: Mapping[str, Any]) -> Question | None:
    """The question about the place or the state alone, where the job says one of the two; None where it says neither."""
    paths = (job.at("state"), job.at("place"))
    open_paths = [path for path in paths if path not in job.readings]
    if "place" not in told or len(open_paths) != 1:
        return None
    return question_of(job, open_paths[0])._replace(opens=True, decides=told.get("decides", False))


def _paths(told: Mapping[str, Any], kind: str) -> Iterator[str]:
    return (path for facts in told.get(kind, {}).values() for path in facts)


def _form(vocabulary: Vocabulary, told: Mapping[str, Any], paths: tuple[str, ...]) -> Question:
    ask = told["ask"]
    if "parts" in told:
        return Question(ask, (), paths, lambda answer: _parts(vocabulary, told, answer))
    if "choices" in told:
        same = told.get("same", {})
        return Question(ask, tuple(told["choices"]), paths, lambda answer: dict(told["choices"][answer]), same=same)
    if "several" in told:
        return Question(ask, (), paths, lambda answer: picked(told, answer), several=tuple(told["several"]))
    if "words" in told:
        return Question(ask, (), paths, lambda answer: _rows(told, answer))
    path = told["facts"][0]
    first = vocabulary.leaves[pattern(path)]
    words = words_of(first)
    return Question(
        ask,
        tuple(words),
        (path,),
        lambda answer: {path: value_of(first, words.get(answer, answer))},
        may_be_none=first.may_be_none,
        said=said_of(first, words),
    )


def _of_list(job: Job, told: Mapping[str, Any]) -> Question | None:
    """The question about a list, where it is one."""
    path = told.get("facts", [""])[0]
    if "words" in told or pattern(path) not in job.vocabulary.lists:
        return None
    return question_of(job, path)._replace(opens=True)


def _of_line(job: Job, told: Mapping[str, Any]) -> Question | None:
    """The question about several facts on one line, where it is one; what one of them says may be said of others too."""
    if "line" not in told:
        return None
    line = on_one_line(job, list(told["line"]), told["ask"])
    decides = told.get("decides", False)
    return line._replace(opens=True, decides=decides, facts=lambda answer: _filled(told, line.facts(answer)))


def _filled(told: Mapping[str, Any], facts: Facts) -> Facts:
    """The facts of a line, and what they say of others: `says` tells it for each word of the fact `by`, with `answer` for
    the value of the fact `of`."""
    if told.get("of") not in facts:
        return facts
    says = told["says"].get(facts.get(told["by"]), told["says"][""])
    value = facts[told["of"]]
    return facts | {path: value if one == "answer" else one for path, one in says.items()}


def picked(told: Mapping[str, Any], answer: str) -> Facts:
    """What the numbers of an answer say: of each thing that is picked what it records, of the others no.

    Raises:
        NotAnAnswer: It is neither numbers of the list nor the word none.
    """
    things = list(told["several"])
    numbers = () if answer.lower().rstrip(".") in ("none", "none of them", "0") else _numbers(things, answer)
    if "items" in told:
        return {told["items"]: [dict(told["several"][things[number - 1]]) for number in numbers]}
    return {
        path: value if place in numbers else False
        for place, facts in enumerate(told["several"].values(), 1)
        for path, value in facts.items()
    }


def _numbers(things: list[str], answer: str) -> tuple[int, ...]:
    """The numbers of things that an answer names, each by its number or by words of it."""
    found = [typed_input.with_all_words(part, things, {}) for part in answer.split(",")]
    if all(len(one) == 1 for one in found):
        return tuple(things.index(one[0]) + 1 for one in found)
    return numbers_of(answer, len(things))


def numbers_of(answer: str, most: int) -> tuple[int, ...]:
    """The numbers of an answer.

    Raises:
        NotAnAnswer: It holds something else, or a number beyond the list.
    """
    parts = [part.lstrip("#") for part in re.split(r"[\s,;]+|\band\b", answer.casefold()) if part]
    if not parts or not all(re.fullmatch("[0-9]{1,3}", part) and 1 <= int(part) <= most for part in parts):
        raise NotAnAnswer(f"Type the numbers that apply, from 1 to {most}, such as: 1 {most}. Or none.")
    return tuple(dict.fromkeys(map(int, parts)))


def _rows(told: Mapping[str, Any], answer: str) -> Facts:
    """A list out of pairs of a number and a word, such as `0.7 hemp, 0.9 flax`: an item of each, named as it was typed.

    Raises:
        NotAnAnswer: A pair is not both, or nobody knows the word.
    """
    (path,), (number, word), words = told["facts"], told["fields"], told["words"]
    items = []
    for part in _pairs(answer):
        figures, named = re.findall(r"\d+", part), " ".join(re.findall(r"[^\W\d_]+", part)).casefold()
        if len(figures) != 1 or named not in words:
            raise NotAnAnswer(f"'{part[:40]}' is not clear. Such as: {told['example']}. Words: {', '.join(words)}.")
        year = figures[0] if len(figures[0]) > 2 else f"20{figures[0]:0>2}"
        first = next(one for one, stands_for in words.items() if stands_for == words[named])
        items.append({"key": first, number: year, word: words[named]})
    return {path: items}


def _pairs(answer: str) -> Iterator[str]:
    """The pairs of an answer: parted by commas, by the word and, or each where a number or a word begins the next."""
    for part in (one.strip() for one in re.split(r"[,;/&+]|\band\b", answer) if one.strip()):
        ahead = r"(?<=[^\W\d_])\s+(?=\d)" if part[0].isdigit() else r"(?<=\d)\s+(?=[^\W\d_])"
        yield from re.split(ahead, part)


def _parts(vocabulary: Vocabulary, told: Mapping[str, Any], answer: str) -> Facts:
    """The facts of an answer in parts, each a word with what belongs behind it: `applied 2026-08-26, issued 2026-08-28`.

    Raises:
        NotAnAnswer: A part begins with none of the words, or what belongs behind it is missing or cannot be read.
    """
    found: Facts = {}
    for part in (_same(told, one.strip()) for one in answer.split(",") if one.strip()):
        word = next((word for word in told["parts"] if re.match(rf"{re.escape(word)}\b", part, re.IGNORECASE)), "")
        if not word:
            raise NotAnAnswer(f"Begin with one of: {', '.join(told['parts'])}. Such as: {told['example']}.")
        rest = re.sub(r"^(?:on|:)\s*", "", part[len(word) :].strip(), flags=re.IGNORECASE)
        for path, value in told["parts"][word].items():
            if value == "answer" and not rest:
                raise NotAnAnswer(f"'{word}' needs more behind it. Such as: {told['example']}.")
            found[path] = value_of(vocabulary.leaves[pattern(path)], rest) if value == "answer" else value
    if not found:
        raise NotAnAnswer(f"Such as: {told['example']}.")
    return found


def _same(told: Mapping[str, Any], part: str) -> str:
    """A part that begins with other words for one of the words, with that one."""
    for other, word in told.get("same", {}).items():
        if re.match(rf"{re.escape(other)}\b", part, re.IGNORECASE):
            return f"{word}{part[len(other) :]}"
    return part


def _moved(told: Mapping[str, Any], moved: Mapping[str, str]) -> dict[str, Any]:
    """An opening question with its paths where they are in a job; empty paths for what the job does not have."""

    def facts(said: Mapping[str, Any]) -> dict[str, Any]:
        return {_at(path, moved): value for path, value in said.items()}

    found = dict(told)
    for kind in {"choices", "parts", "says"} & {*told}:
        found[kind] = {word: facts(said) for word, said in told[kind].items()}
    for kind in {"facts", "line"} & {*told}:
        found[kind] = [_at(path, moved) for path in told[kind]]
    for kind in {"by", "of"} & {*told}:
        found[kind] = _at(told[kind], moved)
    return found


def _at(path: str, moved: Mapping[str, str]) -> str:
    """Where a path is in a job; empty where the job does not have the item."""
    around = max((prefix for prefix in moved if path.startswith(prefix)), key=len, default="")
    return moved[around] and moved[around] + path[len(around) :] if around else path


def _item(job: Job, path: str, like: Mapping[str, Any]) -> str:
    """Where the first item of a list stands that says the same as a start item, its name apart; empty where none does."""
    wanted = {name: value for name, value in like.items() if name != "key"}
    for index in range(len(job.lists.get(path, ()))):
        if all(job.text(f"{path}.{index}.{name}") == value for name, value in wanted.items()):
            return f"{path}.{index}."
    return ""
