"""One job on one screen: what to do now, what failed, what is open by station, and counts of the rest.

Never more than `MOST_LINES` on 80 columns, whatever is unknown; what is left out is counted, and `text` tells all of it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL_IN_SHORT, Report
from checker.reading.second_look import LOOK_AGAIN
from checker.reporting.next_step import answered, headline, opened, passed, questions
from checker.reporting.open_facts import OpenFact, counted, open_facts
from checker.reporting.paragraphs import Paint, broken_off, columns, fitted, plain, wrapped
from checker.reporting.words import (
    UNCHECKED,
    UNCHECKED_IN_SHORT,
    WORRYING,
    answered_for_the_job,
    answers_in,
    caution_names,
    cautions_in,
    do_label,
    how_known,
    limits_apart,
    named,
    sections_of,
    worrying,
)

MOST_LINES = 40
MOST_OF_REMEDY = 2  # lines of it where all failures do not fit
NOTES = "Note"  # what weighs least of the lesser matters
MOST_ASIDE = 5  # lines at most for each lesser matter, with its heading
SETTLE = "Don't start it until you know"
MORE = "More: --all, or --station {} for one place."
ASKS = " 'changeout interview' asks for what's missing."


def render(report: Report, width: int = 80, paint: Paint = plain, known: int = 0) -> str:
    """One job's answer.

    Args:
        width: Columns of the terminal.
        paint: Puts a text in a style ("heading", "fail", "verify", "pass").
        known: How many findings stand in a baseline.
    """
    return "\n".join(_Screen(report, columns(width), paint).lines(known)) + "\n"


class _Screen:
    def __init__(self, report: Report, width: int, paint: Paint) -> None:
        self.report, self.width, self.paint = report, width, paint
        self.open = opened(report)

    def lines(self, known: int) -> list[str]:
        head, foot = list(self.head()), list(self.foot(known))
        room = MOST_LINES - len(head) - len(foot) - 1
        waiting = [self.open.life_safety, self.open.record]
        wanted = sum(min(MOST_ASIDE, 1 + 2 * len(findings)) for findings in waiting if findings)
        aside = self.asides(max(room // 3, room - wanted - len(self.to_fix(room)) - 2))
        room -= sum(len(block) + 1 for block in aside)
        fix = self.to_fix(max(room - wanted, room // 2))
        room -= len(fix) + bool(fix)
        share = room // 2 if self.open.record else room
        settle = self.stations(SETTLE + " (life safety)", self.open.life_safety, share - 1, "fail")
        room -= len(settle) + bool(settle)
        told = {one.need.fact for one in open_facts(self.open.life_safety)}
        record = self.stations("Still to record", self.open.record, room - 1, "verify", told)
        blocks = [block for block in (fix, settle, *aside, record) if block]
        return [*head, *(line for block in blocks for line in ("", *block)), "", *foot]

    def head(self) -> Iterator[str]:
        report = self.report
        named = f"{report.job_id}: {report.title}" if report.title else report.job_id
        yield from self.painted(self.wrapped(named)[:2], "heading")
        dates = "".join(f" {title}: {written}." for title, written in report.dates[:1])
        yield from self.wrapped(f"Place: {report.place or 'not recorded'}.{dates} Checked on {report.on}.")[:2]
        style = "fail" if report.to_fix or report.before_running or report.not_judged else "pass"
        yield from self.painted(self.wrapped(headline(report)), style)

    def foot(self, known: int) -> Iterator[str]:
        report = self.report
        for text in (answered(report), f"{passed(report)} {how_known(report)}".strip()):
            yield from self.wrapped(text)
        if known:
            yield from self.wrapped(f"{known} of these are in the baseline and do not count for the exit code.")
        if any(UNCHECKED in sections_of(finding) for finding in report.failed):
            yield from self.wrapped(UNCHECKED_IN_SHORT)
        if report.findings:
            asks = ASKS if self.open.waiting else ""
            yield from self.wrapped(MORE.format(self.a_station()) + asks)
        if report.failed or self.open.waiting:
            yield from self.wrapped(report.caution)
        yield from self.wrapped(DEFERRAL_IN_SHORT)

    def a_station(self) -> str:
        """A station to try --station with: one where something is wrong or open, else any."""
        report = self.report
        found = [*report.failed, *self.open.waiting, *report.findings]
        return report.stations[found[0].station].name if report.stations else "NAME"

    # --- what failed ---

    def to_fix(self, room: int) -> list[str]:
        """The failures: all of each while there is room, then by name and section."""
        found = self.report.to_fix
        if not found:
            return []
        heading = self.painted([f"Fix first ({len(found)})"], "fail")
        short = [self.failed_in_short(one) for one in found]
        for full in range(min(len(found), room), 0, -1):
            for texts in (True, False):
                told = [*(self.failed(one, texts) for one in found[:full]), *short[full:]]
                lines = [line for one in told for line in one] + list(self.cautions(found[:full])) * texts
                if len(lines) < room:
                    return [*heading, *lines]
        for begun in range(min(len(found), room), 0, -1):
            told = [*map(self.failed_and_begun, found[:begun]), *short[begun:]]
            if sum(map(len, told)) < room:
                return [*heading, *(line for one in told for line in one)]
        return [*heading, *fitted(short, room - 1)]

    def failed(self, finding: Finding, caution_follows: bool) -> list[str]:
        """One failure: what is wrong, reading and limit, section, what to do, which cautions."""
        lines = self.name_of(finding)
        for text in (finding.message, self.sections(finding)):
            lines += self.wrapped(text, 4, 0)
        lines += self.wrapped(f"{do_label(finding)}: {finding.remedy}", 4, 2) if finding.remedy else []
        for text in (*limits_apart(finding), *answers_in(finding)):
            lines += self.wrapped(text, 4, 2)
        names = "" if caution_follows and len(self.report.to_fix) == 1 else caution_names(finding)
        return lines + (self.wrapped(f"Caution: {names}", 4, 2) if names else [])

    def failed_and_begun(self, finding: Finding) -> list[str]:
        """One failure with the beginning of what to do; `--station` tells the rest."""
        remedy = self.wrapped(f"{do_label(finding)}: {finding.remedy}", 4, 2) if finding.remedy else []
        more = (
            [broken_off(remedy[MOST_OF_REMEDY - 1])] if len(remedy) > MOST_OF_REMEDY else remedy[MOST_OF_REMEDY - 1 :]
        )
        names = caution_names(finding)
        cautions = self.wrapped(f"Caution: {names}", 4, 2) if names else []
        return [*self.failed_in_short(finding), *remedy[: MOST_OF_REMEDY - 1], *more, *cautions]

    def failed_in_short(self, finding: Finding) -> list[str]:
        said = finding.message if finding.headline in ("", finding.title) else ""
        return [*self.name_of(finding), *self.wrapped(" ".join(filter(None, (said, self.sections(finding)))), 4)]

    def sections(self, finding: Finding) -> str:
        """The sections of a failure, and how what it rests on is known."""
        return sections_of(finding) + self.report.known.in_brackets(finding)

    def name_of(self, finding: Finding) -> list[str]:
        return self.wrapped(f"{named(finding)}{' (LIFE SAFETY)' if finding.life_safety else ''}", 2, 2)

    def cautions(self, findings: list[Finding]) -> Iterator[str]:
        """The cautions of the failures that are told in full, each once."""
        for name, text in cautions_in(findings):
            yield from self.wrapped(f"Caution, {name}: {text}", 2, 2)

    # --- what is open ---

    def stations(
        self, heading: str, findings: list[Finding], room: int, style: str, told: Iterable[str] = ()
    ) -> list[str]:
        """The open facts by station: as many of the most decisive as there is room for, the rest counted.

        Args:
            told: Facts that were asked for before.
        """
        facts = [one for one in open_facts(findings) if one.need.fact not in told]
        if not facts or room < 2:
            return []
        shown: list[str] = []
        for count in range(1, len(facts) + 1):
            lines = list(self.by_station(facts, count))
            if len(lines) >= room:
                break
            shown = lines
        if not shown:
            shown = list(self.by_station(facts, 0))[: room - 1]
        return [*self.painted(self.wrapped(f"{heading}: {len(facts)}"), style), *shown]

    def by_station(self, facts: list[OpenFact], count: int) -> Iterator[str]:
        """The first so many facts under the headings of their stations, then how many more there are at which station."""
        named, rest = facts[:count], facts[count:]
        for station in self.report.stations:
            here = [one for one in named if one.need.station == station.place]
            if here:
                yield f"  {station.heading}"
            asked = Counter((f"[{one.item}] " if one.item else "") + (one.need.ask or one.need.title) for one in here)
            for text, times in asked.items():
                yield from self.wrapped(text + (f" ({times} times)" if times > 1 else ""), 4, 2)
        said = ", ".join(f"{heading} ({many})" for heading, many in counted(rest, self.report.stations))
        yield from self.wrapped(f"And more: {said}" if named and said else said, 2, 2)

    # --- lesser matters ---

    def asides(self, room: int) -> list[list[str]]:
        """Blocks of a few lines each: fewer where there are many, of notes first, in the end their headings alone."""
        matters = [(heading, texts, style) for heading, texts, style in self.matters() if texts]
        for most in range(MOST_ASIDE - 1, 0, -1):
            for of_notes in (most, 0):
                blocks = [self.block(*one, of_notes if one[0] == NOTES else most) for one in matters]
                if sum(len(block) + 1 for block in blocks) <= room:
                    return blocks
        headings = [line for matter in matters for line in self.block(*matter, 0)]
        return [headings[:room]] if headings else []

    def matters(self) -> Iterator[tuple[str, list[str], str]]:
        """The lesser matters: heading, what stands under it, style."""
        report = self.report
        told = report.ask_first  # it asks for the editions already, the likely ones named
        waiting = [finding for finding in self.open.ask if not told or finding.reason != "not_adopted"]
        asked = [*told, *(f"{text} ({_rules(found)})" for text, found in questions(waiting).items())]
        outside = sorted(report.not_judged, key=lambda one: -len(one.rules))
        yield "Not judged here", list(dict.fromkeys(" ".join(one.why) for one in outside)), "fail"
        looks = [note.removeprefix(LOOK_AGAIN) for note in report.deciding if note.startswith(LOOK_AGAIN)]
        yield "Look again, a reading may be wrong", looks, "verify"
        yield "Ask the office", asked, "verify"
        again = [f"{named(finding)}: {_why_again(finding)}" for finding in self.open.again]
        yield "Measure again", again, "verify"
        yield "Practice not followed", [named(finding) for finding in report.practice], "verify"
        accepted = [
            f"{named(finding)}, through {finding.acceptance.until}" for finding in report.accepted if finding.acceptance
        ]
        yield "Accepted in writing", accepted, "verify"
        by_word = [f"{finding.title}. {said}" for finding in report.passed for said in answered_for_the_job(finding)]
        yield "Passed on the office's word", by_word, "verify"
        yield WORRYING, worrying(report), "verify"
        yield NOTES, [note for note in report.deciding if not note.startswith(LOOK_AGAIN)], "verify"

    def block(self, heading: str, texts: list[str], style: str, most: int) -> list[str]:
        """A heading and at most so many lines under it."""
        lines = fitted((self.wrapped(text, 2, 2) for text in texts), most) if most else []
        return [*self.painted(self.wrapped(f"{heading} ({len(texts)})"), style), *lines]

    def wrapped(self, text: str, indent: int = 0, hang: int = 0) -> list[str]:
        return wrapped(text, self.width, indent, hang)

    def painted(self, lines: Iterable[str], style: str) -> list[str]:
        return [self.paint(line, style) for line in lines]


def _why_again(finding: Finding) -> str:
    """Why a reading has to be looked at or taken again, in a few words."""
    if finding.reason == "too_close":
        return "the instrument cannot tell"
    return next((need.detail for need in finding.needs if need.detail), "a reading cannot be right")


def _rules(found: list[Finding]) -> str:
    return f"{len(found)} rule{'s' if len(found) > 1 else ''} wait{'s' if len(found) == 1 else ''} for it"
