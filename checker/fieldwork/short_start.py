"""The questions that a job begins with; the job schema says which. An interview asks all of them, a plan a few.

Each question writes the facts that its answer says, and no others: an answer skipped leaves the fact unrecorded.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from checker.fieldwork.prompts import Facts, NotAnAnswer, Question, placed, question_of, said_of, value_of, words_of
from checker.reading.job import Job
from checker.reading.vocabulary import Leaf, Vocabulary, pattern

# An amount and a word behind it: 0.7 hemp.
AMOUNT_AND_WORD = re.compile(r"(.*\d[^a-z]*)([a-z].*)", re.IGNORECASE)


def questions(vocabulary: Vocabulary, places: tuple[str, ...], of: str) -> Iterator[Question]:
    """The questions in order, as the schema names them.

    Args:
        places: The jurisdiction codes that the rulesets cover, to offer.
        of: Under which name the schema lists them, such as `prep` for the few that a plan needs.
    """
    yield from (_question(vocabulary, told, places) for told in vocabulary.commands.get(of, ()))


def of_job(job: Job, places: tuple[str, ...]) -> Iterator[Question]:
    """The opening questions of a job. One about an item of a list comes up once the job has that item."""
    moved: dict[str, str] = {}
    for path, made in job.vocabulary.commands.get("start_items", {}).items():
        moved[f"{path}.0."] = _item(job, _at(path, moved), made[0])
    for told in job.vocabulary.commands.get("start", ()):
        here = _moved(told, moved)
        paths = (*here.get("facts", ()), *here.get("also", ()), here.get("by", "."), *_paths(here, "says"))
        word = job.text(here.get("by", ""))
        if all(paths) and (word or "by" not in here):
            yield _of_list(job, here) or _question(job.vocabulary, here, places, word)


def job_of(vocabulary: Vocabulary, name: str, facts: Facts) -> dict[str, Any]:
    """The job file that the answers make: the facts by path, put into their places."""
    items = vocabulary.commands.get("start_items", {})
    lists = {path: made for path, made in items.items() if any(fact.startswith(f"{path}.") for fact in facts)}
    return placed({"job_id": name, "schema_version": 1}, {**lists, **facts})


def _question(vocabulary: Vocabulary, told: Mapping[str, Any], places: tuple[str, ...], word: str = "") -> Question:
    """One opening question.

    Args:
        word: What the fact says that the answer waits for, where it waits for one.
    """
    paths = tuple(
        dict.fromkeys((*told.get("facts", ()), *told.get("also", ()), *_paths(told, "choices"), *_paths(told, "parts")))
    )
    known = f" (covered: {', '.join(places)})" if places and vocabulary.at("place") in paths else ""
    found = _form(vocabulary, told, paths, word)
    return found._replace(text=told["ask"] + known, decides=told.get("decides", False), opens=True)


def _paths(told: Mapping[str, Any], kind: str) -> Iterator[str]:
    return (path for facts in told.get(kind, {}).values() for path in facts)


def _form(vocabulary: Vocabulary, told: Mapping[str, Any], paths: tuple[str, ...], word: str) -> Question:
    ask = told["ask"]
    if told.get("parts"):
        return Question(ask, (), paths, lambda answer: _parts(vocabulary, told, answer))
    if "choices" in told:
        return Question(ask, tuple(told["choices"]), paths, lambda answer: dict(told["choices"][answer]))
    path = told["facts"][0]
    first = vocabulary.leaves[pattern(path)]
    if "by" in told:
        says = told["says"].get(word, told["says"][""])
        return Question(ask, (), tuple(says), lambda answer: _filled(says, value_of(first, answer)))
    if len(told["facts"]) > 1:
        return Question(ask, (), paths, lambda answer: _two(vocabulary, told, answer))
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
    return question_of(job, path)._replace(opens=True) if pattern(path) in job.vocabulary.lists else None


def _filled(says: Facts, value: Any) -> Facts:
    """The facts of an answer, its value in the place of the word `answer`."""
    return {path: value if one == "answer" else one for path, one in says.items()}


def _parts(vocabulary: Vocabulary, told: Mapping[str, Any], answer: str) -> Facts:
    """The facts of an answer in parts, each a word with what belongs behind it: `applied 2026-08-26, issued 2026-08-28`.

    Raises:
        NotAnAnswer: A part begins with none of the words, or what belongs behind it is missing or cannot be read.
    """
    found: Facts = {}
    for part in (one.strip() for one in answer.split(",") if one.strip()):
        word = next((word for word in told["parts"] if re.match(rf"{re.escape(word)}\b", part, re.IGNORECASE)), "")
        if not word:
            raise NotAnAnswer(f"Begin with one of: {', '.join(told['parts'])}. Such as: {told['example']}.")
        rest = re.sub(r"^(?:on|:)\s*", "", part[len(word) :].strip(), flags=re.IGNORECASE)
        for path, value in told["parts"][word].items():
            if value == "answer" and not rest:
                raise NotAnAnswer(f"'{word}' needs what belongs behind it. Such as: {told['example']}.")
            found[path] = value_of(vocabulary.leaves[pattern(path)], rest) if value == "answer" else value
    if not found:
        raise NotAnAnswer(f"Such as: {told['example']}.")
    return found


def _moved(told: Mapping[str, Any], moved: Mapping[str, str]) -> dict[str, Any]:
    """An opening question with its paths where they are in a job; empty paths for what the job does not have."""

    def facts(said: Mapping[str, Any]) -> dict[str, Any]:
        return {_at(path, moved): value for path, value in said.items()}

    found = dict(told)
    for kind in {"choices", "parts", "says"} & {*told}:
        found[kind] = {word: facts(said) for word, said in told[kind].items()}
    if "facts" in told:
        found["facts"] = [_at(path, moved) for path in told["facts"]]
    if "also" in told:
        found["also"] = facts(told["also"])
    if "by" in told:
        found["by"] = _at(told["by"], moved)
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


def _two(vocabulary: Vocabulary, told: Mapping[str, Any], answer: str) -> Facts:
    """An amount and the word behind it, such as `0.7 hemp`.

    Raises:
        NotAnAnswer: It is not both.
    """
    amount, kind = told["facts"]
    match = AMOUNT_AND_WORD.fullmatch(answer.strip())
    found = _word(vocabulary.leaves[pattern(kind)], match[2]) if match else ""
    if not match or not found:
        raise NotAnAnswer(f"Write both, such as: {told['example']}.")
    # the unit may stand between them: 0.7 in hemp
    return {amount: value_of(vocabulary.leaves[pattern(amount)], match[1].strip()), kind: found, **told.get("also", {})}


def _word(leaf: Leaf, written: str) -> str:
    """The word of a closed list that someone means: it, or its plural, perhaps behind the unit."""
    last = written.lower().split()[-1]
    return next((word for word in leaf.possible if last in (word, f"{word}s", word.replace("_", " "))), "")
