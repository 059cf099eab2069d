"""A program: everything that judging a job at one place needs, as one JSON document.

It holds each rule as it stands under every edition and in every period that it was made for, which edition of a code is in
force from when, what every fact can be, the ranges and accuracies that the place's rulesets give, and which jobs its rulesets
are written for. Reading it needs neither rulesets nor the job schema, and no library but a reader of JSON:

    program = loaded(orjson.loads(text))
    program.rule("bell-hangs-high", {"chime-book": "2020"}, datetime.date(2024, 5, 1).toordinal())

Amounts are in the base unit of their kind; days are day numbers, where 1 is the first of January of the year 1.
`schemas/program.schema.json` describes the document.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.codec import CodecError, Encoder, decoded

FORMAT = 1


class Version(NamedTuple):
    """A rule as it stands under an edition of each code it hangs on, from `day` until the day before `until`.

    `rule` is None where it is not in force then. `until` is None where nothing ends it. `label` says which version it is, in
    words; `doubt` why several could hold for a job that leaves its date or the edition open.
    """

    editions: tuple[tuple[str, str | None], ...]
    day: int
    until: int | None
    label: str
    doubt: str
    rule: tree.BoundRule | None

    @property
    def setting(self) -> tuple[tuple[tuple[str, str | None], ...], int, str, str]:
        """What it holds under: the editions, its first day, its label and the doubt."""
        return self.editions, self.day, self.label, self.doubt


class Adoption(NamedTuple):
    """An edition of a code that is in force from `day` until the day before `until`, by the date at the path `counts`.

    `by_report` tells that it is what is published, and not what a ruleset of the place says.
    """

    code: str
    edition: str
    day: int
    until: int | None
    counts: str
    by_report: bool = False


class Source(NamedTuple):
    """A ruleset that the program was made of, from the codes up: the kind of its owner, the rulesets that it stands on, the
    codes whose place it takes, and the titles of the documents that have its editions.
    """

    id: str
    title: str
    version: str
    digest: str
    editions: tuple[str, ...]
    owner_kind: str = ""
    uses: tuple[str, ...] = ()
    instead_of: tuple[str, ...] = ()
    documents: tuple[str, ...] = ()


class Domain(NamedTuple):
    """What a fact can be: its closed list of values, or the lowest and highest amount; whether it can be a known none.

    `measured` names the kind of reading, where it is read on an instrument. `unit` and `digits` are for printing.
    """

    form: str
    kind: str
    unit: str
    digits: int | None
    values: tuple[str | bool, ...]
    range: tuple[float, float] | None
    may_be_none: bool
    measured: str
    title: str
    ask: str


class UnitUsed(NamedTuple):
    """A unit: an amount in the base unit of its kind is the number before this unit times `scale`, plus `offset`.

    `also` holds the other ways in which rulesets and jobs may write it.
    """

    kind: str
    name: str
    shown: str
    scale: float
    offset: float
    also: tuple[str, ...] = ()


class FunctionUsed(NamedTuple):
    """A function that rules call: its arguments (name, kind, and how the result moves when it grows), and how it is worked out.

    `form`, `says`, `data` and `serves` are those of `checker.trade.function.Definition`. `tables` are limits that are handed
    over behind the arguments. A new `version` may give other results.
    """

    arguments: tuple[tuple[str, str, int], ...]
    result: str
    tables: tuple[str, ...]
    version: int
    form: str
    says: str
    data: Any
    serves: tuple[tuple[str, str], ...] = ()


class HangsOn(NamedTuple):
    """What decides which version of a rule holds for a job: its ruleset, the codes of which the edition matters, those that make
    it law where they are in force, and the days on which it or a limit of it changes.
    """

    home: str
    codes: tuple[str, ...]
    laws: tuple[str, ...]
    days: tuple[int, ...]


class Program(NamedTuple):
    """All of it. `dates` is the path of the date that counts for a rule; `lists` says which lists have keys.

    `accuracies` are those of readings whose job names none, by kind: an amount in base units, and a share of the reading.
    `curves` are the files of curves that functions read, by name. `covered` tells that a ruleset covers the place, `roles` is
    the path of each fact, list and section with a part to play, `listed` the title and the question of each list. Of the codes
    `either` one holds, and nobody has said which; those `set_aside` do not govern there. `parts` are the titles of things to
    bring, by name. `state` is what people call the state for which the editions `by_report` are published.
    """

    place: str
    sources: tuple[Source, ...]
    calendar: tuple[Adoption, ...]
    dates: Mapping[str, str]
    units: tuple[UnitUsed, ...]
    facts: Mapping[str, Domain]
    lists: Mapping[str, bool]
    ranges: Mapping[str, tuple[float, float]]
    accuracies: Mapping[str, tuple[float, float]]
    functions: Mapping[str, FunctionUsed]
    curves: Mapping[str, Any]
    written_for: Mapping[str, tuple[tree.Line, ...]]
    rules: Mapping[str, tuple[Version, ...]]
    covered: bool = True
    roles: Mapping[str, str] = MappingProxyType({})
    listed: Mapping[str, tuple[str, str]] = MappingProxyType({})
    hangs_on: Mapping[str, HangsOn] = MappingProxyType({})
    either: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()
    parts: Mapping[str, str] = MappingProxyType({})
    state: str = ""

    def rule(self, name: str, editions: Mapping[str, str | None], day: int) -> tree.BoundRule | None:
        """A rule as it stands on a day under these editions; of several versions the one that hangs on most of them.

        Raises:
            KeyError: The program was not made for them.
        """
        held = [
            one
            for one in self.rules[name]
            if one.day <= day and (one.until is None or day < one.until)
            if all(editions.get(code) == edition for code, edition in one.editions)
        ]
        if not held:
            raise KeyError(f"{name} on day {day} under {dict(editions)}")
        return max(held, key=lambda one: len(one.editions)).rule


# --- writing and reading ---------------------------------------------------------------------------------------------


def document(program: Program) -> dict[str, Any]:
    """A program as plain data for JSON."""
    nodes = Encoder()
    whole = program._asdict()
    whole |= {name: [one._asdict() for one in getattr(program, name)] for name in ("sources", "calendar", "units")}
    whole["facts"] = {path: domain._asdict() for path, domain in program.facts.items()}
    whole["hangs_on"] = {name: one._asdict() for name, one in program.hangs_on.items()}
    whole |= {name: dict(getattr(program, name)) for name in ("roles", "listed", "parts")}
    whole["functions"] = {name: one._asdict() for name, one in program.functions.items()}
    whole["written_for"] = nodes.part(dict(program.written_for))
    whole["rules"] = {
        name: [{**one._asdict(), "rule": nodes.part(one.rule)} for one in versions]
        for name, versions in program.rules.items()
    }
    return {"program": FORMAT, **whole, "nodes": nodes.nodes}


def loaded(data: Any) -> Program:
    """The program of a document.

    Raises:
        CodecError: It is no program, or of a format that this version does not read.
    """
    if not isinstance(data, dict) or data.get("program") != FORMAT:
        raise CodecError(f"This is not a program of format {FORMAT}.")
    try:
        nodes = decoded(data["nodes"])
        return Program(
            data["place"],
            tuple(Source(**_with_tuples(one)) for one in data["sources"]),
            tuple(Adoption(**one) for one in data["calendar"]),
            data["dates"],
            tuple(UnitUsed(**_with_tuples(one)) for one in data["units"]),
            {path: Domain(**_with_tuples(one)) for path, one in data["facts"].items()},
            data["lists"],
            {path: (low, high) for path, (low, high) in data["ranges"].items()},
            {kind: (fixed, share) for kind, (fixed, share) in data["accuracies"].items()},
            {name: _function(one) for name, one in data["functions"].items()},
            data["curves"],
            {name: tuple(nodes[at] for at in lines) for name, lines in data["written_for"].items()},
            {name: tuple(_version(one, nodes) for one in versions) for name, versions in data["rules"].items()},
            data.get("covered", True),
            data.get("roles", {}),
            {path: (title, ask) for path, (title, ask) in data.get("listed", {}).items()},
            {name: HangsOn(**_with_tuples(one)) for name, one in data.get("hangs_on", {}).items()},
            tuple(data.get("either", ())),
            tuple(data.get("set_aside", ())),
            data.get("parts", {}),
            data.get("state", ""),
        )
    except (AttributeError, IndexError, KeyError, TypeError, ValueError) as wrong:
        raise CodecError(f"This program is not complete: {wrong}") from None


def _with_tuples(data: dict[str, Any]) -> dict[str, Any]:
    return {name: tuple(value) if isinstance(value, list) else value for name, value in data.items()}


def _function(data: dict[str, Any]) -> FunctionUsed:
    arguments = tuple((name, kind, moves) for name, kind, moves in data["arguments"])
    serves = tuple((condition, said) for condition, said in data.get("serves", ()))
    return FunctionUsed(**{**data, "arguments": arguments, "tables": tuple(data["tables"]), "serves": serves})


def _version(data: dict[str, Any], nodes: list[Any]) -> Version:
    rule = None if data["rule"] is None else nodes[data["rule"]]
    editions = tuple((code, edition) for code, edition in data["editions"])
    return Version(**{**data, "editions": editions, "rule": rule})
