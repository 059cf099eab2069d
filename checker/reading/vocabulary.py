"""The vocabulary: every fact a job may record, read from the job schema, which is its one source.

Only the schema's own forms are known here, not what the facts are about.
"""

from __future__ import annotations

import functools
import hashlib
import json
import math
import re
import sys
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from checker.reading import units

Schema = Mapping[str, Any]

FORMS = ("quantity", "flag", "text", "date", "count")
INDEX = re.compile(r"\.\d+(?=\.|$)")


class Stage(NamedTuple):
    """A stage of the work: its name in the schema, its heading, the caution that stands under it, whether it needs no visit,
    how it is called as the last moment to see something, and what is not to be done while something of it is open."""

    name: str
    heading: str
    caution: str = ""
    at_the_desk: bool = False
    last_seen: str = ""
    not_yet: str = ""


def stages_of(schema: Schema) -> tuple[Stage, ...]:
    """The stages of the work in their order, the last one being for what can be seen at any time."""
    told = schema.get("commands", {}).get("stages", ())
    stages = (Stage(**{"last_seen": one["heading"], **one}) for one in told)
    return tuple(stages) or (Stage("", "On the job", last_seen="At any time"),)


class Station(NamedTuple):
    """Where one stands when one sees a thing: its name in the schema, its heading, and its place among the stations."""

    name: str
    heading: str
    place: int = 0


class Part(NamedTuple):
    """A thing to bring along that a rule may name: its name in the schema, its title, its station, and whether it is a tool."""

    name: str
    title: str
    station: str = ""
    tool: bool = False


NOWHERE = Station("", "On the job")  # the one station of a schema that has none


class Bounds(NamedTuple):
    """What a reading can be at all and what is common, both ends included, in the base unit of its kind."""

    lowest: float = -math.inf
    highest: float = math.inf
    usual_lowest: float = -math.inf
    usual_highest: float = math.inf


ANY_AMOUNT = Bounds()


class Leaf(NamedTuple):
    """One fact: its dotted path without list positions, and what the schema says of it.

    `kind` is a kind of `units.txt`, or `word`, `flag` or `date`. `possible` is the closed list of values, where there is
    one; `range` the lowest and highest possible amount in `unit`; `names` the list of which it names an item. `word_of`
    says whose word the fact only reports, and `word_of_values` which of its values do (none named: all). `said` are other
    words that people use for values of the list, each with the values that it may mean; `beside` is the path of the fact
    whose amount is written behind a slash after this one's. `labels` are words that people write beside its value;
    `either_way` tells that it is how far something may be off, which may be written with a plus-minus sign. `stage` is the
    place of `known` among the stages, the last one where it has none.
    `alarming` are the values that would worry whoever inspects the work. `bounds` are those of an amount or a count; `ahead`
    says that a day may lie ahead of the day of a check.
    """

    path: str
    form: str
    kind: str
    title: str
    description: str
    ask: str
    known: str
    unit: str
    digits: int | None
    measured: str
    possible: tuple[str, ...]
    may_be_none: bool
    range: tuple[float, float] | None
    names: str
    stage: int
    word_of: str = ""
    word_of_values: tuple[str, ...] = ()
    said: tuple[tuple[str, tuple[str, ...]], ...] = ()
    beside: str = ""
    labels: tuple[str, ...] = ()
    either_way: bool = False
    alarming: tuple[str | bool, ...] = ()
    bounds: Bounds = ANY_AMOUNT
    ahead: bool = False


class ListOf(NamedTuple):
    """A list: keyed lists can be gone through by a rule, readings only be taken together; `boxes` are the rows on paper.

    `key_says` is the fact of an item that its name says too, where the name is one of that fact's values; `item_line` are
    the facts of an item that may be typed behind its name. A reading of an `untimed` list may be its last fact alone."""

    path: str
    title: str
    ask: str
    keyed: bool
    boxes: int
    key_says: str = ""
    item_line: tuple[str, ...] = ()
    untimed: bool = False


Item = Leaf | ListOf | str  # a text is the path of a place under which anything may stand
MOST_PATHS = 1000  # positions of a list of which the paths are kept


class Place:
    """A place in a job: a leaf, a list, an object with places under it, or one under which anything may stand.

    `known` keeps what was read here before, by type and value: the same value is the same reading in every job. `steps`
    keeps what may stand under it, by its own full path: a path is one text in every job and every rule.
    """

    __slots__ = ("free", "known", "leaf", "list", "steps", "under")

    def __init__(self) -> None:
        self.leaf: Leaf | None = None
        self.list: ListOf | None = None
        self.free = False
        self.under: dict[str, Place] = {}
        self.known: dict[Any, Any] = {}
        self.steps: dict[str, dict[str, Step]] = {}

    def steps_under(self, path: str) -> dict[str, Step]:
        """What may stand under this place by its name, with its full path, where the place itself stands at `path`."""
        found = self.steps.get(path)
        if found is None:
            found = {}
            for name, child in self.under.items():
                full = sys.intern(f"{path}.{name}" if path else name)
                found[name] = (full, child, child.known if child.leaf else None)
            if len(self.steps) < MOST_PATHS:
                self.steps[path] = found
        return found


Step = tuple[str, Place, "dict[Any, Any] | None"]  # the full path, the place, and for a leaf what was read there before


class Vocabulary:
    """The facts and lists of one job schema, with the local facts of the rulesets in use."""

    def __init__(self, schema: Mapping[str, Any], walked: Mapping[str, list[Item]] = MappingProxyType({})) -> None:
        """
        Args:
            walked: By their names, what is known already of sections at the top of the schema.
        """
        self.schema = schema
        self.leaves: dict[str, Leaf] = {}
        self.lists: dict[str, ListOf] = {}
        self.free: set[str] = set()
        root = _root_of(schema)
        self._walked = {
            name: walked.get(name) or list(_walk(child, root, name, schema.get("word_of", "")))
            for name, child in schema.get("properties", {}).items()
            if name != "$schema"
        }
        labels = _labels(schema)
        for item in (item for items in self._walked.values() for item in items):
            if isinstance(item, Leaf):
                more = labels.get(item.path)
                self.leaves[item.path] = item._replace(labels=(*item.labels, *more)) if more else item
            elif isinstance(item, ListOf):
                self.lists[item.path] = item
            else:
                self.free.add(item)

    @functools.cached_property
    def places(self) -> frozenset[str]:
        """Every path there is, of leaves, lists and the objects around them."""
        found = set(self.leaves) | set(self.lists) | self.free
        return frozenset(found | {path.rsplit(".", n)[0] for path in found for n in range(1, path.count(".") + 1)})

    @property
    def tables(self) -> Iterator[str]:
        """The lists of readings, which are filled in as a table."""
        return (path for path, entry in self.lists.items() if not entry.keyed)

    @property
    def commands(self) -> Mapping[str, Any]:
        """What the commands have to know of the trade besides its facts."""
        found: Mapping[str, Any] = self.schema.get("commands", {})
        return found

    @property
    def caution(self) -> str:
        """What stands under everything printed, of the dangers of the work."""
        return str(self.commands.get("caution", ""))

    @functools.cached_property
    def stages(self) -> tuple[Stage, ...]:
        """The stages of the work in their order, the last one being for what can be seen at any time."""
        return stages_of(self.schema)

    @functools.cached_property
    def stations(self) -> tuple[Station, ...]:
        """The stations in the order in which a job goes through them."""
        told = self.commands.get("stations", ())
        return tuple(Station(**one, place=place) for place, one in enumerate(told)) or (NOWHERE,)

    @functools.cached_property
    def parts(self) -> tuple[Part, ...]:
        """The things to bring that rules may name, in the order in which the schema lists them."""
        return tuple(Part(**one) for one in self.commands.get("parts", ()))

    @functools.cached_property
    def station_names(self) -> Mapping[str, str]:
        """The station of each fact, list and section as the schema names it: its own, or that of the nearest around it."""
        return dict(_stations(self.schema, "", ""))

    def station(self, path: str) -> Station:
        """The station of a fact, list or section at a path that may hold list positions; the last where it names none."""
        return self.station_named(self.station_names.get(pattern(path), ""))

    def station_named(self, name: str) -> Station:
        """The station of this name; the last where there is none."""
        return self._by_name.get(name, self.stations[-1])

    @functools.cached_property
    def _by_name(self) -> Mapping[str, Station]:
        return {station.name: station for station in self.stations}

    @functools.cached_property
    def roles(self) -> Mapping[str, str]:
        """The path of each fact, list and section that the program itself uses, by its role."""
        return {node["role"]: path for path, node in _nodes(self.schema, "") if "role" in node}

    def seen_at_any_time(self, leaf: Leaf) -> bool:
        """Whether a fact can be seen after the work as well, on a plate or a paper."""
        return leaf.stage == len(self.stages) - 1

    def given_twice(self) -> Iterator[tuple[str, str]]:
        """The roles that several have, with the path of each after the first."""
        given: set[str] = set()
        for path, node in _nodes(self.schema, ""):
            role = node.get("role", "")
            if role in given:
                yield role, path
            given.update([role] if role else [])

    def node_of(self, path: str) -> tuple[str, ...]:
        """Where a fact, list or section stands in the schema itself."""
        at: list[str] = []
        for n, step in enumerate(steps := path.split(".")):
            at += [
                "properties",
                step,
                *(["items"] if ".".join(steps[: n + 1]) in self.lists and n + 1 < len(steps) else []),
            ]
        return tuple(at)

    def at(self, role: str, *positions: int) -> str:
        """The path of what has a role, with the positions of the lists around it; empty where the schema gives it to none."""
        path, left = "", list(positions)
        for step in filter(None, self.roles.get(role, "").split(".")):
            path += f".{step}" if path else step
            path += f".{left.pop(0)}" if left and pattern(path) in self.lists else ""
        return path

    def holds(self, path: str, what: str) -> bool:
        """Whether a path is in a section that holds facts of this sort: of the place, from a plate, from a manual."""
        steps = pattern(path).split(".")
        return any(what in self._held.get(".".join(steps[:n]), ()) for n in range(1, len(steps) + 1))

    @functools.cached_property
    def _held(self) -> Mapping[str, frozenset[str]]:
        return {path: frozenset(node["holds"]) for path, node in _nodes(self.schema, "") if "holds" in node}

    @functools.cached_property
    def digest(self) -> str:
        """What tells this vocabulary from another."""
        return hashlib.sha256(json.dumps(self.schema, sort_keys=True).encode()).hexdigest()[:16]

    @functools.cached_property
    def top(self) -> Place:
        """The places of a job as they stand in each other."""
        top = Place()

        def place(path: str) -> Place:
            found = top
            for name in path.split("."):
                found = found.under.setdefault(name, Place())
            return found

        for path, leaf in self.leaves.items():
            place(path).leaf = leaf
        for path, entry in self.lists.items():
            place(path).list = entry
        for path in self.free:
            place(path).free = True
        return top

    def leaf(self, path: str) -> Leaf | None:
        """The leaf at a path that may hold list positions."""
        return self.leaves.get(pattern(path))

    def title(self, path: str) -> str:
        """A person's name for a path: the title of its leaf or list."""
        entry = self.leaves.get(pattern(path)) or self.lists.get(pattern(path))
        return entry.title if entry else path

    def section_title(self, path: str) -> str:
        """The title of the section or list item that a fact stands in; empty where the schema gives it none."""
        return self._section_titles.get(pattern(path).rpartition(".")[0], "")

    @functools.cached_property
    def _section_titles(self) -> Mapping[str, str]:
        sections = ((path, node) for path, node in _nodes(self.schema, "") if "properties" in node.get("items", node))
        return {path: node.get("title", "") for path, node in sections}

    def children(self, path: str) -> list[str]:
        """The names that may stand directly under an object."""
        prefix = f"{path}." if path else ""
        return sorted({place[len(prefix) :].split(".")[0] for place in self.places if place.startswith(prefix)})

    def with_local(self, facts: Mapping[str, Mapping[str, Mapping[str, Any]]]) -> Vocabulary:
        """This vocabulary and the facts that rulesets add, by ruleset: those of one stand under `local.<ruleset>`."""
        added = {
            ruleset: {
                "type": "object",
                "additionalProperties": False,
                "properties": {name: local_leaf(fact) for name, fact in its.items()},
            }
            for ruleset, its in facts.items()
        }
        before = self.schema["properties"].get("local", {})
        known = before.get("properties", {})
        if all(known.get(ruleset) == its for ruleset, its in added.items()):
            return self
        local = {"type": "object", **before, "properties": {**known, **added}}
        others = {name: items for name, items in self._walked.items() if name != "local"}
        return Vocabulary({**self.schema, "properties": {**self.schema["properties"], "local": local}}, others)


def local_leaf(fact: Mapping[str, Any]) -> dict[str, Any]:
    """The schema of a leaf out of a ruleset's `facts`: the same keywords, with `form` in place of the reference."""
    leaf = {key: value for key, value in fact.items() if key not in ("form", "possible")}
    if fact["form"] == "flag" and "alarming" in leaf:  # a ruleset holds text alone
        leaf["alarming"] = [value == "true" for value in leaf["alarming"]]
    if fact.get("possible"):
        return {**leaf, "anyOf": [{"enum": list(fact["possible"])}, {"$ref": "#/$defs/not_known"}]}
    return {**leaf, "$ref": f"#/$defs/{fact['form']}"}


@functools.cache
def pattern(path: str) -> str:
    """A path without its list positions: `ropes.0.key` is a `ropes.key`."""
    return INDEX.sub("", path)


class _Root(NamedTuple):
    """What the top of a schema says of all its facts: shared definitions, the places of the stages, bounds by kind and unit."""

    definitions: Schema
    stages: Mapping[str, int]
    amounts: Mapping[tuple[str, str], Schema]


def _root_of(schema: Schema) -> _Root:
    stages = {stage.name: place for place, stage in enumerate(stages_of(schema))}
    return _Root(
        schema.get("$defs", {}), stages, {(one["kind"], one["unit"]): one for one in schema.get("amounts", ())}
    )


def _walk(node: Schema, root: _Root, path: str, word_of: str) -> Iterator[Item]:
    word_of = node.get("word_of", word_of)
    form = _form(node)
    if form:
        yield _leaf(node, form, path, word_of, root)
        return
    if "$ref" in node:
        target = root.definitions[node["$ref"].rsplit("/", 1)[-1]]
        node = {**target, **{key: value for key, value in node.items() if key != "$ref"}}
    if node.get("type") == "array":
        title, ask, keyed = node.get("title", path), node.get("ask", ""), bool(node.get("keyed"))
        on_line = tuple(f"{path}.{name}" for name in node.get("item_line", ()))
        untimed = bool(node.get("untimed"))
        yield ListOf(path, title, ask, keyed, node.get("boxes", 0), node.get("key_says", ""), on_line, untimed)
        yield from _walk(node["items"], root, path, word_of)
        return
    if node.get("type") == "object" and node.get("additionalProperties") is not False:
        yield path
    for name, child in node.get("properties", {}).items():
        if name not in ("$schema",):
            yield from _walk(child, root, f"{path}.{name}", word_of)


def _nodes(node: Mapping[str, Any], path: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every fact, list and section with its path."""
    if path:
        yield path, node
    for name, child in (node.get("items", node)).get("properties", {}).items():
        yield from _nodes(child, f"{path}.{name}" if path else name)


def _stations(node: Mapping[str, Any], path: str, station: str) -> Iterator[tuple[str, str]]:
    """Every fact, list and section with the name of its station."""
    station = node.get("station", station)
    if path:
        yield path, station
    for name, child in (node.get("items", node)).get("properties", {}).items():
        yield from _stations(child, f"{path}.{name}" if path else name, station)


def _form(node: Mapping[str, Any]) -> str:
    if "anyOf" in node and any("enum" in part for part in node["anyOf"]):
        return "choice"
    name = str(node.get("$ref", "")).rsplit("/", 1)[-1].removesuffix("_or_none")
    if name in FORMS:
        return name
    return "constant" if "const" in node else ""


def _labels(schema: Schema) -> dict[str, dict[str, None]]:
    """The words that stand beside the value of a fact on the lines that hold it."""
    found: dict[str, dict[str, None]] = {}
    for line in schema.get("commands", {}).get("lines", ()):
        for path, words in line["labels"].items():
            found.setdefault(path, {}).update(dict.fromkeys(words))
    return found


def _bounds(node: Schema, form: str, root: _Root) -> Bounds:
    """The bounds of a fact: its own, or those of its unit; none where the schema gives none."""
    kind, unit = ("number", "one") if form == "count" else (node.get("kind", ""), node.get("unit", ""))
    said = {
        **root.amounts.get((kind, unit), {}),
        **{name: node[name] for name in ("bounds", "usual") if name in node},
    }
    if "bounds" not in said:
        return ANY_AMOUNT
    whole = units.find_unit(kind, unit) or units.base_unit(kind)
    possible, usual = (
        sorted(units.to_base(float(end), whole) for end in ends)  # some units count downward
        for ends in (said["bounds"], said.get("usual", said["bounds"]))
    )
    return Bounds(*possible, *usual)


def _leaf(node: Schema, form: str, path: str, word_of: str, root: _Root) -> Leaf:
    possible = next((tuple(part["enum"]) for part in node.get("anyOf", ()) if "enum" in part), ())
    kind = {"flag": "flag", "date": "date", "quantity": node.get("kind", ""), "count": "number"}.get(form, "word")
    low_high = node.get("range")
    said = tuple((word, tuple(values)) for word, values in node.get("said", {}).items())
    beside = f"{path.rpartition('.')[0]}.{node['beside']}" if "beside" in node else ""
    return Leaf(
        path, form, kind, node.get("title", path), node.get("description", ""), node.get("ask", ""), node.get("known", ""),
        node.get("unit", "one" if form == "count" else ""), node.get("digits", 0 if form == "count" else None),
        node.get("measured", ""), possible, bool(node.get("may_be_none")),
        (float(low_high[0]), float(low_high[1])) if low_high else None, node.get("names", ""),
        root.stages.get(node.get("known", ""), len(root.stages) - 1), word_of,
        word_of_values=tuple(node.get("word_of_values", ())),
        said=said, beside=beside, labels=tuple(node.get("beside_it", ())), either_way=bool(node.get("either_way")),
        alarming=tuple(node.get("alarming", ())), bounds=_bounds(node, form, root), ahead=bool(node.get("ahead")),
    )  # fmt: skip
