"""The ruleset of a state, made of its file: it joins the chain of a place that no ruleset covers.

What counts is what is read in the state's own text, or in two sources that agree, of a code on which the state decides: it
is put in force by date, and gives way to what the office says. The rest leaves every edition possible; the likely one is
told first. A state's amendments and acts that are as sure change rules as those of any other ruleset do.
"""

from __future__ import annotations

import calendar
import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from checker.problems.document import Document, Path_
from checker.problems.problem import Problem, ProblemsFound
from checker.reading import cache
from checker.reading.files import Unopened, read_bytes, read_file
from checker.rulesets.headers import Header
from checker.rulesets.limits import years_on
from checker.rulesets.models import Amendment, Change
from checker.rulesets.ruleset import Part, Ruleset, edition_within
from checker.rulesets.shape import Shape
from checker.rulesets.states import FIRM, UNKNOWN, Codes, Counties, InForce, Source, State, StateAmendment, StateCode

LASTS = 2  # years for which what was read of the edition in force counts
CODES = "codes.yaml"  # what the files of a country's states have in common
COUNTIES = "counties.yaml"
SOURCES = "sources"  # the document that a state's changes are cited from
COUNTRIES = "states/*/" + CODES


Shaped = TypeVar("Shaped", bound=Shape)


class Read(NamedTuple):
    """A file that was read, with the digest of its bytes."""

    document: Document
    digest: str


class StateRules(NamedTuple):
    """A state's file, what its country's files have in common, and the ruleset made of both.

    `own` and `shared` are the two as they were read, `file` is where the state's own stands.
    """

    state: State
    codes: Codes
    ruleset: Ruleset
    country: str
    own: Read
    shared: Read
    file: Path

    @property
    def either(self) -> frozenset[str]:
        """The rulesets of which one holds in a house, and nobody has said which."""
        open_ones = [pair for pair in rivals(self.state, self.codes) if governs(self.state.codes[pair[0]]) == UNKNOWN]
        return frozenset(name for pair in open_ones for kind in pair for name in self.rulesets_of(kind))

    @property
    def set_aside(self) -> frozenset[str]:
        """The rulesets of codes that do not govern in a house there."""
        return frozenset(name for kind in set_aside(self.state, self.codes) for name in self.rulesets_of(kind))

    def rulesets_of(self, kind: str) -> list[str]:
        """Our rulesets of a kind of code."""
        return list(self.codes.codes[kind].rulesets.values())


def folders_of_states(folders: Sequence[Path]) -> list[Path]:
    """The folders of states' files in some folders of rulesets; the later ones first, so that one's own come before."""
    return [found.parent for folder in reversed(folders) for found in sorted(folder.glob(COUNTRIES))]


def state_rules(folders: Iterable[Path], state: str) -> StateRules | None:
    """The rules of a state out of the first of some folders that has its file; None where none has.

    Raises:
        ProblemsFound: The file, or what it has in common with the others, is not of the right form.
    """
    name = f"{state.lower()}.yaml"
    folder = next((folder for folder in folders if state.isalpha() and (folder / name).is_file()), None)
    return state_of_file(folder / name) if folder else None


def counties_of(folders: Iterable[Path], state: str) -> list[str]:
    """The counties of a state and their like; none where nobody has written them down."""
    for folder in folders:
        if (folder / COUNTIES).is_file():
            _, found = _read(folder / COUNTIES, f"{folder.name}/{COUNTIES}", Counties)
            return [name.strip() for name in found.counties.get(state, "").split(",") if name.strip()]
    return []


def state_of_file(file: Path) -> StateRules:
    """The rules of a state out of its file.

    Raises:
        ProblemsFound: As `state_rules`.
    """
    country = file.parent.name
    shared, codes = _read(file.parent / CODES, f"{country}/{CODES}", Codes)
    own, state = _read(file, f"{country}/{file.name}", State)
    return made_of(country, (own, state), (shared, codes), file)


def made_of(country: str, own: tuple[Read, State], shared: tuple[Read, Codes], file: Path) -> StateRules:
    """The rules of a state out of its file and what its country's files have in common, each as it was read and in its shape.

    Raises:
        ProblemsFound: The file names what there is not, or days out of their order.
    """
    document, codes = own[0].document, shared[1]
    problems = list(_misfits(document, own[1], codes))
    if problems:
        raise ProblemsFound(problems)
    digest = hashlib.sha256((shared[0].digest + own[0].digest).encode()).hexdigest()[:16]
    state = with_confirmed(own[1], codes)
    ruleset = _ruleset(country, document, shared[0].document, state, codes, digest)
    return StateRules(state, codes, ruleset, country, own[0], shared[0], file)


def _read(path: Path, shown: str, kind: type[Shaped]) -> tuple[Read, Shaped]:
    """A file held to its shape, or recalled where an earlier run did so."""
    digest = hashlib.sha256(read_bytes(path, shown)).hexdigest()
    before = cache.recall("state", digest)
    try:
        if before is not None:
            return Read(Unopened(path, shown, before), digest), kind.of(before)
    except (AttributeError, TypeError, ValueError):
        pass
    from checker.rulesets.misfits import shaped  # pydantic, which a file that was read before does without

    document = read_file(path, shown)
    found = shaped(document, kind)
    cache.keep(document.data, "state", digest)
    return Read(document, digest), found


def _misfits(document: Document, state: State, codes: Codes) -> Iterator[Problem]:
    """What names no source, kind of code or act that there is, and days out of their order."""
    kinds: dict[Path_, str] = {("codes", kind, "="): kind for kind in state.codes}
    kinds |= {("confirmed", index, "code"): one.code for index, one in enumerate(state.confirmed)}
    for path, kind in kinds.items():
        if kind not in codes.codes:
            yield document.problem(path, f"'{kind}' is not a kind of code.", f"One of: {', '.join(codes.codes)}.")
    for name in state.acts:
        if name not in codes.acts:
            yield document.problem(("acts", name, "="), f"'{name}' is not an act.", f"One of: {', '.join(codes.acts)}.")
    for path, named in _named(document.data, ()):
        if named not in state.sources:
            what = f"There is no source '{named}'."
            yield document.problem(path, what, f"One of: {', '.join(state.sources)}. Or add it under 'sources'.")
    for kind, code in state.codes.items():
        days = [one.starts for one in code.in_force if one.starts != UNKNOWN]
        if days != sorted(set(days)):
            what = "These days are not in their order."
            yield document.problem(("codes", kind, "in_force"), what, "The oldest edition comes first.")


def _named(data: Any, at: Path_) -> Iterator[tuple[Path_, str]]:
    """The sources that parts of a state's file name, with where."""
    if isinstance(data, list):
        for index, one in enumerate(data):
            yield from _named(one, (*at, index))
    elif isinstance(data, dict):
        for key, one in data.items():
            if key == "sources" and isinstance(one, list):
                yield from (((*at, key, index), named) for index, named in enumerate(one))
            else:
                yield from _named(one, (*at, key))


def with_confirmed(state: State, codes: Codes) -> State:
    """A state in which an edition that somebody looked up is checked; one that was not listed is in force from that day."""
    entries, sources = dict(state.codes), dict(state.sources)
    for number, record in enumerate(state.confirmed):
        name, code = f"confirmed_{number}", entries.get(record.code)
        what = f"looked up by {record.by}"
        sources[name] = Source(what=what, title=record.where, url="", dated=record.on, seen=record.on)
        code = code or StateCode.of({"decided_by": UNKNOWN, "localities_may_amend": UNKNOWN, "sources": [name]})
        model = next(iter(codes.codes[record.code].rulesets), "own")
        new = {"edition": record.edition, "code": model, "from": record.on, "amended": UNKNOWN, "sure": "from_memory"}
        listed = [one for one in code.in_force if one.edition == record.edition]
        others = [one for one in code.in_force if one.edition != record.edition]
        found = listed[-1] if listed else InForce.of({**new, "sources": [name]})
        starts = newest(found.sources, sources) or record.on if found.starts == UNKNOWN else found.starts
        found = found.replaced(sure="checked", starts=starts, other=[], sources=[*found.sources, name])
        in_force = sorted([*others, found], key=lambda one: "" if one.starts == UNKNOWN else one.starts)
        through = max(filter(None, (code.known_through, record.on)))
        entries[record.code] = code.replaced(in_force=in_force, known_through=through, sure="checked")
    return state.replaced(codes=entries, sources=sources)


# --- what counts, and from when --------------------------------------------------------------------------------------


class Period(NamedTuple):
    """An edition that counts: its first day and the first day after it, where that is known."""

    edition: InForce
    starts: str
    until: str


def firm(code: StateCode) -> Iterator[InForce]:
    """The editions that are sure enough to count, of a code of which it is as sure that the state decides on it."""
    if code.decided_by == "state" and code.sure in FIRM:
        yield from (one for one in code.in_force if one.sure in FIRM)


def periods(code: StateCode, sources: Mapping[str, Source]) -> Iterator[Period]:
    """The editions that count, each with its days. One of which no end is known, though another has followed, does not.

    The last one counts for no longer than what was read lasts: states adopt every few years.
    """
    counted = list(firm(code))
    for index, one in enumerate(code.in_force):
        later = code.in_force[index + 1] if index + 1 < len(code.in_force) else None
        if one not in counted or (later and later.starts == UNKNOWN):
            continue
        starts = one.choice_until or (one.starts if one.starts != UNKNOWN else newest(one.sources, sources))
        until = later.starts if later else years_on(code.known_through, LASTS) if code.known_through else ""
        if starts and (not until or starts < until):
            yield Period(one, starts, until)


def newest(names: Iterable[str], sources: Mapping[str, Source]) -> str:
    """The last day that the newest dated one of some sources may be of; empty where none is dated."""
    return max((last_day(sources[name].dated) for name in names), default="")


def last_day(dated: str) -> str:
    """The last day of a year, a month or a day; empty where it is unknown."""
    year, month, day = (*dated.split("-"), "", "")[:3]
    if dated == UNKNOWN:
        return ""
    return dated if day else f"{year}-{month or 12}-{calendar.monthrange(int(year), int(month or 12))[1]}"


def rivals(state: State, codes: Codes) -> Iterator[tuple[str, str]]:
    """The kinds of codes of which one governs in a house and the other gives way: the one that takes the other's place first."""
    for kind, code in state.codes.items():
        known = codes.codes[kind]
        if known.instead_of and any(one.code in known.rulesets for one in code.in_force):
            yield kind, known.instead_of


def set_aside(state: State, codes: Codes) -> set[str]:
    """The kinds of codes that do not govern in a house there, by what the state's file says."""
    said = {pair: governs(state.codes[pair[0]]) for pair in rivals(state, codes)}
    return {pair[1] if word == "yes" else pair[0] for pair, word in said.items() if word != UNKNOWN}


def governs(code: StateCode) -> str:
    """Whether a code governs in houses in the place of another; unknown where that is not sure enough to count."""
    return code.in_houses if code.sure in FIRM else UNKNOWN


# --- the ruleset -----------------------------------------------------------------------------------------------------


def _ruleset(
    country: str, document: Document, shared: Document, state: State, codes: Codes, digest: str
) -> Ruleset:  # fmt: skip
    header = Header.of(
        {
            "id": f"{country}-{state.state.lower()}",
            "version": ".".join(str(int(part)) for part in state.reviewed_through.split("-")),
            "title": f"{state.name}, as published",
            "owner": state.name,
            "owner_kind": "state",
            "uses": dict(codes.uses),
            "documents": {SOURCES: state.name},
            "adopts": [one for kind in state.codes for one in _adopted(kind, state, codes)],
            "reviewed_through": state.reviewed_through,
        }
    )
    parts = {("header", ""): Part(document, ())}
    amend: dict[str, Amendment] = {}
    withdraw: dict[str, Change] = {}
    for at, name, change in _changes(state, codes):
        kept: dict[str, Any] = amend if isinstance(change, Amendment) else withdraw
        kept[name] = change
        parts["amend" if isinstance(change, Amendment) else "withdraw", name] = Part(document, at)
    return Ruleset(header, {}, {}, amend, withdraw, {}, {}, {}, {}, parts, {document.file: document}, digest)


def _adopted(kind: str, state: State, codes: Codes) -> Iterator[dict[str, Any]]:
    """The editions of one kind of code that count, as adoptions of our rulesets."""
    for one in periods(state.codes[kind], state.sources):
        ruleset = codes.codes[kind].rulesets.get(one.edition.code, "")
        if ruleset and kind not in set_aside(state, codes):
            citation = "; ".join(_source(state.sources[name]) for name in one.edition.sources)
            yield {
                "code": ruleset, "edition": one.edition.edition, "from": one.starts, "counts": codes.counts,
                "citation": citation, "by_report": True, **({"until": one.until} if one.until else {}),
            }  # fmt: skip


def _source(source: Source) -> str:
    return f"{source.title or source.what} ({source.dated})"


def _changes(state: State, codes: Codes) -> Iterator[tuple[Path_, str, Change]]:
    """What the state's acts and amendments change in rules, with where that stands in its file."""
    for name, act in state.acts.items():
        kind = codes.acts[name]
        starts = act.starts if act.starts != UNKNOWN else newest(act.sources, state.sources)
        if act.sure in FIRM and starts and act.by not in kind.not_by:
            ground = {"reason": kind.reason, "citation": [_cited(act.by, act.sure, act.sources, state)], "from": starts}
            for rule, fields in kind.amend.items():
                yield ("acts", name), rule, Amendment.of({**ground, **fields.as_written()})
    for index, one in enumerate(state.amendments):
        if one.sure in FIRM:
            ground = {"reason": one.words, "citation": [_cited(one.citation, one.sure, one.sources, state)]}
            days = {name: day for name, day in (("from", one.starts), ("until", one.until)) if day}
            for rule, meaning in fallen(one, codes):
                yield ("amendments", index), rule, Change.of({**ground, **days, "meaning": meaning})
            for name, fields in one.amend.items():
                yield ("amendments", index), name, Amendment.of({**ground, **days, **fields.as_written()})


def fallen(one: StateAmendment, codes: Codes) -> Iterator[tuple[str, dict[str, str]]]:
    """The rules that do not hold while a state deletes or delays a section, and what each means by edition."""
    known = codes.sections.get(one.code, {}).get(one.section, {}) if one.does in ("deletes", "delays") else {}
    for rule, meaning in known.items():
        changed = {edition: digest for edition, digest in meaning.items() if edition_within(one.editions, edition)}
        if changed:
            yield rule, changed


def _cited(section: str, sure: str, sources: list[str], state: State) -> dict[str, str]:
    read = "; ".join(f"{_source(state.sources[name])}, {state.sources[name].seen}" for name in sources)
    return {"document": SOURCES, "section": section, "section_sure": sure, "requirement_sure": sure, "read": read}
