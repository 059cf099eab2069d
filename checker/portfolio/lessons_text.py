"""The lessons of an archive as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from checker.findings.report import DEFERRAL
from checker.ir.outcomes import FAIL, PASS, VERIFY
from checker.portfolio.lessons import DOES_NOT_APPLY, NO_RULE, NOT_COMPARED, ComparedCorrection, Lessons
from checker.problems import json_out
from checker.reporting.paragraphs import counted, paragraphs

LESSONS_VERSION = 1
ABOUT = (
    "Each correction is next to what the check said about the same job, as of the day of the inspection. A job holds "
    "each fact once, as it is now, with what was put right and read again since. A notice holds what one trade's inspector "
    "wrote down, and nothing else."
)
# Headings of corrections, by what was said here of their rule.
GAPS = {
    "Corrections on what passed here": PASS,
    "Corrections under a rule that did not apply here": DOES_NOT_APPLY,
    "Corrections that fit no rule here": NO_RULE,
}
AGREED = {
    "Corrections on what failed here too": FAIL,
    "Corrections on what was open here": VERIFY,
    "Corrections that could not be compared": NOT_COMPARED,
}


Sentences = Iterator[tuple[str, int]]  # each with its indent


def as_text(lessons: Lessons, unusable: int, width: int = 80) -> str:
    """The lessons for a terminal of so many columns, each section only where it has something to say.

    Args:
        unusable: How many jobs could not be read or judged.
    """
    return paragraphs(_sentences(lessons, unusable), width)


def _sentences(lessons: Lessons, unusable: int) -> Sentences:
    bad = f" {unusable} could not be used." if unusable else ""
    read = f"{counted(lessons.jobs, 'job')} read, {lessons.with_inspections} with inspections"
    yield f"{read}: {counted(lessons.inspections, 'inspection')}.{bad}", 0
    if lessons.inspections:
        yield ABOUT, 0
        for heading, ours in GAPS.items():
            yield from _corrections(heading, lessons.told.get(ours, []))
        yield from _rules_to_write(lessons)
        yield from _to_weigh_more(lessons)
        for heading, ours in AGREED.items():
            yield from _corrections(heading, lessons.told.get(ours, []))
        yield from _not_mentioned(lessons)
        yield from _left_open(lessons)
        yield from _first_passes(lessons)
        yield from _named(lessons)
        yield from _left_out(lessons)
    yield "", 0
    yield DEFERRAL, 0


def _heading(text: str, count: int | None = None) -> Sentences:
    """A heading under a blank line; none where there is nothing to count under it."""
    if count != 0:
        yield "", 0
        yield text + (f" ({count})" if count else ""), 0


def _corrections(heading: str, corrections: list[ComparedCorrection]) -> Sentences:
    yield from _heading(heading, len(corrections))
    by_rule: dict[str, list[ComparedCorrection]] = {}
    for line in corrections:
        by_rule.setdefault(line.rule, []).append(line)
    for rule, lines in by_rule.items():
        if rule:
            yield f"{lines[0].title} [{rule}]".strip(), 2
        for line in lines:
            where = f"{line.job}, {line.day}, {line.place}, {line.trade or 'trade not known'}"
            note = f"; {line.note}" if line.note else ""
            yield f'{where}: "{line.words}"{note}', 4 if rule else 2
            for one in line.candidates:
                yield f"may be: {one.title} [{one.rule}]", 4
    if any(line.candidates for line in corrections):
        yield "Where one of these is meant, name it as the correction's 'rule' in the job file.", 2


def _rules_to_write(lessons: Lessons) -> Sentences:
    groups = lessons.rules_to_write()
    yield from _heading("Rules to write: notices that fit no rule here, most frequent first", len(groups))
    for group in groups:
        yield f'{group.count} in {counted(len(group.jobs), "job")}: "{group.words}"', 2


def _to_weigh_more(lessons: Lessons) -> Sentences:
    """What a place's ruleset should look at first, by its notices."""
    found = lessons.to_weigh_more()
    yield from _heading("Weights to change, by the notices of a place", len(found))
    for one in found:
        about = f"{counted(one.notices, 'notice')} about: {one.title} [{one.rule}], which is {one.weight} there"
        yield f"{one.place}: {about}. Make it core in that place's ruleset: amend it with 'set: {{weight: core}}'.", 2


def _not_mentioned(lessons: Lessons) -> Sentences:
    by_rule = lessons.not_mentioned
    yield from _heading("Failed here, not mentioned in a notice", sum(len(lines) for lines in by_rule.values()))
    for rule, lines in sorted(by_rule.items(), key=lambda pair: (-len(pair[1]), pair[0])):
        yield f"{lessons.titles[rule]} [{rule}]", 2
        for line in lines:
            without = f" ({counted(line.unnamed, 'correction')} there without a rule: it may be meant)"
            yield f"{line.job}: not mentioned, {line.notices}{without if line.unnamed else ''}", 4
    if lessons.with_word:
        yield f"{lessons.with_word} more failed, and the job notes the authority's decision on it in writing.", 2


def _left_open(lessons: Lessons) -> Sentences:
    rates = lessons.left_open.rates()
    yield from _heading("Open here, and how it ended", len(rates))
    for rate in sorted((rate for rate in rates if rate.hits), key=lambda rate: -rate.hits):
        counts = f"mentioned in {rate.hits} of {counted(rate.of, 'job')}"
        yield f"{counts}: {lessons.titles[rate.name]} [{rate.name}]", 2
    if never := sum(not rate.hits for rate in rates):
        yield f"Never mentioned: {counted(never, 'rule')} (each in the JSON form).", 2


def _first_passes(lessons: Lessons) -> Sentences:
    yield from _heading("First inspections of a job and trade that passed")
    yield from ((f"{rate.name}: {rate.words}", 2) for rate in lessons.all_firsts.rates())
    for heading, tally in (("By month", lessons.by_month), ("By jurisdiction", lessons.by_place)):
        yield f"{heading}:", 2
        yield from ((f"{rate.name}: {rate.words}", 4) for rate in tally.rates())


def _named(lessons: Lessons) -> Sentences:
    """How often notices named each rule, the most frequent first."""
    named = [rate for rate in lessons.by_rule.rates() if rate.hits]
    yield from _heading("How often notices named a rule, out of the jobs in which it had a finding here")
    for rate in sorted(named, key=lambda rate: (-rate.hits, rate.of, rate.name)):
        yield f"{rate.name}: {rate.words}", 2
    if never := len(lessons.by_rule.counts) - len(named):
        yield f"Never named: {counted(never, 'rule')} (each in the JSON form).", 2


def _left_out(lessons: Lessons) -> Sentences:
    for heading, lines in (
        ("Not compared", lessons.uncompared),
        ("Not counted among the first inspections", lessons.not_counted),
    ):
        yield from _heading(heading, len(lines))
        yield from ((line, 2) for line in lines)
    if lessons.twice:
        twice = ", ".join(dict.fromkeys(lessons.twice))
        yield f"More than one file has this job number, and each was counted: {twice}.", 0


def as_json(lessons: Lessons, unreadable: int) -> str:
    """The lessons as one JSON document."""
    document = {
        "lessons_version": LESSONS_VERSION,
        "deferral": DEFERRAL,
        "about": ABOUT,
        "jobs": lessons.jobs,
        "unreadable": unreadable,
        "inspections": lessons.inspections,
        "corrections": [_as_data(correction) for lines in lessons.told.values() for correction in lines],
        "rules_to_write": [
            {"words": group.words, "count": group.count, "jobs": sorted(group.jobs)}
            for group in lessons.rules_to_write()
        ],
        "weights_to_change": [one._asdict() for one in lessons.to_weigh_more()],
        "not_mentioned": [
            {"rule": rule, "title": lessons.titles[rule], **line._asdict()}
            for rule, lines in lessons.not_mentioned.items()
            for line in lines
        ],
        "decided_in_writing": lessons.with_word,
        "left_open": [
            {
                "rule": one.name,
                "title": lessons.titles[one.name],
                "mentioned": one.hits,
                "not_mentioned": one.of - one.hits,
            }
            for one in lessons.left_open.rates()
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


def _as_data(correction: ComparedCorrection) -> dict[str, object]:
    return correction._asdict() | {"candidates": [one._asdict() for one in correction.candidates]}
