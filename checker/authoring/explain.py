"""A rule as it stands after layering, and with a job the working: every name, value, unit, limit, margin, doubt."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any

from checker.engine.checker import Checker
from checker.engine.variants import Variant
from checker.findings import named_facts, wording, workings
from checker.findings.finding import Finding
from checker.judging.judge import judge
from checker.problems.problem import did_you_mean, refused
from checker.reading.job import Job
from checker.reporting.words import cited, compared, explained, limit_said
from checker.rulesets.chain import Chain
from checker.rulesets.layering import NO_EDITION, Effective, effective, meaning_of
from checker.rulesets.models import Limit, LimitValue, Rule
from checker.rulesets.remedy_words import spoken
from checker.rulesets.ruleset import caution_of, edition_within

# Whose acceptance of a failure counts; any office's of the place goes without saying.
LET_OFF = {"local": "", "state": "; only a state office can accept it", "none": "; no office can accept it"}


def rule_text(checker: Checker, place: str, rule_id: str, day: int) -> str:
    """The rule or limit in force at a place, who changed it and why, and its sections or values by edition.

    Raises:
        ProblemsFound: There is no such rule there.
    """
    chain = checker.chain(place)
    if ("limits", rule_id) in chain.homes:
        return "\n".join(_limit_lines(chain, rule_id, day)) + "\n"
    if ("rules", rule_id) not in chain.homes:
        known = did_you_mean(rule_id, [*chain.rule_ids, *chain.limit_names])
        raise refused(rule_id, "There is no such rule here.", known or "'changeout rules overview' names them.")
    return "\n".join(_rule_lines(chain, rule_id, day)) + "\n"


def _rule_lines(chain: Chain, rule_id: str, day: int) -> Iterator[str]:
    home = chain.homes["rules", rule_id]
    editions = list(home.header.editions) or [NO_EDITION]
    in_force = chain.edition_on(home.id, day) or editions[-1]
    layered = effective(chain, "rules", rule_id, {home.id: in_force}, day)
    rule = layered.data
    assert isinstance(rule, Rule)
    yield f"{rule_id}: {rule.title}" + (" (withdrawn)" if layered.withdrawn else "")
    by = "none" if home.header.owner_kind == "federal" else rule.acceptable_by
    life_safety = "; life safety" if rule.life_safety else ""
    yield f"  {rule.topic}; {rule.obligation}; {rule.weight}{life_safety}{LET_OFF[by]}"
    yield f"  {' '.join(rule.intent.split())}"
    yield from _conditions(rule)
    yield from _work(chain, layered, rule)
    yield "  Sections by edition:"
    documents = chain.documents(layered.set_by("citation"))
    for edition in editions:
        if edition_within(rule.editions, edition) or edition == NO_EDITION:
            sections = [
                f"{documents.get(c.document, c.document)} {c.section} ({c.section_sure}; requirement {c.requirement_sure})"
                for c in rule.citation
                if edition_within(c.editions, edition)
            ]
            yield f"    {edition}: {'; '.join(sections)} [{_meanings(chain, rule_id, edition, day)}]"
    yield from _laws(chain, layered, rule, day)
    yield from _grounds(chain, layered)
    yield "  Where it comes from:"
    yield from _steps(layered)


def _laws(chain: Chain, layered: Effective, rule: Rule, day: int) -> Iterator[str]:
    """The sections by which codes make the rule law: of a code that is adopted, those of the edition in force."""
    laws = chain.laws(rule, layered.home)
    if laws:
        yield "  Made law, where the code is adopted, by:"
    for law in laws:
        edition, documents = chain.edition_on(law.code, day), chain.documents(law.code)
        if edition is None or edition_within(law.editions, edition):
            which = edition or law.editions
            named = " ".join(filter(None, (documents.get(law.document, law.document), which, law.section)))
            yield f"    {law.code}: {named} ({law.section_sure}; requirement {law.requirement_sure})"


def _work(chain: Chain, layered: Effective, rule: Rule) -> Iterator[str]:
    """Lines for the remedy, what to bring, and every caution."""
    for heading, words in (("Failure", rule.failed), ("What to do", rule.remedy), ("What to bring", rule.bring)):
        texts = spoken(words)
        yield from (f"  {heading}: {text}" for text in texts)
    named = (caution_of(chain.by_id, layered.set_by("caution"), key) for key in rule.cautions)
    yield from (f"  Caution: {caution[1]}" for caution in named if caution)


def _limit_lines(chain: Chain, name: str, day: int) -> Iterator[str]:
    home = chain.homes["limits", name]
    layered = effective(chain, "limits", name, {home.id: chain.edition_on(home.id, day)}, day)
    limit = layered.data
    assert isinstance(limit, Limit)
    yield f"{name}: {limit.title}" + (" (left to the place)" if limit.open and not limit.values else "")
    documents = chain.documents(layered.set_by("values"))
    for value in limit.values:
        period = " ".join(
            filter(
                None, (f"from {value.starts}" if value.starts else "", f"until {value.until}" if value.until else "")
            )
        )
        amount = f"a table of {len(value.rows)} rows" if value.rows else value.value
        yield f"  {amount} {limit.unit}".rstrip() + "".join(f", {part}" for part in (value.editions, period) if part)
        document = f"{documents.get(value.document, value.document)}, " if value.document else ""
        yield f"    {document}{' '.join(value.source.split())} ({value.sure})"
    yield from _grounds(chain, layered)
    yield "  Meaning by edition:"
    for edition in list(home.header.editions) or [NO_EDITION]:
        yield f"    {edition}: {_meanings(chain, name, edition, day, 'limits')}"
    yield "  Where it comes from:"
    yield from _steps(layered)


def _grounds(chain: Chain, layered: Effective) -> Iterator[str]:
    """The sections by which other rulesets changed a rule or a limit."""
    for one in layered.amended:
        documents = chain.documents(one.ruleset.id)
        for ground in one.change.citation:
            section = f"{documents.get(ground.document, ground.document)} {ground.section}"
            yield f"  Changed by {one.ruleset.id}: {section} ({ground.section_sure})"


def _meanings(chain: Chain, name: str, edition: str, day: int, section: str = "rules") -> str:
    """The digest that an amendment names; and a second one, where a layer changed the rule or limit already."""
    home = chain.homes[section, name]
    after = effective(chain, section, name, {home.id: edition}, day)
    own = after._replace(data=home.rules[name] if section == "rules" else home.limits[name])
    digests = [meaning_of(chain, one, edition) for one in (own, after)]
    return f"meaning {digests[0]}" + (f", after layering {digests[1]}" if digests[1] != digests[0] else "")


def _conditions(rule: Rule) -> Iterator[str]:
    if rule.for_each:
        yield f"  For each of {rule.for_each}:"
    for field in ("applies_when", "verify_when", "where", "require"):
        value: Any = getattr(rule, field)
        if value:
            yield f"  {field}:"
            yield from nested(value, 4)


def nested(value: Any, indent: int) -> Iterator[str]:
    """Conditions as lines, what is inside one two further in."""
    pairs = value.items() if isinstance(value, dict) else [("-", item) for item in value]
    for name, item in pairs:
        mark = "- " if name == "-" else f"{name}: "
        if isinstance(item, LimitValue):
            item = item.as_data()
        if isinstance(item, str):
            yield f"{' ' * indent}{mark}{' '.join(item.split())}"
        else:
            yield f"{' ' * indent}{mark}".rstrip()
            yield from nested(item, indent + 2)


def _steps(layered: Effective) -> Iterator[str]:
    for step in layered.steps:
        field = f" '{step.field}'" if step.field else ""
        yield f"    {step.ruleset} {step.place}: {step.what}{field}" + (
            f"{' by' if step.what.startswith('answered') else ' because'} {' '.join(step.why.split())}"
            if step.why
            else ""
        )
        for label, value in (("was", step.old), ("is", step.new)) if step.field else ():
            yield f"      {label}:" + ("" if isinstance(value, list | dict) else f" {value}")
            if isinstance(value, list | dict):
                yield from nested(value, 8)
    if layered.stale:
        yield f"    Stale: {layered.stale}."


def working_text(checker: Checker, job: Job, rule_id: str, on: datetime.date) -> str:
    """The working of one rule on one job."""
    lines = [f"Not judged on this job: {why}" for why in checker.why_left_out(job, rule_id, on)]
    for variant, findings in () if lines else checker.explained(job, rule_id, on):
        lines += [f"Under {variant.setting.label or 'these rulesets'}:"]
        lines += list(_variant_lines(checker, job, variant)) if variant.rule else ["  not in force"]
        for finding in findings:
            lines += _finding_lines(finding)
    lines += filter(None, [explained("".join(lines))])
    return "\n".join(lines or ["The rule is not in force here."]) + "\n"


def _variant_lines(checker: Checker, job: Job, variant: Variant) -> Iterator[str]:
    rule = variant.rule
    assert rule is not None
    accuracy, facts = checker.seen(job)
    for judged in judge(rule, facts, accuracy):
        if judged.place.key:
            yield f"  [{judged.place.key}]"
        for path in named_facts.facts_named(rule, judged.scope):
            reading = job.readings.get(path)
            yield f"  {path} = {reading.written if reading else 'not recorded'}"
        for name, value in rule.where.items():
            yield f"  {name} = {wording.shown(value, *rule.units[name], judged.scope, job) or 'not known'}"
        for working in workings.workings(rule, judged.scope, job, accuracy):
            parts = [f"{working.text}: {working.holds}", compared(working) if working.values else ""]
            parts += [f"margin {working.margin}"] if working.margin else []
            parts += (
                [f"uncertainty {working.uncertainty}, probability of conformity {working.probability}"]
                if working.uncertainty
                else []
            )
            parts += [working.note] if working.note else []
            yield "  " + "; ".join(filter(None, parts))


def _finding_lines(finding: Finding) -> list[str]:
    lines = [
        f"  → {finding.outcome}" + (f" ({finding.reason})" if finding.reason else "") + f"; {cited(finding.citations)}"
    ]
    lines += [
        f"    missing: {need.fact} ({need.title})" + (f"; {need.detail}" if need.detail else "")
        for need in finding.needs
    ]
    lines += [
        f"    {text}"
        for text in (finding.message, finding.remedy if finding.outcome != "pass" else "", *finding.notes)
        if text
    ]
    lines += [f"    limit {limit.name}: {limit_said(limit)}" for limit in finding.limits]
    return [*lines, f"    finding {finding.finding_id}, evidence {finding.evidence_digest}"]
