"""What a rule said of the same facts before, so that nothing is judged and worded twice.

A verdict, and every word of its finding, follow from the rule, the facts that it names, and the instruments they were
measured with. What those are in one job is a key; under it stands what was found. The same facts in another job lead to
the same finding but for the two names by which a finding is known, which carry the job and the day.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from checker.ir import tree
from checker.ir.node import Node
from checker.ir.visitor import walk, walk_through
from checker.judging.judge import Place
from checker.reading.job import Job
from checker.reading.vocabulary import Vocabulary, pattern

MOST_KEPT = 50  # findings of one rule; then it begins anew
MOST_TRIED = 200  # looks after which a rule whose facts hardly ever recur is no longer remembered
SELDOM = 0.05


class Looks(NamedTuple):
    """The facts that a rule names: from the job, the item and the item around it, and fields of lists taken together."""

    facts: Mapping[str, tuple[str, ...]]
    lists: tuple[tuple[str, str, tuple[str, ...]], ...]
    measured: bool


def looks_of(rules: Sequence[tree.BoundRule], vocabulary: Vocabulary) -> Looks:
    """Every fact that rules name, in conditions, values and messages alike."""
    return _looks([node for rule in rules for node in walk(rule)], [rule.for_each for rule in rules], vocabulary)


def looks_of_part(node: tree.Condition, rule: tree.BoundRule, vocabulary: Vocabulary) -> Looks:
    """Every fact that one condition of a rule names, through names under `where` too."""
    return _looks(list(walk_through(node, rule.where)), [rule.for_each], vocabulary)


def _looks(nodes: list[Node], lists: list[tuple[str, ...]], vocabulary: Vocabulary) -> Looks:
    facts = {
        frame: sorted({n.path for n in nodes if isinstance(n, tree.Fact) and n.frame == frame}) for frame in FRAMES
    }
    folds = {(n.items.frame, n.items.path, _fields(n)) for n in nodes if isinstance(n, tree.Fold)}
    around = {"job": [""]}
    around["item"] = [".".join(for_each) for for_each in lists]
    around["outer"] = [for_each[0] for for_each in lists if for_each]
    paths = [f"{base}.{path}" for frame in FRAMES for base in around[frame] for path in facts[frame]]
    paths += [f"{base}.{path}.{field}" for frame, path, fields in folds for base in around[frame] for field in fields]
    leaves = [vocabulary.leaves.get(pattern(path.lstrip("."))) for path in paths]
    return Looks(
        {frame: tuple(found) for frame, found in facts.items()},
        tuple(sorted(folds)),
        any(leaf is not None and bool(leaf.measured) for leaf in leaves),
    )


FRAMES = ("job", "item", "outer")


def _fields(fold: tree.Fold) -> tuple[str, ...]:
    return tuple(field for field in (fold.field, fold.clock, *(part.field for part in fold.where)) if field)


class Looked:
    """One job as rules look at it: what stands at each path, a reading or why there is none."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.marks: dict[str, Any] = {**job.not_known, **job.readings} if job.not_known else dict(job.readings)
        self.get: Callable[[str], Any] = self.marks.get
        self._lists: dict[tuple[str, tuple[str, ...]], Any] = {}
        self._instruments: Any = None

    def key(self, looks: Looks, place: Place) -> tuple[Any, ...]:
        """All that can be seen of this job from one place, but for which place it is."""
        facts, get = looks.facts, self.get
        found: list[Any] = list(map(get, facts["job"]))
        if facts["item"]:
            at = place.item
            found += [get(f"{at}.{path}" if path else at) for path in facts["item"]]
        if facts["outer"]:
            at = place.outer
            found += [get(f"{at}.{path}" if path else at) for path in facts["outer"]]
        for frame, path, fields in looks.lists:
            around = {"job": "", "item": place.item, "outer": place.outer}[frame]
            found.append(self._list(f"{around}.{path}" if around and path else around or path, fields))
        if looks.measured:
            found.append(self.instruments)
        return tuple(found)

    def _list(self, base: str, fields: tuple[str, ...]) -> Any:
        known = self._lists.get((base, fields))
        if known is None:
            keys = self.job.lists.get(base)
            marks = [self.get(f"{base}.{index}.{field}") for index in range(len(keys or ())) for field in fields]
            known = self._lists[base, fields] = (keys, *marks)
        return known

    def _of_accuracy(self, path: str) -> bool:
        """Whether a fact of an instrument decides how sure a reading is: its kind, or an amount."""
        leaf = self.job.vocabulary.leaf(path)
        return leaf is not None and (leaf.form == "quantity" or leaf.path == self.job.at("instruments.kind"))

    @property
    def instruments(self) -> Any:
        """All that the job says of its instruments that decides how sure a reading is."""
        if self._instruments is None:
            listed = self.job.at("instruments")
            about = tuple(
                (path, mark)
                for path, mark in self.marks.items()
                if listed and path.startswith(f"{listed}.") and self._of_accuracy(path)
            )
            self._instruments = (self.job.lists.get(listed), about)
        return self._instruments


class Memory:
    """What was said of the same facts before, of one rule or one condition of it.

    `apart`: what is said in one place is not said in another, though the facts be the same.
    """

    def __init__(self, find_looks: Callable[[], Looks], apart: bool = True) -> None:
        self.find_looks, self.apart = find_looks, apart
        self.kept: dict[tuple[Any, ...], Any] = {}
        self.parts: dict[tuple[int, int], Memory] = {}
        self.looked = self.known = 0
        self.worth_it = True

    @functools.cached_property
    def looks(self) -> Looks:
        """What it is said of."""
        return self.find_looks()

    def part(self, rule: tree.BoundRule, number: int, node: Any, vocabulary: Vocabulary) -> Memory:
        """The memory of a condition of a rule, of those whose memory this is."""
        found = self.parts.get((id(rule), number))
        if found is None:
            found = Memory(functools.partial(looks_of_part, node, rule, vocabulary), apart=False)
            self.parts[id(rule), number] = found
        return found

    def said(self, looked: Looked, place: Place, work_out: Callable[[], Any]) -> Any:
        """What was said of the same facts before, or what is worked out now."""
        self.looked += 1
        if not self.worth_it or self.looked == 1:  # the first job of a run is often its only one
            return work_out()
        key = looked.key(self.looks, place)
        key = (place, key) if self.apart else key
        found = self.kept.get(key)  # looked up once: another thread may begin anew in between
        if found is not None:
            self.known += 1
            return found
        found = work_out()
        if len(self.kept) >= MOST_KEPT:
            self.kept.clear()
            self.worth_it = self.looked < MOST_TRIED or self.known > SELDOM * self.looked
        self.kept[key] = found
        return found
