"""What a ruleset does to a rule below it, as data to be written: a limit moved, lines changed, the rule withdrawn."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from checker.authoring.cases import Stated, run
from checker.authoring.editing import boundary_cases as moving
from checker.authoring.editing.boundary_cases import Movable
from checker.authoring.editing.file_edits import OneLine
from checker.authoring.editing.layer_context import Standing, below_on, changed_below, editions_from, meanings
from checker.binding.binder import bind
from checker.binding.names import Context
from checker.engine.checker import Checker
from checker.problems.problem import Problem, ProblemsFound, Where
from checker.rulesets.fingerprint import WORD
from checker.rulesets.layer_permissions import MAY_LOOSEN
from checker.rulesets.layering import NO_EDITION
from checker.rulesets.limits import day_number
from checker.rulesets.models import Amendment, Rule
from checker.rulesets.ruleset import TO_FILL_IN, edition_within

CASES_AT_A_LIMIT = 3


class Ground(NamedTuple):
    """Why a place asks something else: the reason, the document's key and section, how sure, and the first day if any."""

    reason: str
    document: str
    section: str
    sure: str
    starts: str = ""

    @property
    def citation(self) -> list[OneLine]:
        said = {"document": self.document, "section": self.section}
        return [OneLine({**said, "section_sure": self.sure, "requirement_sure": self.sure})]


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


def amendable(one: Standing, rule_id: str, starts: str) -> Amendable:
    """What an amendment from a day on starts from.

    Raises:
        ProblemsFound: The rule is federal, or not in force here from that day on.
    """
    home = one.home("rules", rule_id)
    if home.header.owner_kind == "federal":
        what = f"'{rule_id}' is federal: it holds everywhere as it is."
        raise ProblemsFound([Problem(Where(rule_id), what, "Add a rule of your own instead.")])
    data = home.rules[rule_id]
    held = [
        pair
        for pair in editions_from(one, home, starts)
        if pair[0] == NO_EDITION or edition_within(data.editions, pair[0])
    ]
    if not held:
        what = f"'{rule_id}' stands in no edition that is in force here{f' from {starts} on' if starts else ''}."
        raise ProblemsFound([Problem(Where(rule_id), what, "Look at its editions: 'changeout rules show' tells them.")])
    edition, day = max(held, key=lambda pair: pair[1])
    latest = changed_below(one, {rule_id, *one.below.limits_named(rule_id)})
    day = max(day, day_number(latest)) if latest else day
    found = below_on(one, "rules", rule_id, edition, day)
    if found.withdrawn:
        what = f"'{rule_id}' is withdrawn below {one.ruleset.id}: {found.steps[-1].ruleset} took it out."
        raise ProblemsFound([Problem(Where(rule_id), what, "Add a rule of your own instead.")])
    rule = found.data
    assert isinstance(rule, Rule)
    kind = one.ruleset.header.owner_kind
    loosen = kind in MAY_LOOSEN or rule.obligation == "should"
    limits = moving.movable(one, rule_id, edition, day)
    unused = one.below.limits_named(rule_id) - moving.named_by(one, rule)
    used = [moved for moved in limits if moved.name not in unused]
    return Amendable(rule, edition, day, used, unused, loosen, loosen)


def limit_moved(
    one: Standing, rule_id: str, at: Amendable, moved: Movable, value: str, ground: Ground
) -> dict[str, Any]:
    """The amendment of a limit, with its cases.

    Raises:
        ProblemsFound: A contractor group or a practice would loosen what a `shall` asks.
    """
    direction = moving.direction(one, rule_id, moved, value, at.edition, at.day)
    if not at.may_change and direction != "stricter":
        what = f"A {one.ruleset.header.owner_kind} ruleset can only ask more of '{rule_id}', which is a 'shall'."
        raise ProblemsFound([Problem(Where(rule_id), what, "Give a value that asks more.")])
    document = one.ruleset.header.documents.get(ground.document, ground.document)
    source = TO_FILL_IN if ground.section == TO_FILL_IN else f"{document} {ground.section}"
    new = OneLine({"value": value, "source": source, "sure": ground.sure})
    data = _amendment(one, "limits", moved.name, ground, direction, {"values": [new]}, [])
    cases = _cases_at(one, rule_id, at, moved, value, ground, data)
    return {**data, "cases": cases} if cases else data


def _cases_at(
    one: Standing, rule_id: str, at: Amendable, moved: Movable, value: str, ground: Ground, data: dict[str, Any]
) -> list[OneLine]:
    """The cases at a new limit that come out as the comparison says, made from the case that serves most of them."""
    rule = moving.bound(one, rule_id, at.edition, at.day)
    read = moving.against(one, rule, moved.name) if rule else None
    best: list[OneLine] = []
    for base in moving.bases(one, rule_id, read.path, at.edition) if read else ():
        assert read is not None
        held = moving.Held(ground.starts, at.edition, at.day)
        made = moving.cases(one, rule_id, moved, read, base, value, held)
        good = [case for case in made if comes_out(one, moved.name, data, case)]
        best = good if len(good) > len(best) else best
        if len(best) == CASES_AT_A_LIMIT:
            break
    return best


def comes_out(one: Standing, name: str, data: dict[str, Any], case: OneLine) -> bool:
    """Whether a case comes out as it says once an amendment is made."""
    change = Amendment.model_validate({**data, "cases": [case]})
    header = one.ruleset.parts["header", ""]
    changed = one.ruleset._replace(
        amend={**one.ruleset.amend, name: change}, parts={**one.ruleset.parts, ("amend", name): header}
    )
    stated = Stated(str(case.get("rule", name)), change.cases[0], changed, header)
    library = one.checker.library.with_one(changed)
    try:
        return run(Checker(library, library.vocabulary), stated)[0] is None
    except ProblemsFound:
        return False


def lines_set(
    one: Standing, rule_id: str, at: Amendable, require: list[Any], direction: str, ground: Ground, cases: list[OneLine]
) -> dict[str, Any]:
    """The amendment of what a rule requires: the whole field, for the editions in which it requires the same so far."""
    data = _amendment(one, "rules", rule_id, ground, direction, {"require": require}, cases)
    alike = {
        edition: digest
        for edition, digest in data["meaning"].items()
        if edition not in _otherwise(one, rule_id, at, begins(one, rule_id, ground.starts))
    }
    return {**data, "meaning": OneLine(alike)}


def _otherwise(one: Standing, rule_id: str, at: Amendable, starts: str) -> list[str]:
    """The editions in force from a day on in which the layers below leave a rule with other lines."""
    home = one.home("rules", rule_id)
    found = []
    for edition, day in editions_from(one, home, starts):
        rule = below_on(one, "rules", rule_id, edition, day).data
        assert isinstance(rule, Rule)
        if rule.require != at.rule.require:
            found.append(edition)
    return found


def lines_below(one: Standing, rule_id: str, at: Amendable) -> list[Any]:
    """What a rule requires below. One who may only ask more keeps the rule's own first lines too, whoever changed them."""
    own = [] if at.may_change else one.home("rules", rule_id).rules[rule_id].require
    return [*own, *(line for line in at.rule.require if line not in own)]


def _amendment(
    one: Standing, section: str, name: str, ground: Ground, direction: str, fields: dict[str, Any], cases: list[OneLine]
) -> dict[str, Any]:
    starts = begins(one, name, ground.starts)
    return {
        "reason": ground.reason,
        "citation": ground.citation,
        "meaning": OneLine(meanings(one, section, name, starts)),
        "direction": direction,
        **({"from": starts} if starts else {}),
        "set": fields,
        **({"cases": cases} if cases else {}),
    }


def begins(one: Standing, name: str, starts: str) -> str:
    """The first day of a change: not before the last change that a layer below makes, since it is bound to that."""
    return max(starts, changed_below(one, [name]))


def withdrawn(one: Standing, rule_id: str, at: Amendable, ground: Ground) -> dict[str, Any]:
    """The withdrawal of a rule, with a case in which it would have passed and now does not apply."""
    case = case_like(one, rule_id, at, ground, "withdrawn here", {}, "does_not_apply")
    starts = begins(one, rule_id, ground.starts)
    return {
        "reason": ground.reason,
        "citation": ground.citation,
        "meaning": OneLine(meanings(one, "rules", rule_id, starts)),
        **({"from": starts} if starts else {}),
        **({"cases": [case]} if case else {}),
    }


def case_like(
    one: Standing, rule_id: str, at: Amendable, ground: Ground, name: str, facts: dict[str, Any], expect: str
) -> OneLine | None:
    """A case of the rule that passes, with other facts put in and another outcome expected; None where it has none."""
    bases = moving.bases(one, rule_id, "", at.edition)
    if not bases:
        return None
    base = bases[0]
    stated = moving.stated_editions(one, rule_id, at.edition, base)
    given = {**base.given, **moving.dated(one, rule_id, ground.starts, at.day), **facts}
    return OneLine({"name": name, "given": given, **({"editions": stated} if stated else {}), "expect": expect})


def line_problems(one: Standing, rule_id: str, at: Amendable, require: list[Any]) -> list[Problem]:
    """What is wrong with the lines that a rule would require."""
    found = below_on(one, "rules", rule_id, at.edition, at.day)
    editions: dict[str, str | None] = {code: moving.edition_of(one, code, at.day) for code in one.chain.codes}
    editions[found.home.id] = None if at.edition == NO_EDITION else at.edition
    rule = at.rule.model_copy(update={"require": require})
    context = Context(one.chain, one.checker.vocabulary, editions, at.day)
    return bind(found._replace(data=rule), context)[1]


def facts_in(one: Standing, rule: Rule, line: str) -> list[str]:
    """The facts that a line names, as cases write them."""
    lists = rule.for_each
    outer = lists.rpartition(".")[0] or lists
    vocabulary = one.checker.vocabulary
    found = []
    for word in WORD.findall(line):
        head, _, rest = word.partition(".")
        path = {"item": f"{lists}.{rest}", "outer": f"{outer}.{rest}"}.get(head, word) if lists else word
        if path in vocabulary.leaves:
            found.append(word)
    return list(dict.fromkeys(found))


def full_paths(rule: Rule, paths: Iterable[str], lists: Iterable[str]) -> list[str]:
    """Paths as a job of one item has them: `item.wheel.girth` → `ropes.0.wheel.girth`."""
    outer, _, inner = rule.for_each.rpartition(".")
    nested = outer in set(lists)
    item = f"{outer}.0.{inner}.0" if nested else f"{rule.for_each}.0"
    around = f"{outer}.0" if nested else f"{rule.for_each}.0"
    swapped = {"item": item, "outer": around}
    return [
        f"{swapped[head]}.{rest}"
        if (head := path.partition(".")[0]) in swapped and (rest := path.partition(".")[2])
        else path
        for path in paths
    ]
