"""The plan of a visit on one printed page, by station: what to bring, ask, see in time, measure and photograph.

What is to be brought is merged by part, so that one size satisfies every rule. What gets written up most comes first; what
does not fit is counted, and the whole list tells it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from checker.fieldwork.prep import CONFIRM, Prep
from checker.fieldwork.prep_text import ORDERED, asked_first
from checker.findings.finding import Finding
from checker.findings.parts import PartWanted, together
from checker.findings.report import DEFERRAL_IN_SHORT
from checker.ir.outcomes import FAIL, PASS, TO_DECIDE
from checker.reporting.next_step import questions
from checker.reporting.open_facts import open_facts
from checker.reporting.paragraphs import columns, fitted, wrapped

MOST_LINES = 60
MOST_PHOTOGRAPHS = 12
MOST_WORDS = 3  # of what several rules say of one part
SHARES = (20, 8, 8, 8, 12)  # how the page is shared, where every block has more than enough
BLANK = "____"
MORE = "  and {} more (--all)"


class Thing(NamedTuple):
    """A line of the plan: what, at which station, and its place in the order of what matters most."""

    text: str
    station: int
    rank: tuple[int, ...]


class Block(NamedTuple):
    heading: str
    things: list[Thing]


def render(prep: Prep, width: int = 80) -> str:
    """The page as text."""
    card = _Card(prep, columns(width))
    return "\n".join(card.lines()) + "\n"


class _Card:
    def __init__(self, prep: Prep, width: int) -> None:
        self.prep, self.report, self.vocabulary, self.width = prep, prep.report, prep.job.vocabulary, width
        self.open = [finding for finding in self.report.findings if finding.outcome != PASS and not finding.accepted]

    def lines(self) -> list[str]:
        head, foot = list(self.head()), list(self.foot())
        blocks = [Block(block.heading, _once(block.things)) for block in self.blocks()]
        room = MOST_LINES - len(head) - len(foot) - 1 - 2 * len(blocks)
        told = zip(blocks, self.shared([block.things for block in blocks], room), strict=True)
        lines = [line for block, here in told if here for line in ("", block.heading, *here)]
        return [*head, *lines, "", *foot]

    def head(self) -> Iterator[str]:
        report = self.report
        yield from self.wrapped(f"Before the visit: {report.title or report.job_id}")[:2]
        if report.ask_first:
            yield from self.wrapped(asked_first(report), 0, 2)
        yield from self.wrapped(f"Place: {report.place or 'not recorded'}. Made on {report.on}.")
        notes = [*([report.not_judged_in_short] if report.not_judged else []), *report.deciding]
        notes += [ORDERED] if self.prep.ordered else []
        yield from fitted((self.wrapped(note, 0, 2) for note in notes), 5, "and {} more (--all)")

    def foot(self) -> Iterator[str]:
        if self.report.not_judged and not self.open:
            yield from self.wrapped("Nothing to bring, ask or measure in the part that these rules judge.")
        later = Counter(need.stage for finding in self.open for need in {n.fact: n for n in finding.needs}.values())
        stages = [
            stage.heading[:1].lower() + stage.heading[1:]
            for place, stage in enumerate(self.vocabulary.stages[:-1])
            if later[place] and not stage.at_the_desk
        ]
        if len(stages) > 1:
            yield from self.wrapped(f"'changeout interview' asks for what you see later: {', '.join(stages[1:])}.")
        yield from self.wrapped(self.report.caution)
        yield from self.wrapped(DEFERRAL_IN_SHORT)

    # --- the blocks ---

    def blocks(self) -> Iterator[Block]:
        yield Block("Bring", list(self.parts()))
        yield Block("Ask the office, and look up", list(self.asked()))
        first = next((stage for stage in self.vocabulary.stages if not stage.at_the_desk), self.vocabulary.stages[0])
        yield Block(first.heading, list(self.seen(self.vocabulary.stages.index(first))))
        yield Block("Measure", list(self.measured()))
        yield Block("Photograph", self.photographed())

    def parts(self) -> Iterator[Thing]:
        """Each part once, the one size that satisfies every rule behind it; one that something failed for comes first."""
        places = {part.name: (at, part) for at, part in enumerate(self.vocabulary.parts)}
        wanted: dict[tuple[str, str], list[tuple[Finding, PartWanted]]] = {}
        for finding in self.open:
            for part in finding.parts:
                wanted.setdefault((part.part, finding.item.split("/")[0]), []).append((finding, part))
        said: dict[str, list[tuple[str, tuple[int, ...], int]]] = {}
        for (name, item), several in wanted.items():
            failed, weight, many = _rank([finding for finding, _ in several])
            at, listed = places[name]
            several.sort(key=lambda pair: _rank([pair[0]]))
            one = together(wanting for _, wanting in several)
            one = one._replace(size=_few(one.size, "; "), note=_few(one.note, ", "))
            rank = (failed, weight, one.least is None and one.most is None, bool(one.doubt), many)
            text = self.part_said(one, [finding for finding, _ in several])
            station = self.vocabulary.station_named(listed.station).place
            said.setdefault(text, []).append((item, (*rank, at), station))
        for text, found in said.items():
            yield Thing(_of(text, (item for item, _, _ in found)), found[0][2], min(rank for _, rank, _ in found))
        yield from self.in_words()

    def part_said(self, part: PartWanted, findings: Sequence[Finding]) -> str:
        if part.conflict:
            return f"{part.title}: no one size fits every rule; see --all"
        text = part.said
        if part.unknown and part.least is None and part.most is None:
            text = text.replace(part.title, f"{part.title}, size {BLANK}", 1)
        unsure = self.prep.ordered and any(one.fact in self.prep.stand_ins for f in findings for one in f.evidence)
        return f"{text} ({CONFIRM})" if unsure else text

    def in_words(self) -> Iterator[Thing]:
        """What rules want brought that name no part."""
        found: dict[str, list[Finding]] = {}
        for finding in self.open:
            if finding.bring and not finding.parts:
                found.setdefault(finding.bring.rstrip("."), []).append(finding)
        for text, findings in found.items():
            failed, weight, many = _rank(findings)
            yield Thing(_of(text, (one.item for one in findings)), findings[0].station, (failed, weight, 1, 1, many))

    def asked(self) -> Iterator[Thing]:
        """The questions to the authority, the one that most rules wait for first, and what is settled at the desk."""
        if self.report.open_codes and not self.report.ask_first:
            yield Thing(f"Which edition is adopted: {'; '.join(self.report.open_codes)}?", 0, (-1,))
        found = [finding for finding in self.open if finding.reason in TO_DECIDE]
        for text, findings in questions(found).items():
            yield Thing(text, findings[0].station, (*_rank(findings)[:2], -len(findings)))
        for number, one in enumerate(open_facts(self.open)):
            if one.need.stage == 0 and self.vocabulary.stages[0].at_the_desk:
                yield Thing(one.need.ask or one.need.title, one.need.station, (2, 0, number))

    def seen(self, stage: int) -> Iterator[Thing]:
        """What can be seen only until this stage of the work."""
        for number, one in enumerate(open_facts(self.open)):
            if one.need.stage == stage and stage < len(self.vocabulary.stages) - 1:
                item = f" [{one.item}]" if one.item else ""
                yield Thing(f"{one.need.ask or one.need.title}{item}", one.need.station, (number,))

    def measured(self) -> Iterator[Thing]:
        """What is to be measured, a reading once; what its limits wait for is found first."""
        by_rule = {finding.rule: finding for finding in self.open}
        first: dict[str, dict[str, None]] = {}
        for one in self.prep.measurements:
            first.setdefault(one.reading, {}).update(dict.fromkeys(one.first))
        for one in self.prep.measurements:
            if finding := by_rule.get(one.rule.id):
                station = self.vocabulary.station(one.facts[0]).place if one.facts else finding.station
                text = f"{one.reading} (first: {_few(', '.join(first[one.reading]), ', ')})" if one.first else one.text
                yield Thing(_capital(text), station, _rank([finding]))

    def photographed(self) -> list[Thing]:
        found: dict[str, list[Finding]] = {}
        for finding in self.report.findings:
            if finding.photograph:
                found.setdefault(finding.photograph.rstrip("."), []).append(finding)
        things = [Thing(text, findings[0].station, _rank(findings)) for text, findings in found.items()]
        return sorted(things, key=lambda one: one.rank)[:MOST_PHOTOGRAPHS]

    # --- lines ---

    def shared(self, blocks: list[list[Thing]], room: int) -> list[list[str]]:
        """The lines of each block: as many of the most important things as its share of the page holds."""
        wants = [len(self.told(block)) for block in blocks]
        shares = list(wants)
        while sum(shares) > room:
            most = max(range(len(shares)), key=lambda at: shares[at] / SHARES[at])
            shares[most] -= 1
        return [self.kept(block, share) for block, share in zip(blocks, shares, strict=True)]

    def kept(self, things: list[Thing], room: int) -> list[str]:
        """The most important things that fit so many lines; the rest is counted."""
        for count in range(len(things), -1, -1):
            rest = len(things) - count
            lines = [*self.told(things[:count]), *([MORE.format(rest)] if rest else [])]
            if len(lines) <= room:
                return lines
        return []

    def told(self, things: list[Thing]) -> list[str]:
        """Things to tick off, a paragraph a station."""
        lines: list[str] = []
        for station in self.vocabulary.stations:
            here = [f"[_] {one.text}" for one in things if one.station == station.place]
            lines += self.wrapped(f"{station.heading}: {' '.join(here)}", 2, 2) if here else []
        return lines

    def wrapped(self, text: str, indent: int = 0, hang: int = 0) -> list[str]:
        return wrapped(text, self.width, indent, hang)


def _rank(findings: Sequence[Finding]) -> tuple[int, int, int]:
    """What failed first, then by weight, then what most rules want."""
    failed = any(finding.outcome == FAIL for finding in findings)
    return (not failed, min(finding.by_weight for finding in findings), -len(findings))


def _of(text: str, items: Iterable[str]) -> str:
    named = ", ".join(dict.fromkeys(filter(None, items)))
    return f"{text} [{named}]" if named else text


def _few(words: str, between: str) -> str:
    """The first few of what several rules say of a part, each once; the rest is counted."""
    found = list(dict.fromkeys(one for one in words.split(between) if one))
    rest = len(found) - MOST_WORDS
    return between.join([*found[:MOST_WORDS], *([f"and {rest} more (--all)"] if rest > 0 else [])])


def _once(things: list[Thing]) -> list[Thing]:
    """Each text once, the most important first."""
    found: dict[str, Thing] = {}
    for one in sorted(things, key=lambda thing: thing.rank):
        found.setdefault(one.text, one)
    return list(found.values())


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
