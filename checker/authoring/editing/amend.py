"""What a ruleset does to a rule below it, as data to be written: a limit moved, lines changed, the rule withdrawn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from checker.authoring.editing import boundary_cases as moving
from checker.authoring.editing.boundary_cases import Movable
from checker.authoring.editing.file_edits import OneLine
from checker.authoring.editing.layer_context import (
    Layers,
    below_on,
    changed_below,
    editions_from,
    editions_on,
    meanings,
    meanings_at_home,
)
from checker.authoring.editing.tried import Tried
from checker.binding.binder import bind
from checker.binding.names import Context
from checker.problems.problem import Problem, refused
from checker.rulesets.layer_permissions import MAY_LOOSEN
from checker.rulesets.layering import NO_EDITION
from checker.rulesets.limits import day_number
from checker.rulesets.models import Case, Rule
from checker.rulesets.ruleset import TO_FILL_IN, edition_within
from checker.rulesets.standing import stands_over_all

CASES_AT_A_LIMIT = 3


class Ground(NamedTuple):
    """Why a place asks something else: the reason, the document's key and section, how sure, and the first day if any.

    `title` is the document's, where the ruleset does not name it yet.
    """

    reason: str
    document: str
    section: str
    sure: str
    starts: str = ""
    title: str = ""

    @property
    def new_document(self) -> dict[str, str]:
        """The document that the ruleset has still to name, by its key; nothing where it names it."""
        return {self.document: self.title} if self.title else {}

    def source(self, layers: Layers) -> str:
        """The document and the section as a limit's source tells them."""
        title = self.title or layers.ruleset.header.documents.get(self.document, self.document)
        return TO_FILL_IN if self.section == TO_FILL_IN else f"{title} {self.section}"

    @property
    def citation(self) -> list[OneLine]:
        place = {"document": self.document, "section": self.section}
        return [OneLine({**place, "section_sure": self.sure, "requirement_sure": self.sure})]


class Amendable(NamedTuple):
    """A rule as it stands below a ruleset in the newest edition in force there, and what may be done to it.

    `unused` are the limits that only another version of it names.
    """

    rule: Rule
    edition: str
    day: int
    limits: list[Movable]
    unused: frozenset[str]
    may_change: bool
    may_withdraw: bool


def amendable(layers: Layers, rule_id: str, starts: str) -> Amendable:
    """What an amendment from a day on starts from.

    Raises:
        ProblemsFound: The rule is federal, or not in force here from that day on.
    """
    home = layers.home("rules", rule_id)
    if home.header.owner_kind == "federal":
        what = f"'{rule_id}' is federal: it holds everywhere as it is."
        raise refused(rule_id, what, "Add a rule of your own instead.")
    data = home.rules[rule_id]
    held = [
        pair
        for pair in editions_from(layers, home, starts)
        if pair[0] == NO_EDITION or edition_within(data.editions, pair[0])
    ]
    if not held:
        what = f"'{rule_id}' is in no edition in force here{f' from {starts} on' if starts else ''}."
        raise refused(rule_id, what, "Look at its editions: 'changeout rules show' tells them.")
    edition, day = max(held, key=lambda pair: pair[1])
    latest = changed_below(layers, {rule_id, *layers.below.limits_named(rule_id)})
    day = max(day, day_number(latest)) if latest else day
    layered = below_on(layers, "rules", rule_id, edition, day)
    if layered.withdrawn:
        what = f"'{rule_id}' is withdrawn below {layers.ruleset.id}: {layered.steps[-1].ruleset} took it out."
        raise refused(rule_id, what, "Add a rule of your own instead.")
    rule = layered.data
    assert isinstance(rule, Rule)
    kind = layers.ruleset.header.owner_kind
    loosen = kind in MAY_LOOSEN or rule.obligation == "should"
    limits = moving.movable(layers, rule_id, edition, day)
    unused = layers.below.limits_named(rule_id) - moving.named_by(layers, rule)
    used = [moved for moved in limits if moved.name not in unused]
    return Amendable(rule, edition, day, used, unused, loosen, loosen)


def limit_moved(
    layers: Layers, rule_id: str, at: Amendable, moved: Movable, value: str, ground: Ground
) -> dict[str, Any]:
    """The amendment of a limit, with its cases.

    Raises:
        ProblemsFound: A contractor group or a practice would loosen what a `shall` asks.
    """
    direction = moving.direction(layers, rule_id, moved, value, at.edition, at.day)
    if not at.may_change and direction != "stricter":
        what = (
            f"A {layers.ruleset.header.owner_kind} ruleset can only make '{rule_id}' stricter, because it is a 'shall'."
        )
        raise refused(rule_id, what, "Give a stricter value.")
    new = OneLine({"value": value, "source": ground.source(layers), "sure": ground.sure})
    data = amendment(layers, "limits", moved.name, ground, direction, {"set": {"values": [new]}})
    cases = _cases_at(layers, rule_id, at, moved, value, ground, data)
    return {**data, "cases": cases} if cases else data


def _cases_at(
    layers: Layers, rule_id: str, at: Amendable, moved: Movable, value: str, ground: Ground, data: dict[str, Any]
) -> list[OneLine]:
    """The cases at a new limit that come out as the comparison says, made from the case that serves most of them."""
    best: list[OneLine] = []
    tried = Tried(layers, moved.name, data, ground.new_document)
    for made in _made_cases(layers, rule_id, at, moved, value, ground):
        good = [case for case in made if tried.comes_out(case)]
        best = good if len(good) > len(best) else best
        if len(best) == CASES_AT_A_LIMIT:
            break
    return best


def _made_cases(
    layers: Layers, rule_id: str, at: Amendable, moved: Movable, value: str, ground: Ground
) -> Iterator[list[OneLine]]:
    """The cases made from each of a rule's: at the ruleset's first place, and for a group at each of its places."""
    rule = moving.bound(layers, rule_id, at.edition, at.day)
    read = moving.against(layers, rule, moved.name) if rule else None
    if read is None:
        return
    held = moving.Held(ground.starts, at.edition, at.day)
    for place in ["", *layers.checker.library.worked_at(layers.ruleset)]:
        for base in moving.bases(layers, rule_id, read.path, at.edition):
            made = moving.cases(layers, rule_id, moved, read, base, value, held)
            yield [OneLine({**case, "place": place}) for case in made] if place else made


def lines_set(
    layers: Layers,
    rule_id: str,
    at: Amendable,
    require: list[Any],
    direction: str,
    ground: Ground,
    cases: list[OneLine],
) -> dict[str, Any]:
    """The amendment of what a rule requires: the whole field, for the editions in which it requires the same so far."""
    data = amendment(layers, "rules", rule_id, ground, direction, {"set": {"require": require}}, cases)
    alike = {
        edition: digest
        for edition, digest in data["meaning"].items()
        if edition not in _otherwise(layers, rule_id, at, begins(layers, rule_id, ground.starts))
    }
    return {**data, "meaning": OneLine(alike)}


def line_added(
    layers: Layers, rule_id: str, field: str, line: str, ground: Ground, cases: list[OneLine]
) -> dict[str, Any]:
    """The amendment that adds a line to what a rule requires, or to when it applies, and leaves all else of it."""
    direction = "stricter" if field == "require" else "looser"
    return amendment(layers, "rules", rule_id, ground, direction, {"add": {field: [line]}}, cases)


def text_set(layers: Layers, rule_id: str, field: str, text: str, ground: Ground) -> dict[str, Any]:
    """The amendment of one of a rule's texts: it asks neither more nor less by it."""
    return amendment(layers, "rules", rule_id, ground, "different", {"set": {field: text}})


def _otherwise(layers: Layers, rule_id: str, at: Amendable, starts: str) -> list[str]:
    """The editions in force from a day on in which the layers below leave a rule with other lines."""
    home = layers.home("rules", rule_id)
    others = []
    for edition, day in editions_from(layers, home, starts):
        rule = below_on(layers, "rules", rule_id, edition, day).data
        assert isinstance(rule, Rule)
        if rule.require != at.rule.require:
            others.append(edition)
    return others


def lines_below(layers: Layers, rule_id: str, at: Amendable) -> list[Any]:
    """What a rule requires below. A ruleset that may only ask more keeps the rule's own lines too, even those that a layer
    took out."""
    own = [] if at.may_change else layers.home("rules", rule_id).rules[rule_id].require
    return [*own, *(line for line in at.rule.require if line not in own)]


def amendment(
    layers: Layers,
    section: str,
    name: str,
    ground: Ground,
    direction: str,
    change: dict[str, Any],
    cases: Sequence[OneLine] = (),
) -> dict[str, Any]:
    """An amendment as data, bound to the meaning of what it changes.

    Args:
        change: What is set or added, under `set` or `add`.
    """
    on_top = stands_over_all(layers.ruleset) and ("add" in change or (section == "limits" and direction == "stricter"))
    starts = ground.starts if on_top else begins(layers, name, ground.starts)
    meant = meanings_at_home if on_top else meanings
    return {
        "reason": ground.reason,
        "citation": ground.citation,
        "meaning": OneLine(meant(layers, section, name, starts)),
        "direction": direction,
        **({"from": starts} if starts else {}),
        **change,
        **({"cases": list(cases)} if cases else {}),
    }


def begins(layers: Layers, name: str, starts: str) -> str:
    """The first day of a change. It is bound to what the layers below leave, so it begins no earlier than their last change."""
    return max(starts, changed_below(layers, [name]))


def withdrawn(layers: Layers, rule_id: str, at: Amendable, ground: Ground) -> dict[str, Any]:
    """The withdrawal of a rule, with a case in which it would have passed and now does not apply."""
    case = case_like(layers, rule_id, at, ground, "withdrawn here", {}, "does_not_apply")
    starts = begins(layers, rule_id, ground.starts)
    return {
        "reason": ground.reason,
        "citation": ground.citation,
        "meaning": OneLine(meanings(layers, "rules", rule_id, starts)),
        **({"from": starts} if starts else {}),
        **({"cases": [case]} if case else {}),
    }


def case_like(
    layers: Layers, rule_id: str, at: Amendable, ground: Ground, name: str, facts: dict[str, Any], expect: str
) -> OneLine | None:
    """A case of the rule that passes, with other facts put in and another outcome expected; None where it has none."""
    bases = moving.bases(layers, rule_id, "", at.edition)
    if not bases:
        return None
    return case_from(layers, rule_id, at, ground, bases[0], name, facts, expect)


def case_from(
    layers: Layers,
    rule_id: str,
    at: Amendable,
    ground: Ground,
    base: Case,
    name: str,
    facts: Mapping[str, Any],
    expect: str,
) -> OneLine:
    """A case like another, with other facts put in and another outcome expected."""
    stated = moving.stated_editions(layers, rule_id, at.edition, base)
    given = {**base.given, **moving.dated(layers, rule_id, ground.starts, at.day), **facts}
    return OneLine({"name": name, "given": given, **({"editions": stated} if stated else {}), "expect": expect})


def line_problems(layers: Layers, rule_id: str, at: Amendable, field: str, lines: list[Any]) -> list[Problem]:
    """What is wrong with the lines that a rule would have under `require` or `applies_when`."""
    layered = below_on(layers, "rules", rule_id, at.edition, at.day)
    editions = editions_on(layers, layered.home, at.edition, at.day)
    rule = at.rule.replaced(**{field: lines})
    context = Context(layers.chain, layers.checker.vocabulary, editions, at.day)
    return bind(layered._replace(data=rule), context)[1]
