"""What an interview says on the terminal between its questions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

import click

from checker.commands.output import paint, width
from checker.problems.document import is_position
from checker.problems.sanitize import low

if TYPE_CHECKING:
    from checker.fieldwork.interview import Interview
    from checker.fieldwork.prompts import Question
    from checker.fieldwork.settled import Settled
    from checker.findings.finding import Finding
    from checker.reading.job import Job

SHORT = ("yes", "no")  # what says nothing without the title of its fact
GIVEN = ("place", "plate", "manual", "rating", "order", "limit")  # what is not changed by a fix


def say(text: str, indent: int = 0, style: str = "") -> None:
    """Print a text, each line of it wrapped to the terminal."""
    from checker.reporting.paragraphs import columns, wrapped

    for line in text.split("\n"):
        parts = wrapped(line, columns(width()), indent)
        click.echo("\n".join(paint(None)(part, style) if style else part for part in parts))


def noted(talk: Interview, question: Question, answer: str) -> None:
    """What was understood of an answer, where that is not plain from what was typed, and what of it was left."""
    if question.lines:
        _ticked(talk, question)
        return
    if question.several and all(isinstance(talk.now.job.value(path), bool) for path in question.paths):
        _picked_of_several(talk, question)
        return
    if picked := _picked(question, answer):
        say(f"Noted. {picked}.", 3)
    job, before = talk.now.job, talk.positions[-2].job.readings
    new = {path: one.written for path, one in job.readings.items() if path not in before and "." in path}
    plain = len(new) == 1 and next(iter(new.values())).casefold().startswith(answer.casefold())
    told = {path: one for path, one in new.items() if not path.endswith(".key")} or new  # its name was typed just now
    if told and not plain and not question.choices:
        say(f"Noted. {'; '.join(_understood(job, told))}.", 3)
    if question.left and (left := question.left(answer)):
        say(left, 3)


def _understood(job: Job, told: Mapping[str, str]) -> Iterator[str]:
    """What was understood: of a fact its title and its value, of an item of a list its name with what is told of it."""
    items: dict[str, list[tuple[str, str]]] = {}
    for path, written in told.items():
        around = path.rpartition(".")[0]
        named = job.text(f"{around}.key") if is_position(around.rpartition(".")[2]) else ""
        items.setdefault(named, []).append((job.vocabulary.title(path), written))
    for name, several in items.items():
        if not name:
            yield from (f"{title}: {written}" for title, written in several)
        elif len(several) == 1:
            yield f"{name}: {several[0][1]}"
        else:
            said = (f"{low(title)} {one}" if one in SHORT or one.isdigit() else one for title, one in several)
            yield f"{name}: {', '.join(said)}"


def _picked(question: Question, answer: str) -> str:
    """The choice that was meant by words; empty where its number or the choice itself was typed."""
    if not question.choices or answer.isdigit():
        return ""
    from checker.fieldwork.prompts import NotAnAnswer, chosen

    try:
        found = chosen(question, answer)
    except NotAnAnswer:  # it says that it is not known, or tells other things of its group too
        return ""
    return "" if found.casefold() == answer.casefold() else found


def _picked_of_several(talk: Interview, question: Question) -> None:
    numbers = [str(n) for n, path in enumerate(question.paths, 1) if talk.now.job.value(path)]
    others = len(question.paths) - len(numbers)
    yes = f"Yes to {', '.join(numbers)}, no to the other {others}." if numbers else f"No to all {others}."
    say(f"Noted. {yes}", 3)


def _ticked(talk: Interview, question: Question) -> None:
    told: dict[str, list[str]] = {"Yes to": [], "NO to": [], "Nothing noted of": []}
    for number, path in enumerate(question.paths, 1):
        said = talk.now.job.readings.get(path)
        word = "Nothing noted of" if said is None else "NO to" if said.value is False else "Yes to"
        told[word].append(str(number))
    if not all(path in talk.now.job.not_known for path in question.paths):
        say("Noted. " + " ".join(f"{word} {', '.join(numbers)}." for word, numbers in told.items() if numbers), 3)


def why(talk: Interview) -> None:
    from checker.reporting.words import explained

    findings, limits = talk.why()
    titles = [_titled(finding) for finding in findings]
    if not findings:
        say("It decides which rules and editions apply.", 3)
    for title in titles:
        say(title, 3)
    if mark := explained("".join(titles)):
        say(mark, 3)
    if limits:
        say(f"Wanted: {'; '.join(limits)}.", 3)


def _titled(finding: Finding) -> str:
    from checker.reporting.words import sections_of

    marks = " (LIFE SAFETY)" if finding.life_safety else ""
    return f"{_named(finding)}{marks}. {sections_of(finding)}."


def _named(finding: Finding) -> str:
    return finding.title + (f" [{finding.item.replace('/', ', ')}]" if finding.item else "")


def _say_changes(talk: Interview, failed: tuple[Finding, ...]) -> None:
    """Say what can be typed after a fix: to answer anew what was seen, or to add a part to the list that it stands in."""
    from checker.reading.fact_shapes import pattern

    vocabulary = talk.checker.vocabulary
    facts = [one.fact for finding in failed for one in finding.evidence if not one.origin]
    seen = [fact for fact in facts if not any(vocabulary.holds(fact, sort) for sort in GIVEN)]
    seen.sort(key=lambda fact: fact != talk.now.last)  # what was answered just now comes first
    if seen:
        part = vocabulary.lists.get(pattern(seen[0]).rpartition(".")[0])
        added = f" Put in a part? change {low(part.title)}." if part and part.keyed else ""
        say(f"Fixed? change {low(vocabulary.title(seen[0]))}.{added}", 3)


def show_settled(talk: Interview, settled: Settled) -> None:
    """Show what an answer settled: failures in full, passes by their titles."""
    from checker.reading.second_look import second_look
    from checker.reporting.words import caution_names, cautions_in

    slips = {look.said for look in second_look(talk.now.job, talk.on)} if settled.notes else ()
    for note in settled.notes:
        if note in slips:
            say(f"{note} If it is a slip, type back.", 3, "verify")
        else:
            say(f"Note: {note}", 3)
    for finding in settled.failed:
        say(f"Settled: FAIL {_named(finding)}: {finding.message}", 3, "fail")
        for label, text in (("Do", finding.remedy), ("Caution", caution_names(finding))):
            if text:
                say(f"{label}: {text}", 5)
    if settled.failed:
        _say_changes(talk, settled.failed)
    for name, text in cautions_in(settled.failed):
        say(f"Caution, {name}: {text}", 3)
    if settled.holding_back:
        titles = dict.fromkeys(_named(finding) for finding in settled.holding_back)
        say(f"Not good yet. The same reading also has to meet: {'; '.join(titles)}.", 3, "verify")
    for finding in settled.passed:
        say(f"Settled: ok {_named(finding)}", 3, "pass")
    for finding in settled.again:
        word = (
            "is closer to the limit than the meter can tell" if finding.reason == "too_close" else "does not seem right"
        )
        say(f"Look again: a reading {word}. {_named(finding)}. {' '.join(finding.notes)}", 3, "verify")
    if settled.dropped:
        say(f"Rules that don't apply after all: {settled.dropped}.", 3)
