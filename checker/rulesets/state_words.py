"""What a report, a plan and a page say of a state's codes: what counts, what is only likely, and what to ask the office."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from checker.reading.sureness import SURE
from checker.rulesets.applicability import Versions
from checker.rulesets.limits import day_number, in_period, over_a_year_old
from checker.rulesets.ruleset import edition_within
from checker.rulesets.state_rulesets import Period, StateRules, fallen, periods
from checker.rulesets.states import FIRM, UNKNOWN, InForce, Source, StateAmendment, StateCode

DECIDES = {"locality": "each city or county decides", "unknown": "it is not known who decides"}
EITHER = "Either it or the residential code governs that work in a house there; both are judged."


class Told(NamedTuple):
    """What is said of one kind of code of a state on a day, and the question to the office; `counts` where an edition does."""

    kind: str
    counts: bool
    line: str
    ask: str
    edition: str = ""


def notes(state: StateRules, versions: Versions, on: datetime.date, asking: bool = True) -> Iterator[str]:
    """What a report has to say first: which editions were taken, how sure they are, and that the office is to be asked.

    Args:
        on: The day that the job is looked at.
        asking: Whether each ends with the question to the office; without it where `asks` stands beside them.
    """
    day = versions.edition_day(on.toordinal())
    found = list(told_of(state, versions, day))
    yield from (f"{one.line} Ask the office: {one.ask}" if asking else one.line for one in found)
    yield from _of_parts(state, versions, day)
    yield from changes(state, versions, day)
    yield from aging(state, found, day, on)


def _of_parts(state: StateRules, versions: Versions, day: int) -> Iterator[str]:
    """Where a state has another edition of a code than that by which its rules are judged here."""
    for kind, known in state.codes.codes.items():
        code = state.state.codes.get(kind)
        likely = likely_on(code, day) if code else None
        if not known.part_of or code is None or likely is None:
            continue
        for name in state.rulesets_of(known.part_of):
            judged = versions.possible_editions(name, day) if name not in versions.passed_over else []
            if len(judged) == 1 and judged[0] != likely.edition:
                whole = state.codes.codes[known.part_of].title.lower()
                there = f"{known.title} code: {state.state.name} has the {named(likely, state)} ({_read(likely, code)})"
                yield f"{there}. Its rules here go by the {judged[0]} {whole} code. Ask what differs."


def asks(state: StateRules, versions: Versions, on: datetime.date) -> Iterator[str]:
    """The same as short questions to the office, one a kind of code."""
    for one in told_of(state, versions, versions.edition_day(on.toordinal())):
        title = state.codes.codes[one.kind].title
        yield f"{title}: {one.edition}, {one.ask}" if one.edition else f"{title}: {one.ask}"


def told_of(state: StateRules, versions: Versions, day: int) -> Iterator[Told]:
    """What is known, on a day, of each kind of code that there are rules for. Nothing is said of one that the office told."""
    words = _Words(state, versions, day)
    for kind, known in state.codes.codes.items():
        used = [
            name for name in known.rulesets.values() if name not in versions.passed_over and name not in versions.told
        ]
        if used:
            yield words.of(kind)


class _Words:
    """The words of one state on one day."""

    def __init__(self, state: StateRules, versions: Versions, day: int) -> None:
        self.state, self.versions, self.day, self.name = state, versions, day, state.state.name

    def of(self, kind: str) -> Told:
        """What is known of one kind of code."""
        code, title = self.state.state.codes.get(kind), self.state.codes.codes[kind].title
        if code is None:
            line = f"{title} code: nothing was found for {self.name}. Judged under every edition here."
            return Told(kind, False, line, "which edition is in force?")
        counting = counting_on(code, self.state.state.sources, self.day)
        either = set(self.state.rulesets_of(kind)) <= self.versions.either and self.state.codes.codes[kind].instead_of
        told = self._counting(kind, title, code, counting) if counting else self._open(kind, title, code)
        return told._replace(line=f"{told.line} {EITHER}") if either else told

    def _counting(self, kind: str, title: str, code: StateCode, period: Period) -> Told:
        one = period.edition
        changed = " with state amendments" if one.amended == "yes" else ""
        what = f"the {named(one, self.state)}{changed} since {period.starts} ({SURE[one.sure]})"
        everywhere = code.localities_may_amend == "no"
        said = f"{self.name} enforces {what}" if everywhere else f"most places in {self.name} enforce {what}"
        shipped = self._shipped(kind, one)
        asked = "is that still so?" if everywhere else "has your city or county changed it?"
        return Told(
            kind, shipped, f"{title} code: {said}.{'' if shipped else NOT_SHIPPED}", asked, named(one, self.state)
        )

    def _open(self, kind: str, title: str, code: StateCode) -> Told:
        likely = likely_on(code, self.day)
        who = f"{self.name} decides" if code.sure in FIRM else f"{self.name} decides, as far as is known"
        who = f"{DECIDES[code.decided_by]} in {self.name}" if code.decided_by in DECIDES else who
        guess = f"; most likely the {named(likely, self.state)} ({_read(likely, code)})" if likely else ""
        others = [f"{one.edition}" for one in likely.other] if likely else []
        other = f"; another source says {' or '.join(others)}" if others else ""
        choice = (
            f"; until {likely.choice_until} you may still choose the one before"
            if likely and self._may_choose(likely)
            else ""
        )
        judged = " Judged under every edition here." if not likely or self._shipped(kind, likely) else NOT_SHIPPED
        edition = f"likely the {named(likely, self.state)}" if likely else ""
        return Told(
            kind, False, f"{title} code: {who}{guess}{other}{choice}.{judged}", "which edition is in force?", edition
        )

    def _may_choose(self, one: InForce) -> bool:
        """Whether an applicant may still choose the edition before."""
        return one.choice_until is not None and self.day < day_number(one.choice_until)

    def _shipped(self, kind: str, one: InForce) -> bool:
        """Whether there are rules for an edition."""
        ruleset = self.versions.chain.by_id.get(self.state.codes.codes[kind].rulesets.get(one.code, ""))
        return ruleset is not None and one.edition in ruleset.header.editions


NOT_SHIPPED = (
    " There are no rules for that edition here: judged under every edition that there is, so look up what differs."
)


def named(one: InForce, state: StateRules) -> str:
    """An edition by the name that people know, with the state's own name beside it: 2018 IRC (2019 Residential Code of Ohio)."""
    model = state.codes.names.get(one.code, one.code.upper())
    base = f"{one.edition} {model}" if model else ""
    return (
        f"{base} ({one.named})" if base and one.named else base or one.named or f"{one.edition} edition of its own code"
    )


def _read(one: InForce, code: StateCode) -> str:
    """How an edition is known, and of one that was read, up to which day."""
    reaches = code.known_through if one.sure in FIRM else ""
    return f"{SURE[one.sure]}; what was read reaches to {reaches}" if reaches else SURE[one.sure]


def model_of(one: InForce, state: StateRules) -> str:
    """An edition by the model code alone: 2018 IRC."""
    return named(one.replaced(named=""), state)


def counting_on(code: StateCode, sources: Mapping[str, Source], day: int) -> Period | None:
    """The edition that counts on a day, with its days."""
    return next((one for one in periods(code, sources) if in_period(one.starts, one.until or None, day)), None)


def likely_on(code: StateCode, day: int) -> InForce | None:
    """The edition that is most likely in force on a day: the last that has begun, or the first where no day is known."""
    begun = [one for one in code.in_force if one.starts == UNKNOWN or day_number(one.starts) <= day]
    return begun[-1] if begun else None


def aging(state: StateRules, found: list[Told], day: int, on: datetime.date) -> Iterator[str]:
    """What to say where somebody last looked, or what was read then reaches to, more than a year ago.

    Args:
        found: What is told of each kind of code on the day.
    """
    name, reviewed = state.state.name, state.state.reviewed_through
    if over_a_year_old(reviewed, on.toordinal()):
        yield f"Nobody has looked up the codes of {name} since {reviewed}. Ask which editions are in force."
        return
    reached = {one.kind: state.state.codes[one.kind].known_through for one in found if one.counts}
    old = [(kind, through) for kind, through in reached.items() if through and over_a_year_old(through, day)]
    if old:
        told = ", ".join(f"{state.codes.codes[kind].title.lower()} to {through}" for kind, through in old)
        yield f"What was found on the codes of {name} reaches: {told}."


def changes(state: StateRules, versions: Versions, day: int) -> Iterator[str]:
    """What the state changes in its codes, on a day, and no rule here says by itself: to be looked up, or to be asked about."""
    name, names = state.state.name, state.codes.names
    for one in state.state.amendments:
        if (
            in_period(one.starts, one.until, day)
            and _of_an_edition(one, state, versions, day)
            and not _tells(one, state)
        ):
            section = " ".join(filter(None, (names.get(one.code, one.code), one.section)))
            does = "changes" if one.sure in FIRM else "may change"
            yield f"{name} {does} {section} ({one.citation}; {SURE[one.sure]}): {one.words}"
    for key, act in state.state.acts.items():
        known = state.codes.acts[key]
        if act.sure not in FIRM or act.by in known.not_by:
            yield f"{known.title} in {name}, by {act.by} ({SURE[act.sure]}): ask."


def _tells(one: StateAmendment, state: StateRules) -> bool:
    """Whether rules here go by an amendment, so that what they say tells of it."""
    return one.sure in FIRM and bool(one.amend or dict(fallen(one, state.codes)))


def _of_an_edition(one: StateAmendment, state: StateRules, versions: Versions, day: int) -> bool:
    """Whether an amendment is of an edition that the job may be judged by; so is one of a code that no ruleset here is."""
    rulesets = [known.rulesets[one.code] for known in state.codes.codes.values() if one.code in known.rulesets]
    editions = [edition for name in rulesets for edition in versions.possible_editions(name, day)]
    return not rulesets or any(edition_within(one.editions, edition) for edition in editions)


def license_line(state: StateRules) -> str:
    """What is known of the contractor's license, in one line."""
    found = state.state.license
    if found is None or found.required == UNKNOWN:
        return ""
    needed = {"yes": "required", "no": "not required by the state", "in part": "required for part of the work"}[
        found.required
    ]
    where = f", {found.citation}" if found.citation else ""
    return f"State license, {found.kind}: {needed} ({found.by}{where}; {SURE[found.sure]})."
