"""What a rule or a limit is after every layer of its place has had its say.

`amend` replaces whole fields or adds to them, `withdraw` takes a rule out of force and `restore` puts it back; all three
keep it in the resolved set with who did it, where and why.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from checker.problems.document import Path_
from checker.rulesets.additions import Grown, added
from checker.rulesets.chain import Chain
from checker.rulesets.fingerprint import meaning
from checker.rulesets.limits import in_period
from checker.rulesets.models import Amendment, Answer, Change, Limit, Rule
from checker.rulesets.ruleset import Part, Ruleset
from checker.rulesets.standing import stands_over_all
from checker.rulesets.stricter import On, asks_no_more

NO_EDITION = "any"
NO_MORE = "asks no more in"  # what a group's change did to a limit of which its place asks more


class Step(NamedTuple):
    """One thing a layer did: which ruleset, at which part of its text, to which field, from what to what, and why."""

    ruleset: str
    part: Part
    what: str
    field: str
    old: Any
    new: Any
    why: str

    @property
    def place(self) -> str:
        """The file and line; to find it the text is read again, so it is found only where it is shown."""
        return self.part.place


class Answered(NamedTuple):
    """The authority's answer to a question of a rule, as a ruleset or a job records it.

    `stale`: the rule has changed since. `said_by` tells whose it is, when it was given and where it is written.
    """

    ruleset: str
    answer: Answer
    stale: bool
    said_by: str


class Amended(NamedTuple):
    """An amendment that holds: whose it is, and the rule or limit as it was below it."""

    ruleset: Ruleset
    change: Amendment
    below: Rule | Limit


class Effective(NamedTuple):
    """A rule or a limit after layering. `parts` tells which text each field came from; `stale` why it cannot be trusted.

    `amended` are the amendments that hold, the lowest first; `grown` the lists that some of these made longer.
    `undecided`: it is a limit that a group and its place both set, and nobody can tell which is stricter.
    """

    id: str
    home: Ruleset
    data: Rule | Limit
    withdrawn: bool
    steps: tuple[Step, ...]
    parts: Mapping[str, Part]
    stale: str
    answers: tuple[Answered, ...] = ()
    amended: tuple[Amended, ...] = ()
    grown: tuple[tuple[Part, Grown], ...] = ()
    undecided: bool = False

    def source(self, at: Path_) -> tuple[Part, Path_]:
        """The text that a part of the rule stands in, and where in it."""
        for part, grown in reversed(self.grown):
            inside = grown.inside(at)
            if inside is not None:
                return part, inside
        return self.part(str(at[0])), at

    def part(self, field: str) -> Part:
        return self.parts.get(field) or self.parts[""]

    def set_by(self, field: str) -> str:
        """The ruleset that a field of it comes from: the last that amended it, or its own."""
        changed = [step.ruleset for step in self.steps if step.what == "amended" and step.field == field]
        return changed[-1] if changed else self.home.id


def effective(chain: Chain, section: str, name: str, editions: Mapping[str, str | None], day: int) -> Effective:
    """A rule or limit as it stands on a day under the editions in force.

    Args:
        section: "rules" or "limits".
        editions: The edition of each code, None where it is not known.
    """
    home = chain.homes[section, name]
    edition = editions.get(home.id) or NO_EDITION
    data: Rule | Limit = (home.rules if section == "rules" else home.limits)[name]
    part = home.parts[section, name]
    found = Effective(name, home, data, False, (Step(home.id, part, "added", "", None, None, ""),), {"": part}, "")
    for ruleset in chain.rulesets:
        for operation in ("amend", "withdraw", "restore"):
            change = getattr(ruleset, operation).get(name)
            if change and _holds(change, edition, day):
                found = _changed(chain, found, ruleset, operation, change, edition, day)
        for owner, key in chain.answers.get(name, ()):  # a limit, named otherwise than a rule, has none
            if owner == ruleset.id:
                found = _answered(chain, found, ruleset, key, edition, day)
    return found


def _holds(change: Change, edition: str, day: int) -> bool:
    named = edition in change.meaning or NO_EDITION in change.meaning
    return named and in_period(change.starts, change.until, day)


def _answered(chain: Chain, found: Effective, ruleset: Ruleset, key: str, edition: str, day: int) -> Effective:
    """A rule with an answer of the authority more, where that counts under the edition and on the day."""
    answer = ruleset.answers[key]
    expected = answer.meaning.get(edition) or answer.meaning.get(NO_EDITION)
    if not expected or not in_period(answer.first_day, answer.until, day):
        return found
    stale = expected != meaning_of(chain, found, edition)
    said = f"{answer.office} ({answer.who}), {answer.on}, {answer.reference}: {' '.join(answer.in_words.split())}"
    what = f"answered {answer.answer.replace('_', ' ')}" + (", of the rule as it was before" if stale else "")
    step = Step(ruleset.id, ruleset.parts["answers", key], what, "", None, None, said)
    said_by = f"{answer.office} ({answer.who}), {answer.on}, {answer.reference} (in {ruleset.id})"
    answered = Answered(ruleset.id, answer, stale, said_by)
    return found._replace(steps=(*found.steps, step), answers=(*found.answers, answered))


def _changed(
    chain: Chain, found: Effective, ruleset: Ruleset, operation: str, change: Change, edition: str, day: int
) -> Effective:
    part = ruleset.parts[operation, found.id]
    stale = _outdated(chain, found, ruleset, change, edition)
    if operation != "amend":
        what = f"{operation}n" if operation == "withdraw" else f"{operation}d"
        step = Step(ruleset.id, part, what, "", None, None, change.reason)
        return found._replace(withdrawn=operation == "withdraw", steps=(*found.steps, step), stale=stale or found.stale)
    assert isinstance(change, Amendment)
    as_the_place_asks = _the_stricter(chain, found, ruleset, change, edition, day)
    if as_the_place_asks is not None:
        return as_the_place_asks
    if change.only_weighs:  # it holds whatever the rule asks by now
        stale = ""
    fields, grown = change.set, list[Grown]()
    if change.add and isinstance(found.data, Rule):
        lists = {"applies_when": found.data.applies_when or [], "require": found.data.require}
        more, grown = added(lists, change.add)
        fields = {**fields, **more}
    data = found.data.changed(fields)
    steps = [
        Step(ruleset.id, part, "amended", field, getattr(found.data, field), fields[field], change.reason)
        for field in fields
    ]
    inside = Part(part.document, (*part.path, "set"))
    more_of = Part(part.document, (*part.path, "add"))
    kept = [one for one in found.grown if one[1].at[0] not in change.set]
    amended = found.amended if change.only_weighs else (*found.amended, Amended(ruleset, change, found.data))
    return found._replace(
        data=data,
        steps=(*found.steps, *steps),
        parts={**found.parts, **dict.fromkeys(change.set, inside)},
        stale=stale or found.stale,
        amended=amended,
        grown=(*kept, *((more_of, one) for one in grown)),
    )


def _outdated(chain: Chain, found: Effective, ruleset: Ruleset, change: Change, edition: str) -> str:
    """Why a change cannot be trusted any more; empty where it can."""
    expected = change.meaning.get(edition) or change.meaning[NO_EDITION]
    if expected == meaning_of(chain, found, edition) or _on_top(chain, found, ruleset, change, edition):
        return ""
    kind = "rule" if isinstance(found.data, Rule) else f"limit '{found.id}'"
    return f"{ruleset.id} changes this {kind} as it was before; what it changes has since been changed underneath"


def _on_top(chain: Chain, found: Effective, ruleset: Ruleset, change: Change, edition: str) -> bool:
    """Whether a group's change is bound to what its home wrote and stands beside whatever a place makes of it."""
    if not stands_over_all(ruleset) or not isinstance(change, Amendment):
        return False
    expected = change.meaning.get(edition) or change.meaning[NO_EDITION]
    if isinstance(found.data, Rule):
        beside = change.add is not None and not change.set
    else:
        beside = change.direction == "stricter" and set(change.set) <= {"values"}
    return beside and expected == meaning_of(chain, found._replace(data=_as_its_home_wrote_it(found)), edition)


def _as_its_home_wrote_it(found: Effective) -> Rule | Limit:
    return found.home.rules[found.id] if isinstance(found.data, Rule) else found.home.limits[found.id]


def _the_stricter(
    chain: Chain, found: Effective, ruleset: Ruleset, change: Amendment, edition: str, day: int
) -> Effective | None:
    """A limit that the place and a group's ruleset on top of it both set, as the place leaves it, where that asks more.

    None where the group's value holds.
    """
    first = _as_its_home_wrote_it(found)
    if not isinstance(found.data, Limit) or not isinstance(first, Limit) or found.data is first:
        return None
    if not _on_top(chain, found, ruleset, change, edition):
        return None
    part, group = ruleset.parts["amend", found.id], first.changed(change.set)
    less = asks_no_more(first, found.data, group, On(None if edition == NO_EDITION else edition, day))
    if less is False:
        return None
    step = Step(ruleset.id, part, NO_MORE, "values", found.data.values, change.set["values"], change.reason)
    lowest, *others = found.amended
    amended = (Amended(ruleset, change, lowest.below), lowest._replace(below=group), *others)
    unsure = (
        f"{ruleset.id} and {lowest.ruleset.id} both set the limit '{found.id}', and nobody can tell which is stricter"
    )
    return found._replace(
        steps=(*found.steps, step),
        amended=amended,
        stale=unsure if less is None else found.stale,
        undecided=less is None,
    )


def withdrawal(chain: Chain, found: Effective) -> str:
    """Who withdrew a rule, why and on what ground, in a sentence or two."""
    last = next(step for step in reversed(found.steps) if step.what == "withdrawn")
    ruleset = chain.by_id[last.ruleset]
    documents = chain.documents(ruleset.id)
    ground = "; ".join(
        f"{documents.get(cited.document, cited.document)}, {cited.section}"
        for cited in ruleset.withdraw[found.id].citation
    )
    return f"Withdrawn by {ruleset.id} ({ground}): {' '.join(last.why.split()).rstrip('.')}."


def meaning_of(chain: Chain, found: Effective, edition: str) -> str:
    """The digest of what a rule or limit asks under an edition: what an amendment of it has to name."""
    return meaning(found.data, edition, chain.limits)
