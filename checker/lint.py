"""Everything that is wrong with rulesets and can be known without a job.

For each place that is covered, for a place that nobody covers, and for each ruleset that stands in none of these: the
chain, and every rule under every edition and in every period. For each ruleset: its header, limits and tables.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

from checker import expression, limits, units
from checker.bind import bind
from checker.case_gaps import gaps
from checker.check import Checker
from checker.expression import ExpressionError
from checker.layer_limits import chain_problems
from checker.layers import NO_EDITION, Chain, chain, effective, meaning_of
from checker.limits import LimitError
from checker.names import Context
from checker.periods import FIRST_DAY, first_days, settings
from checker.problems import Problem, ProblemsFound, did_you_mean
from checker.resolve import Resolver
from checker.rule import Change, Limit, LimitValue
from checker.ruleset import Part, Ruleset, edition_within


def problems(checker: Checker) -> list[Problem]:
    """Every problem of the rulesets of a library, in the order of their texts."""
    found: list[Problem] = []
    for ruleset in checker.library.rulesets.values():
        found += _header_problems(checker, ruleset)
        found += (problem for name in ruleset.limits for problem in _limit_problems(ruleset, name))
    if found:  # a rule that stands on a limit that cannot be read would only say so again
        return ProblemsFound(found).problems
    for one in _chains(checker, found):
        wrong = list(chain_problems(one))
        found += wrong
        if wrong:  # layers that do what they may not leave nothing to bind
            continue
        for rule_id in one.rule_ids:
            found += _rule_problems(checker, one, rule_id)
        found += _stale(one)
        found += _lapsed(one)
        found += _written_for_problems(checker, one)
    if not found:  # a rule that cannot be judged has no cases that try it
        for ruleset in checker.library.rulesets.values():
            found += gaps(checker, ruleset)
    return ProblemsFound(found).problems


def _chains(checker: Checker, problems: list[Problem]) -> Iterator[Chain]:
    """The chain of every place, of none, and of each ruleset that is in none of these; the others noted."""
    library = checker.library
    places = sorted({place for ruleset in library.rulesets.values() for place in ruleset.header.covers})
    seen: set[str] = set()
    for place, wanted in [
        *((place, checker.wanted) for place in ("", *places)),
        *(("", (name,)) for name in library.rulesets),
    ]:
        if wanted and wanted != checker.wanted and wanted[0] in seen:
            continue
        try:
            found = chain(library, place, wanted)
        except ProblemsFound as error:
            problems += error.problems
            continue
        seen |= set(found.by_id)
        yield found


# --- headers ---------------------------------------------------------------------------------------------------------


def _header_problems(checker: Checker, ruleset: Ruleset) -> Iterator[Problem]:
    part, vocabulary, header = ruleset.parts["header", ""], checker.vocabulary, ruleset.header
    for index, adoption in enumerate(header.adopts):
        code = checker.library.rulesets.get(adoption.code)
        if code is None or adoption.edition not in code.header.editions:
            what = f"There is no edition {adoption.edition} of '{adoption.code}' here."
            mend = (
                f"Editions: {', '.join(code.header.editions)}."
                if code
                else did_you_mean(adoption.code, checker.library.rulesets)
            )
            yield part.problem(("adopts", index, "edition" if code else "code"), what, mend or "Name its ruleset.")
        yield from _not_a_date(checker, part, ("adopts", index, "counts"), adoption.counts)
        yield from _backwards(part, ("adopts", index, "until"), adoption.starts, adoption.until)
    for path, ends in header.possible.items():
        leaf = vocabulary.leaves.get(path)
        if leaf is None or leaf.kind not in units.kinds():
            hint = did_you_mean(path, vocabulary.leaves) or "Name a fact that is an amount."
            yield part.problem(("possible", path, "="), f"'{path}' is not a fact with an amount.", hint)
            continue
        for index, text in enumerate(ends):
            try:
                units.read_amount(text, leaf.kind, leaf.unit)
            except units.UnitError as error:
                yield part.problem(("possible", path, index), error.what, error.mend)


def _not_a_date(checker: Checker, part: Part, at: tuple[str | int, ...], path: str) -> Iterator[Problem]:
    dates = [leaf.path for leaf in checker.vocabulary.leaves.values() if leaf.kind == "date"]
    if path not in dates:
        yield part.problem(
            at, f"'{path}' is not a date of a job.", did_you_mean(path, dates) or f"One of: {', '.join(dates[:8])}."
        )


def _backwards(part: Part, at: tuple[str | int, ...], starts: str | None, until: str | None) -> Iterator[Problem]:
    if starts and until and limits.day_number(until) <= limits.day_number(starts):
        what = f"This ends on {until}, before it begins on {starts}."
        yield part.problem(at, what, "'from' is the first day and 'until' the first day after.")


# --- limits ----------------------------------------------------------------------------------------------------------


def _limit_problems(ruleset: Ruleset, name: str) -> Iterator[Problem]:
    limit, part = ruleset.limits[name], ruleset.parts["limits", name]
    unread = list(limits.unreadable(limit))
    if unread:
        yield from (part.problem(at, error.what, error.mend) for at, error in unread)
        return
    if not limit.values and not limit.open:
        yield part.problem(("=",), f"The limit '{name}' has no value.", "Add 'values:', or 'open: jurisdiction'.")
    for index, value in enumerate(limit.values):
        yield from _value_problems(limit, value, part, index)
    for (_, first), (index, second) in combinations(enumerate(limit.values), 2):
        if _both_hold(first, second, ruleset.header.editions):
            what = f"Two values of '{name}' hold on the same day: {_shown(first)} and {_shown(second)}."
            yield part.problem(("values", index), what, "Set their dates or their editions apart.")


def _value_problems(limit: Limit, value: LimitValue, part: Part, index: int) -> Iterator[Problem]:
    at = ("values", index)
    yield from _backwards(part, (*at, "until"), value.starts, value.until)
    if (value.rows is None) is bool(limit.keys) or (value.value is None) is not bool(limit.keys):
        wanted, other = ("rows", "value") if limit.keys else ("value", "rows")
        yield part.problem(at, f"This needs '{wanted}:' and no '{other}:'.", "A limit with 'keys:' is a table of rows.")
        return
    if value.rows is not None:
        yield from limits.table_problems(limit, value, part, at)
        return
    for text in [value.value] if isinstance(value.value, str) else value.value or ():
        try:
            limits.read(limit, text)
        except LimitError as error:
            yield part.problem((*at, "value"), error.what, error.mend)


def _both_hold(first: LimitValue, second: LimitValue, editions: list[str]) -> bool:
    shared = not editions or any(
        edition_within(first.editions, edition) and edition_within(second.editions, edition) for edition in editions
    )
    return shared and limits.periods_meet((first.starts, first.until), (second.starts, second.until))


def _shown(value: LimitValue) -> str:
    written = f"'{value.value}'" if isinstance(value.value, str) else "the list or table"
    return f"{written} from {value.starts}" if value.starts else written


# --- rules -----------------------------------------------------------------------------------------------------------


def _rule_problems(checker: Checker, one: Chain, rule_id: str) -> Iterator[Problem]:
    """The mistakes of a rule under any edition and in any period."""
    home = one.homes["rules", rule_id]
    rule, part = home.rules[rule_id], home.parts["rules", rule_id]
    for index, other in enumerate(rule.remedy_after):
        if other not in one.rule_ids:
            hint = did_you_mean(other, one.rule_ids) or "Name a rule that is in force with this one."
            yield part.problem(("remedy_after", index), f"There is no rule '{other}'.", hint)
    if rule.date:
        yield from _not_a_date(checker, part, ("date",), rule.date)
    for in_force, day in settings(one, rule_id):
        found = effective(one, "rules", rule_id, in_force, day)
        yield from bind(found, Context(one, checker.vocabulary, in_force, day))[1]


# --- amendments of what has changed since ----------------------------------------------------------------------------


def _stale(one: Chain) -> Iterator[Problem]:
    for index, ruleset in enumerate(one.rulesets):
        below, here = (Chain(one.rulesets[:end], one.place, one.covered) for end in (index, index + 1))
        for operation in ("amend", "withdraw", "restore"):
            for name, change in getattr(ruleset, operation).items():
                section = "rules" if ("rules", name) in below.homes else "limits"
                if (section, name) in below.homes:
                    part = ruleset.parts[operation, name]
                    yield from _stale_change(below, here, section, name, change, part)


def _stale_change(below: Chain, here: Chain, section: str, name: str, change: Change, part: Part) -> Iterator[Problem]:
    home = below.homes[section, name]
    for named in change.meaning:
        if named not in (*home.header.editions, NO_EDITION):
            what, mend = f"{home.id} has no edition {named}.", f"Editions: {', '.join(home.header.editions)}."
            yield part.problem(("meaning", named, "="), what, mend)
    stale: dict[str, list[str]] = {}
    for edition, day in product(home.header.editions or [NO_EDITION], first_days(here, {name})):
        in_force = {home.id: None if edition == NO_EDITION else edition}
        was, now = (effective(layers, section, name, in_force, day).stale for layers in (below, here))
        if was != now:
            stale.setdefault(edition if edition in change.meaning else NO_EDITION, []).append(edition)
    for key, editions in stale.items():
        under = f" (edition {', '.join(dict.fromkeys(editions))})" if editions != [NO_EDITION] else ""
        what = f"'{name}' no longer asks what it asked when this was written{under}."
        mend = f"Read it again, then write the meaning that 'changeout explain {name}' shows."
        yield part.problem(("meaning", key), what, mend)


def _lapsed(one: Chain) -> Iterator[Problem]:
    """Confirmations of a rule that is not here, or that has since come to mean something else."""
    for ruleset in one.rulesets:
        for name, confirmed in ruleset.confirm.items():
            part = ruleset.parts["confirm", name]
            home = one.homes.get(("rules", confirmed.rule))
            if home is None:
                hint = did_you_mean(confirmed.rule, one.rule_ids) or "'changeout rules list' names the rules."
                yield part.problem(("rule",), f"There is no rule '{confirmed.rule}'.", hint)
                continue
            if confirmed.document not in {cited.document for cited in home.rules[confirmed.rule].citation}:
                what = f"'{confirmed.rule}' does not cite '{confirmed.document}'."
                yield part.problem(("document",), what, "Name a document that it cites.")
            for edition, meant in confirmed.meaning.items():
                found = effective(one, "rules", confirmed.rule, {home.id: edition}, FIRST_DAY)
                if meaning_of(one, found, edition) != meant:
                    what = f"'{confirmed.rule}' no longer means what was confirmed (edition {edition})."
                    mend = "Read the section again and confirm it anew, or take this out."
                    yield part.problem(("meaning", edition), what, mend)


# --- what a ruleset is written for -----------------------------------------------------------------------------------


def _written_for_problems(checker: Checker, one: Chain) -> Iterator[Problem]:
    resolver = Resolver(Context(one, checker.vocabulary, {}, FIRST_DAY))
    for ruleset in one.rulesets:
        for index, line in enumerate(ruleset.header.written_for):
            try:
                resolver.condition(expression.parse_condition(line.when), line.when)
            except ExpressionError as error:
                part = ruleset.parts["header", ""]
                yield part.problem(("written_for", index, "when"), error.what, error.mend, error.column)
