"""What is in force where, when and from whom, as lines of text: rulesets with their editions, rules with who changed them."""

from __future__ import annotations

import datetime
import textwrap
from collections.abc import Iterator
from typing import NamedTuple

from checker.rulesets.chain import Chain
from checker.rulesets.headers import Adoption
from checker.rulesets.layering import NO_EDITION, effective
from checker.rulesets.limits import in_period
from checker.rulesets.models import Change, Rule
from checker.rulesets.ruleset import Ruleset, edition_within

LONGEST_NAME = 44
NARROW = 90


class Line(NamedTuple):
    """A rule on a day: its id, obligation and title, what became of it, and whether it is in force."""

    rule: str
    obligation: str
    title: str
    said: tuple[str, ...]
    holds: bool


def text(chain: Chain, day: int, columns: int) -> str:
    """What is in force at the place of a chain on a day.

    Args:
        day: The day on which an edition, a date or an amendment holds; a job is judged by its own dates.
        columns: The width to keep within.
    """
    shown = [
        line
        for ruleset in chain.rulesets
        for line in (*_heading(chain, ruleset, day, columns), *_rules(chain, ruleset, day, columns))
    ]
    where = f"at {chain.place}" if chain.covered and chain.place else "where nothing is adopted"
    head = f"In force {where} on {_said(day)}; a job is judged by its own dates. The authority having jurisdiction decides."
    return "\n".join([*textwrap.wrap(head, columns), *shown]) + "\n"


def _said(day: int) -> str:
    return datetime.date.fromordinal(day).isoformat()


# --- rulesets --------------------------------------------------------------------------------------------------------


def _heading(chain: Chain, ruleset: Ruleset, day: int, columns: int) -> list[str]:
    header = ruleset.header
    first = f"{ruleset.id} {header.version} ({header.owner_kind}): {header.title}"
    sentences = [first, *filter(None, [_edition(chain, ruleset, day), _answers(ruleset, day)])]
    return ["", *(line for part in sentences for line in textwrap.wrap(part, columns, subsequent_indent="  "))]


def _edition(chain: Chain, ruleset: Ruleset, day: int) -> str:
    """Which edition is in force since when by whose adoption, and which comes next."""
    if not ruleset.header.editions:
        return ""
    adopted = chain.adoptions(ruleset.id)
    if not adopted:
        return f"  No edition is adopted here; there are {', '.join(ruleset.header.editions)}."
    holding = [one for one in adopted if in_period(one.starts, one.until, day)]
    coming = [one for one in adopted if in_period(None, one.starts, day)][:1]
    parts = [f"edition {holding[-1].edition} since {_adoption(chain, holding[-1])}" if holding else "no edition yet"]
    parts += [f"edition {one.edition} from {_adoption(chain, one)}" for one in coming]
    return f"  In force: {'; '.join(parts)}."


def _adoption(chain: Chain, adoption: Adoption) -> str:
    owner = next(ruleset.id for ruleset in chain.rulesets if adoption in ruleset.header.adopts)
    return f"{adoption.starts} ({owner}: {adoption.citation}; decided by {adoption.counts})"


def _answers(ruleset: Ruleset, day: int) -> str:
    held = [one for one in ruleset.answers.values() if in_period(one.first_day, one.until, day)]
    return f"  Answers of the authority recorded: {len(held)}." if held else ""


# --- rules -----------------------------------------------------------------------------------------------------------


def _rules(chain: Chain, ruleset: Ruleset, day: int, columns: int) -> Iterator[str]:
    for rule_id in ruleset.rules:
        yield from _row(line_of(chain, ruleset, rule_id, day), LONGEST_NAME, columns)


def line_of(chain: Chain, ruleset: Ruleset, rule_id: str, day: int) -> Line:
    """A rule as it stands on a day, with who amended, withdrew or restored it, since when and on what ground."""
    edition = chain.edition_on(ruleset.id, day) if ruleset.header.editions else None
    layered = effective(chain, "rules", rule_id, {ruleset.id: edition}, day)
    rule = layered.data
    assert isinstance(rule, Rule)
    remarks = [_change(chain, step.ruleset, rule_id, step.what) for step in layered.steps[1:]]
    remarks += [_limit(chain, name, ruleset, day) for name in sorted(chain.limits_named(rule_id))]
    outside = (
        bool(ruleset.header.editions) and chain.covered and not (edition and edition_within(rule.editions, edition))
    )
    remarks += [f"not in this edition ({rule.editions})"] if outside and edition else []
    remarks += [f"by {rule.date}"] if rule.date else []
    return Line(
        rule_id,
        rule.obligation,
        rule.title,
        tuple(dict.fromkeys(filter(None, remarks))),
        not (outside or layered.withdrawn),
    )


def _change(chain: Chain, owner: str, name: str, what: str) -> str:
    """`amended by lowchime since 2026-07-01 (ordinance 2026-07 section 4)`."""
    ruleset = chain.by_id[owner]
    word = what.split()[0]
    if word == "answered":
        return f"answered by the authority, in {owner}"
    operation = {"amended": "amend", "withdrawn": "withdraw", "restored": "restore"}[word]
    return f"{word} by {owner}{_ground(chain, ruleset, getattr(ruleset, operation)[name])}"


def _limit(chain: Chain, name: str, ruleset: Ruleset, day: int) -> str:
    """Who moved a limit that the rule names; "" where nobody did."""
    home = chain.homes["limits", name]
    edition = chain.edition_on(home.id, day) if home.header.editions else NO_EDITION
    layered = effective(chain, "limits", name, {home.id: edition}, day)
    owners = dict.fromkeys(step.ruleset for step in layered.steps[1:])
    grounds = [f"{owner}{_ground(chain, chain.by_id[owner], chain.by_id[owner].amend[name])}" for owner in owners]
    return f"limit {name} moved by {', '.join(grounds)}" if grounds else ""


def _ground(chain: Chain, ruleset: Ruleset, change: Change) -> str:
    documents = chain.documents(ruleset.id)
    cited = "; ".join(f"{documents.get(one.document, one.document)} {one.section}" for one in change.citation)
    return (f" since {change.starts}" if change.starts else "") + f" ({cited})"


def _row(line: Line, longest: int, columns: int) -> list[str]:
    """A rule on as many lines as it needs: its id and obligation, and beside or under them the rest."""
    beside = columns >= NARROW
    indent = longest + 12 if beside else 6
    first = f"  {line.rule:{longest if beside else 0}}  {line.obligation:6}"
    parts = [line.title + ("" if line.holds else " (not in force)"), *(f"· {part}" for part in line.said)]
    wrapped = [
        text for part in parts for text in textwrap.wrap(part, max(20, columns - indent), subsequent_indent="  ")
    ]
    if not beside or len(line.rule) > longest:
        return [first.rstrip(), *(" " * indent + text for text in wrapped)]
    return [f"{first:{indent}}{wrapped[0]}", *(" " * indent + text for text in wrapped[1:])]
