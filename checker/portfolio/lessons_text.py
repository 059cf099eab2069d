"""The lessons of an archive as text and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

from checker.findings.report import DEFERRAL
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.portfolio.lessons import DOES_NOT_APPLY, NO_RULE, NOT_COMPARED, Lessons, Told
from checker.portfolio.rates import Rate
from checker.problems import json_out
from checker.problems.sanitize import inert

LESSONS_VERSION = 1
ABOUT = (
    "Each correction stands beside what was said here of the same job, as of the day of the inspection. A job holds its "
    "facts once: what was put right and read again since stands there as it is now. A notice holds what one trade's "
    "inspector wrote down; what it does not mention, it says nothing of."
)


class LessonsWriter:
    """Writes lessons, each section only where it has something to say.

    Args:
        width: Columns of the terminal; text is kept between 40 and 100.
    """

    def __init__(self, lessons: Lessons, unreadable: int, width: int = 80) -> None:
        self.lessons, self.unreadable, self.width = lessons, unreadable, max(40, min(width, 100))

    def text(self) -> str:
        return "\n".join(self.lines()) + "\n"

    def lines(self) -> Iterator[str]:
        found = self.lessons
        yield from self.wrapped(
            f"{counted(found.jobs, 'job')} read, {found.with_inspections} with inspections: "
            f"{counted(found.inspections, 'inspection')}."
            + (f" {self.unreadable} could not be used." if self.unreadable else "")
        )
        if found.inspections:
            yield from self.wrapped(ABOUT)
            yield from self.gaps()
            yield from self.rules_to_write()
            yield from self.agreed()
            yield from self.not_mentioned()
            yield from self.left_open()
            yield from self.rates()
            yield from self.left_out()
        yield ""
        yield from self.wrapped(DEFERRAL)

    def gaps(self) -> Iterator[str]:
        headings = (
            ("Corrections on what was called a pass here", PASS),
            ("Corrections by a rule that was found not to apply here", DOES_NOT_APPLY),
            ("Corrections that name no rule of ours", NO_RULE),
        )
        for heading, ours in headings:
            yield from self.corrections(heading, self.lessons.told.get(ours, []))

    def corrections(self, heading: str, found: list[Told]) -> Iterator[str]:
        yield from self.heading(heading, len(found))
        by_rule: dict[str, list[Told]] = {}
        for told in found:
            by_rule.setdefault(told.rule, []).append(told)
        for rule, lines in by_rule.items():
            if rule:
                yield from self.wrapped(f"{lines[0].title} [{rule}]".strip(), 2)
            for told in lines:
                where = f"{told.job}, {told.day}, {told.place}, {told.trade or 'trade not known'}"
                note = f"; {told.note}" if told.note else ""
                yield from self.wrapped(f'{where}: "{told.words}"{note}', 4 if rule else 2)

    def rules_to_write(self) -> Iterator[str]:
        groups = self.lessons.rules_to_write()
        yield from self.heading("Which rule to write next: like words without a rule, most frequent first", len(groups))
        for group in groups:
            jobs = f"{group.count} in {counted(len(group.jobs), 'job')}"
            yield from self.wrapped(f'{jobs}: "{group.words}"', 2)

    def agreed(self) -> Iterator[str]:
        told = self.lessons.told
        yield from self.corrections("Corrections on what had failed here too", told.get(FAIL, []))
        yield from self.corrections("Corrections on what had been left to verify here", told.get(VERIFY, []))
        yield from self.corrections("Corrections that could not be compared", told.get(NOT_COMPARED, []))

    def not_mentioned(self) -> Iterator[str]:
        found = self.lessons.not_mentioned
        yield from self.heading("Failed here, not mentioned in a notice", sum(len(lines) for lines in found.values()))
        for rule, lines in sorted(found.items(), key=lambda pair: (-len(pair[1]), pair[0])):
            yield from self.wrapped(f"{self.lessons.titles[rule]} [{rule}]", 2)
            for line in lines:
                doubt = (
                    f" ({counted(line.unnamed, 'correction')} there without a rule: it may be meant)"
                    if line.unnamed
                    else ""
                )
                yield from self.wrapped(f"{line.job}: not mentioned, {line.notices}{doubt}", 4)
        if self.lessons.with_word:
            yield from self.wrapped(
                f"{self.lessons.with_word} more failed, and the job notes the authority's decision on it in writing.", 2
            )

    def left_open(self) -> Iterator[str]:
        found = self.lessons.endings
        yield from self.heading("Left to verify here, and how it ended", len(found))
        mentioned = sorted((pair for pair in found.items() if pair[1].mentioned), key=lambda pair: -pair[1].mentioned)
        for rule, ending in mentioned:
            counts = f"mentioned in {ending.mentioned} of {counted(ending.mentioned + ending.not_mentioned, 'job')}"
            yield from self.wrapped(f"{counts}: {self.lessons.titles[rule]} [{rule}]", 2)
        never: dict[int, list[str]] = {}
        for rule, ending in sorted(found.items()):
            if not ending.mentioned:
                never.setdefault(ending.not_mentioned, []).append(rule)
        for jobs, rules in sorted(never.items(), reverse=True):
            yield from self.wrapped(f"not mentioned in {counted(jobs, 'job')}: {', '.join(rules)}", 2)

    def rates(self) -> Iterator[str]:
        found = self.lessons
        yield from self.heading("First inspections of a job and trade that passed")
        tables = (
            ("", found.all_firsts.rates()),
            ("By month", found.by_month.rates()),
            ("By jurisdiction", found.by_place.rates()),
        )
        for heading, rates in tables:
            yield from self.wrapped(heading and f"{heading}:", 2)
            yield from self.listed(rates, 4 if heading else 2)
        named = [rate for rate in found.by_rule.rates() if rate.hits]
        yield from self.heading("How often a notice named a rule, of the jobs in which it had a finding here")
        yield from self.listed(sorted(named, key=lambda rate: (-rate.hits, rate.of, rate.name)), 2)
        never = len(found.by_rule.counts) - len(named)
        yield from self.wrapped(f"Never named: {counted(never, 'rule')} (each in the JSON form)." if never else "", 2)

    def left_out(self) -> Iterator[str]:
        yield from self.heading("Not compared", len(self.lessons.uncompared))
        yield from (line for one in self.lessons.uncompared for line in self.wrapped(one, 2))
        yield from self.heading("Not counted among the first inspections", len(self.lessons.not_counted))
        yield from (line for one in self.lessons.not_counted for line in self.wrapped(one, 2))
        twice = ", ".join(dict.fromkeys(self.lessons.twice))
        yield from self.wrapped(
            f"More than one file has this job number, and each was counted: {twice}." if twice else ""
        )

    def listed(self, rates: Iterable[Rate], indent: int) -> Iterator[str]:
        for rate in rates:
            yield from self.wrapped(f"{rate.name}: {rate.words}", indent)

    def heading(self, text: str, count: int | None = None) -> Iterator[str]:
        if count != 0:
            yield ""
            yield from self.wrapped(text + (f" ({count})" if count else ""))

    def wrapped(self, text: str, indent: int = 0) -> Iterator[str]:
        first, later = " " * indent, " " * (indent + 2 if indent else 0)
        yield from textwrap.wrap(
            inert(text), self.width, initial_indent=first, subsequent_indent=later, break_on_hyphens=False
        )


def counted(count: int, name: str) -> str:
    return f"{count} {name}" if count == 1 else f"{count} {name}s"


def as_json(lessons: Lessons, unreadable: int) -> str:
    """The lessons as one JSON document."""
    document = {
        "lessons_version": LESSONS_VERSION,
        "deferral": DEFERRAL,
        "about": ABOUT,
        "jobs": lessons.jobs,
        "unreadable": unreadable,
        "inspections": lessons.inspections,
        "corrections": [told._asdict() for lines in lessons.told.values() for told in lines],
        "rules_to_write": [_group(group.words, group.count, group.jobs) for group in lessons.rules_to_write()],
        "not_mentioned": [
            {"rule": rule, "title": lessons.titles[rule], **line._asdict()}
            for rule, lines in lessons.not_mentioned.items()
            for line in lines
        ],
        "decided_in_writing": lessons.with_word,
        "left_open": [
            {"rule": rule, "title": lessons.titles[rule], "mentioned": e.mentioned, "not_mentioned": e.not_mentioned}
            for rule, e in sorted(lessons.endings.items())
        ],
        "first_inspections_passed": {
            name: [rate.data() for rate in tally.rates()]
            for name, tally in (
                ("all", lessons.all_firsts),
                ("month", lessons.by_month),
                ("jurisdiction", lessons.by_place),
            )
        },
        "named_in_notices": [rate.data() for rate in lessons.by_rule.rates()],
        "not_compared": lessons.uncompared,
        "not_counted": lessons.not_counted,
        "more_than_once": list(dict.fromkeys(lessons.twice)),
    }
    return json_out.document(document)


def _group(words: str, count: int, jobs: set[str]) -> dict[str, Any]:
    return {"words": words, "count": count, "jobs": sorted(jobs)}
