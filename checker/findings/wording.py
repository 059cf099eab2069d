"""A verdict in words: messages filled in, the comparisons that were made, what to record, and how sure it is."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from checker.findings import limits_used
from checker.findings.finding import UNSTATED, Evidence, Need, Working
from checker.ir import tree
from checker.ir.kleene import NONE, Evaluated, Nothing, Range, Scope, Unknown
from checker.ir.node import kept, replace
from checker.ir.references import facts_read
from checker.ir.visitor import single_conditions, walk
from checker.judging.conditions import combinations, open_choices, truth
from checker.judging.judge import Verdict
from checker.judging.uncertainty import AccuracyOf, Margin, margin
from checker.judging.values import evaluate
from checker.problems.document import is_position
from checker.problems.sanitize import in_case, low
from checker.reading import units
from checker.reading.fact_shapes import pattern
from checker.reading.job import Job
from checker.rulesets import limits as limit_values
from checker.trade import functions
from checker.trade.function import Function, OutOfRange

BEYOND = "how sure the reading is cannot be told: its accuracy reaches beyond what the rule can work out"


def measurement_notes(workings: tuple[Working, ...]) -> Iterator[str]:
    """What the comparisons say of their own readings, the unstated accuracies in one line."""
    notes = [working.note for working in workings if working.note]
    yield from (note for note in notes if not note.startswith(UNSTATED))
    unstated = [note.removeprefix(UNSTATED) for note in notes if note.startswith(UNSTATED)]
    names = dict.fromkeys(name for note in unstated for name in note.split(", "))
    if names:
        yield UNSTATED + ", ".join(names)


def too_close_notes(workings: tuple[Working, ...]) -> Iterator[str]:
    """Why a reading has to be taken again: how near its limit it is, and how far off the instrument may be."""
    for one in workings:
        if one.near:
            yield (
                f"{' against '.join(one.values)} is too close to tell: the reading may be off by {one.uncertainty}. "
                "Get farther inside the limit, or measure with a better instrument."
            )


def filled(sentences: tuple[tree.Sentence, ...], scope: Scope, job: Job, blank: str = "") -> str:
    """A message on one job.

    A sentence with a value in it that is not known, or is known to be none, is left out; if nothing else is left, those
    with a none are said after all. With a `blank`, what is not known is left blank and the sentence stays.
    """
    full = [sentence for sentence in sentences if not _with_none(sentence, scope)]
    said = []
    for sentence in full or sentences:
        parts = [
            part if isinstance(part, str) else shown(part.value, part.unit, part.digits, scope, job) or blank or None
            for part in sentence
        ]
        if None not in parts:
            said.append("".join(str(part) for part in parts))
    return " ".join(said)


def chosen(ways: tuple[tree.Way, ...], scope: Scope, told: Scope, job: Job, blank: str = "") -> str:
    """What the facts leave of a remedy's alternatives: the first that holds, each before it that is open with its condition.

    Args:
        scope: What is recorded; by it the alternatives are chosen.
        told: The same, or a filling-in of what is not recorded; by it the sentences are filled in.
    """
    said: list[str] = []
    for way in ways:
        held = truth(way.condition, scope)
        words = filled(way.say, told, job, blank) if held is not False else ""
        if words:
            said.append(in_case("" if held is True else way.words, bool(said), words))
        if held is True:
            break
    return " ".join(said)


def headline(rule: tree.BoundRule, told: Scope, job: Job) -> str:
    """What is wrong, in a few words: the first alternative that holds, without what stands behind its colon where a value
    there is not known; the title of a rule that has none."""
    for way in rule.failed:
        if truth(way.condition, told) is True:
            said = ["" if _with_none(end, told) else filled((end,), told, job) for end in way.say]
            if said[0]:
                return ": ".join(filter(None, said))
    return rule.title


def sayable(sentences: tuple[tree.Sentence, ...], scope: Scope) -> int:
    """How many sentences have a value for every place in them, one that is recorded or worked out."""
    values = [
        [_sayable(part.value, scope) for part in sentence if isinstance(part, tree.Hole)] for sentence in sentences
    ]
    return sum(not any(isinstance(value, Nothing | Unknown) for value in sentence) for sentence in values)


def _sayable(value: tree.Value, scope: Scope) -> Evaluated:
    """What a value comes to, but nothing for a fact that is only assumed."""
    assumed = isinstance(value, tree.Fact) and scope.path(value) in scope.assumed
    return NONE if assumed else evaluate(value, scope)


def _with_none(sentence: tree.Sentence, scope: Scope) -> bool:
    return any(isinstance(part, tree.Hole) and isinstance(evaluate(part.value, scope), Nothing) for part in sentence)


def shown(value: tree.Value, unit: str, digits: int | None, scope: Scope, job: Job) -> str | None:
    """A value as a person reads it: a recorded fact as it was written; None where it is not known, or only assumed."""
    found = evaluate(value, scope)
    if isinstance(value, tree.Fact):
        if scope.path(value) in scope.assumed:
            return None
        reading = job.readings.get(scope.path(value))
        if reading and not scope.moved:
            return reading.written
    return written(found, value.kind, unit, digits)


def written(found: Evaluated, kind: str, unit: str, digits: int | None) -> str | None:
    if isinstance(found, Nothing):
        return "none"
    if isinstance(found, Unknown):
        return None
    if isinstance(found, Range):
        ends = [written(end, kind, unit, digits) if math.isfinite(end) else "" for end in (found.low, found.high)]
        return f"{ends[0]} or more" if not ends[1] else f"{ends[0]} to {ends[1]}"
    return limit_values.shown(found, kind, unit, digits)


def evidence(paths: list[str], job: Job) -> tuple[Evidence, ...]:
    """The recorded facts among those that a rule names."""
    found = {}
    for path in paths:
        reading = job.readings.get(path)
        if reading:
            found[path] = Evidence(path, job.vocabulary.title(path), reading.written, reading.origin)
    return tuple(found.values())


def inherited(paths: list[str], job: Job) -> Iterator[str]:
    """Which of the facts that a rule names stand elsewhere than in the job, by where they stand."""
    found: dict[str, list[str]] = {}
    for path in paths:
        reading = job.readings.get(path)
        if reading and reading.origin:
            found.setdefault(reading.origin, []).append(low(job.vocabulary.title(path)))
    yield from (f"inherited {origin}: {', '.join(titles)}" for origin, titles in found.items())


def doubted(paths: list[str], doubts: Mapping[str, str]) -> Iterator[str]:
    """Why some of the readings that a rule names may not be right."""
    yield from (f"Look at the readings first: {doubts[path]}." for path in paths if path in doubts)


def facts_named(rule: tree.BoundRule, scope: Scope) -> list[str]:
    """Every fact a rule names, recorded or not, sorted."""
    return sorted({path for node in rule.conditions for path in facts_read(node, scope)})


def needs(verdict: Verdict, job: Job) -> tuple[Need, ...]:
    """What to record, with the question in trade words."""
    details = {cause.fact: cause.detail for cause in sorted(verdict.causes) if cause.detail}
    found = []
    for path in verdict.needs:
        leaf = job.vocabulary.leaf(path)
        entry = leaf or job.vocabulary.lists.get(pattern(path))
        detail = details.get(path, "") or (
            f"noted as not known: {job.not_known[path]}" if path in job.not_known else ""
        )
        title, ask, known = (entry.title, entry.ask, leaf.known if leaf else "") if entry else (path, "", "")
        stage = leaf.stage if leaf else len(job.vocabulary.stages) - 1
        by_manual, station = job.vocabulary.holds(path, "manual"), job.vocabulary.station(path).place
        found.append(Need(path, title, ask, detail, known, by_manual, stage, station))
    return tuple(found)


def station(paths: list[str], job: Job) -> int:
    """The place of the station that most of some facts have, the later one of two.

    What was replaced is asked of almost every rule and is seen everywhere: it does not count where there is more.
    """
    section = f"{job.at('scope')}."
    telling = [path for path in paths if not path.startswith(section)] or paths
    counted = Counter(job.vocabulary.station(path).place for path in telling)
    return max(counted, key=lambda place: (counted[place], place), default=0)


def workings(rule: tree.BoundRule, scope: Scope, job: Job, accuracy: AccuracyOf) -> tuple[Working, ...]:
    """Each comparison a rule requires, with its values, margin and uncertainty."""
    return tuple(working(node, rule, scope, job, accuracy) for node in single_conditions(rule.require))


def working(node: Any, rule: tree.BoundRule, scope: Scope, job: Job, accuracy: AccuracyOf) -> Working:
    """One comparison or other condition as it was made."""
    held = truth(node, scope)
    holds = "not known" if isinstance(held, Unknown) else "holds" if held else "does not hold"
    limits = limits_used.compared(node, rule, scope)
    if not isinstance(node, tree.Compare):
        fact = getattr(node, "fact", None) or (node.value if isinstance(node, tree.Truth | tree.Member) else None)
        if fact is None:
            return Working(node.text, (), (), holds, limits=limits)
        said = shown(fact, *_unit(fact, rule, job, scope), scope, job) or "not recorded"
        return Working(node.text, (said,), (), holds, limits=limits)
    unit, digits = _unit_of_all(node, rule, job, scope)
    values = tuple(amount_shown(part, node, rule, scope, job) or "not recorded" for part in node.operands)
    made = Working(node.text, values, node.operators, holds, limits=limits)
    if node.kind not in units.kinds():
        return made
    made = made._replace(amounts=_amounts(node, unit, scope), unit=unit)
    found = margin(node, scope, accuracy)
    return _with_margin(made, node, found, unit, digits, job) if found else made


def amount_shown(part: tree.Value, node: tree.Compare, rule: tree.BoundRule, scope: Scope, job: Job) -> str | None:
    """One side of a comparison as a person reads it, in its own unit or that of the other side; None if not known."""
    unit, digits = _unit(part, rule, job, scope)
    if not unit:
        unit, digits = _unit_of_all(node, rule, job, scope)
    return shown(part, unit, digits, scope, job)


def _amounts(node: tree.Compare, unit: str, scope: Scope) -> tuple[float | None, ...]:
    """What is compared, as numbers in a unit; None where a value is not known."""
    of = units.find_unit(node.kind, unit) or units.base_unit(node.kind)
    found = [evaluate(part, scope) for part in node.operands]
    return tuple(
        units.from_base(value, of) if isinstance(value, float | int) and not isinstance(value, bool) else None
        for value in found
    )


def _with_margin(
    working: Working, node: tree.Compare, found: Margin, unit: str, digits: int | None, job: Job
) -> Working:
    kind = units.DIFFERENCE_OF.get(node.kind, node.kind)
    if kind != node.kind:
        unit = _difference_unit(node.kind, unit)
    said = units.write_amount(found.amount, kind, unit, digits)
    if found.standard == 0.0:
        return working._replace(margin=said)
    if found.expanded is None and not found.unstated:
        return working._replace(margin=said, note=BEYOND)
    if found.expanded is None:
        names = ", ".join(low(job.vocabulary.title(path)) for path in found.unstated)
        return working._replace(margin=said, note=f"{UNSTATED}{names}")
    near = abs(found.amount) < found.expanded
    note = f"margin {said} is closer to the limit than the instruments can tell" if near else ""
    probability = f"{found.probability:.3f}" if found.probability is not None else ""
    return working._replace(
        margin=said,
        uncertainty=f"±{units.write_amount(found.expanded, kind, unit, _two_figures(found.expanded, kind, unit))} (k = 2)",
        probability=probability,
        note=note,
        spread=units.from_base(found.expanded, units.find_unit(kind, unit) or units.base_unit(kind)),
    )


def _two_figures(amount: float, kind: str, unit: str) -> int:
    """Digits after the point that show an uncertainty with two figures."""
    size = abs(units.from_base(amount, units.find_unit(kind, unit) or units.base_unit(kind)))
    return max(0, 1 - math.floor(math.log10(size))) if size > 0 else 0


def _difference_unit(kind: str, unit: str) -> str:
    same = {
        "degF": "delta_degF",
        "degC": "delta_degC",
        "K": "delta_degC",
        "psig": "psi",
        "kPag": "kPa",
        "micron": "micron_rise",
    }
    return same.get(
        unit, units.base_unit(units.DIFFERENCE_OF[kind]).name if units.DIFFERENCE_OF[kind] in units.kinds() else "day"
    )


def _unit(value: tree.Value, rule: tree.BoundRule, job: Job, scope: Scope) -> tuple[str, int | None]:
    if isinstance(value, tree.Named):
        return rule.units.get(value.name, ("", None))
    if isinstance(value, tree.Constant):
        return value.unit, None
    leaf = job.vocabulary.leaf(scope.path(value)) if isinstance(value, tree.Fact) else None
    return (leaf.unit, leaf.digits if leaf.measured else None) if leaf else ("", None)


def _unit_of_all(node: tree.Compare, rule: tree.BoundRule, job: Job, scope: Scope) -> tuple[str, int | None]:
    found = [_unit(part, rule, job, scope) for part in node.operands]
    unit = next((unit for unit, _ in found if unit), "")
    digits = [d for _, d in found if d is not None]
    return unit, max(digits) if digits else None


def remarks(rule: tree.BoundRule, scope: Scope) -> Iterator[str]:
    """What functions say of their own results, such as that a value was interpolated."""
    for call in _calls_with_remarks(rule):
        function = functions()[call.function]
        values = [evaluate(argument, scope) for argument in call.arguments]
        if not any(isinstance(value, Unknown | Range | Nothing) for value in values):
            yield from _remark(function, values)


def _remark(function: Function, values: list[Any]) -> Iterator[str]:
    try:
        said = function.remark(*values) if function.remark else None
    except OutOfRange:  # the value itself is unknown then, and says why
        return
    if said:
        yield said


@kept
def _calls_with_remarks(rule: tree.BoundRule) -> tuple[tree.Call, ...]:
    """The calls in a rule, of functions that have something to say."""
    parts = (rule.applies, rule.require, *rule.where.values())
    calls = (one for node in parts for one in walk(node) if isinstance(one, tree.Call))
    return tuple(one for one in calls if functions()[one.function].remark)


def section(citation: tree.Citation) -> str:
    """Document, edition and section: `NEC 2020, 440.22(A)`."""
    edition = f" {citation.edition}" if citation.edition else ""
    return f"{citation.document}{edition}, {citation.section}"


def merged_citations(each: list[tuple[tree.Citation, ...]]) -> tuple[tree.Citation, ...]:
    """The citations of several editions that say the same, each section once with the editions it holds in."""
    found: dict[tree.Citation, list[str]] = {}
    for citations in each:
        for citation in citations:
            found.setdefault(replace(citation, edition=""), []).append(citation.edition)
    return tuple(replace(c, edition=_span(list(dict.fromkeys(editions)))) for c, editions in found.items())


def _span(editions: list[str]) -> str:
    return editions[0] if len(editions) == 1 else f"{editions[0]} to {editions[-1]}"


def what_failed(rule: tree.BoundRule, scope: Scope, job: Job) -> tuple[str, str, str]:
    """The headline, what is wrong and what to do, with what the branches of an `any_of` say of themselves.

    A failure that holds however something unrecorded is filled in is told as the filling-in that says most.
    """
    choices = open_choices([rule.applies, rule.require], scope)
    scopes = [scope.assuming(world) for world in combinations(choices)] if choices else [scope]
    told = max(scopes, key=lambda one: sayable(rule.on_fail, one)) if len(scopes) > 1 else scope
    failed, remedies = branch_words(rule, scope, told, job)
    message = " ".join(filter(None, (filled(rule.on_fail, told, job), failed)))
    remedy = chosen(rule.remedy, scope, told, job)
    return headline(rule, told, job), message, " ".join(filter(None, (remedy, remedies)))


def branch_words(rule: tree.BoundRule, scope: Scope, told: Scope, job: Job) -> tuple[str, str]:
    """The messages and remedies that the branches of a failing `any_of` carry; `scope` and `told` as in `chosen`."""
    failed, remedies = [], []
    for node in rule.require.conditions:
        if not isinstance(node, tree.AnyOf) or truth(node, told) is not False:
            continue
        for branch in node.branches:
            failed.append(_prefixed(branch.option, filled(branch.on_fail, told, job)))
            remedies.append(_prefixed(branch.option, chosen(branch.remedy, scope, told, job)))
    return " ".join(filter(None, failed)), " ".join(filter(None, remedies))


def _prefixed(option: str, words: str) -> str:
    return f"{option}: {words}" if option and words else words


def canonical(paths: list[str], job: Job, doubts: Mapping[str, str]) -> Mapping[str, str]:
    """Facts as evidence is bound by them: the same whatever layout, order of items or unit the job used.

    A reading that is doubted is other evidence than the same reading that is not.
    """
    found = {}
    for path in paths:
        value = job.value(path)
        told = (
            "unrecorded" if value is None else repr(units.settled(value)) if isinstance(value, float) else repr(value)
        )
        found[_by_keys(path, job)] = f"doubted: {told}" if path in doubts else told
    return found


def _by_keys(path: str, job: Job) -> str:
    """A path with the keys of list items in the place of their positions."""
    parts = path.split(".")
    named = [
        job.lists[".".join(parts[:i])][int(part)] if is_position(part) and ".".join(parts[:i]) in job.lists else part
        for i, part in enumerate(parts)
    ]
    return "/".join(named)
