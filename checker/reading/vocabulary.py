"""The vocabulary: every fact a job may record, read from the job schema, which is its one source."""

from __future__ import annotations

import functools
import hashlib
import json
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from checker.reading.fact_shapes import NOWHERE, Item, Leaf, ListOf, Part, Place, Stage, Station, pattern
from checker.reading.schema_walk import labels_of, local_leaf, nodes, root_of, stages_of, stations_by_path, walk


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
        root = root_of(schema)
        self._walked = {
            name: walked.get(name) or list(walk(child, root, name, schema.get("word_of", "")))
            for name, child in schema.get("properties", {}).items()
            if name != "$schema"
        }
        labels = labels_of(schema)
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
        return dict(stations_by_path(self.schema, "", ""))

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
        return {node["role"]: path for path, node in nodes(self.schema, "") if "role" in node}

    def seen_at_any_time(self, leaf: Leaf) -> bool:
        """Whether a fact can be seen after the work as well, on a plate or a paper."""
        return leaf.stage == len(self.stages) - 1

    def given_twice(self) -> Iterator[tuple[str, str]]:
        """The roles that several have, with the path of each after the first."""
        given: set[str] = set()
        for path, node in nodes(self.schema, ""):
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
        return any(what in self.held.get(".".join(steps[:n]), ()) for n in range(1, len(steps) + 1))

    @functools.cached_property
    def held(self) -> Mapping[str, frozenset[str]]:
        """What sort of facts each section holds that says so."""
        return {path: frozenset(node["holds"]) for path, node in nodes(self.schema, "") if "holds" in node}

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
        sections = ((path, node) for path, node in nodes(self.schema, "") if "properties" in node.get("items", node))
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
