"""The report as SARIF 2.1.0: each finding a result at the line and column of its fact in the job's file.

What lacks a fact is `open`, what the authority decides or the editions differ on is `review`, a rule that found nothing to
look at is `notApplicable`. A result's fingerprint is its `finding_id`, which knows of no file and no line. What the authority
has accepted is a suppression.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL
from checker.ir.outcomes import FAIL, PASS, TO_DECIDE
from checker.problems.problem import ProblemsFound, Where
from checker.problems.sanitize import inert
from checker.reporting import sarif_frame
from checker.reporting.form import Form, Judged
from checker.reporting.totals import Totals
from checker.reporting.words import (
    NOTHING_JUDGED,
    UNREAD,
    WORRYING,
    accepted,
    answers_in,
    asked,
    cited,
    compared,
    do_label,
    explained,
    limits_apart,
    not_judged,
    put_to,
    telling,
    unread_titles,
    worrying,
)
from checker.rulesets.models import Citation, Rule, spoken
from checker.rulesets.ruleset import caution_of, documents_of

NOT_SUPPRESSED: dict[str, Any] = {"suppressions": []}


class Sarif(Form):
    between = sarif_frame.BETWEEN

    def begin(self) -> str:
        return sarif_frame.begin()

    def job(self, one: Judged) -> str:
        return sarif_frame.BETWEEN.join(map(sarif_frame.text, _results(one)))

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        return sarif_frame.BETWEEN.join(
            sarif_frame.text(sarif_frame.of_problem(READABLE.id, problem) | NOT_SUPPRESSED)
            for problem in found.problems
        )

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        said = {
            "deferral": DEFERRAL,
            "caution": checker.vocabulary.caution,
            "jobs": totals.jobs,
            "unreadable": totals.unreadable,
        }
        return sarif_frame.end(_rules(checker), (), said | totals.outcomes(), whole and not totals.unreadable)


READABLE = sarif_frame.Rule(
    "job-readable",
    "A job can be read and judged",
    f"A rule speaks only of the jobs that its ruleset is written for. {DEFERRAL}",
)

LOOKED_AT = sarif_frame.Rule(
    "fact-looked-at", "What is recorded is looked at by a rule", f"{UNREAD} is told here. {DEFERRAL}"
)


def _results(one: Judged) -> Iterator[dict[str, Any]]:
    report = one.report
    whole = one.where("")
    left_out = not_judged(report) if report.findings or report.not_judged else [NOTHING_JUDGED]
    for said in left_out:
        yield sarif_frame.result(READABLE.id, "fail", inert(said), whole, more=NOT_SUPPRESSED)
    for finding in report.findings:
        yield _result(one, finding, whole)
    for fact, said in zip((u for u in report.unread if u.alarming), worrying(report), strict=True):
        yield sarif_frame.result(
            LOOKED_AT.id, "review", inert(f"{WORRYING}: {said}"), one.where(fact.fact), more=NOT_SUPPRESSED
        )
    rest = unread_titles(report)
    if rest:
        yield sarif_frame.result(
            LOOKED_AT.id, "informational", inert(f"{UNREAD}: {', '.join(rest)}"), whole, more=NOT_SUPPRESSED
        )
    found = report.left_out | {finding.rule for finding in report.findings}
    for rule_id in one.checker.chain(report.place).rule_ids:
        if rule_id not in found:
            said = "Nothing on this job that this rule looks at."
            yield sarif_frame.result(rule_id, "notApplicable", said, whole, more=NOT_SUPPRESSED)


def _result(one: Judged, finding: Finding, whole: Where) -> dict[str, Any]:
    kind = _kind(finding)
    level: sarif_frame.Level = "error" if finding.obligation == "shall" or finding.life_safety else "warning"
    places = _places(one, finding) or [whole]
    suppressed = (
        [{"kind": "external", "status": "accepted", "justification": inert(accepted(finding.acceptance))}]
        if finding.acceptance and finding.accepted
        else []
    )
    more: dict[str, Any] = {
        "fingerprints": {"finding/v1": finding.finding_id},
        "partialFingerprints": {"evidence/v1": finding.evidence_digest},
        "suppressions": suppressed,
    }
    if len(places) > 1:
        more["relatedLocations"] = [sarif_frame.location(place) for place in places[1:]]
    if one.known is not None and finding.outcome != PASS:
        more["baselineState"] = "unchanged" if finding.finding_id in one.known else "new"
    more["properties"] = _properties(one, finding)
    return sarif_frame.result(finding.rule, kind, _message(finding), places[0], level, more)


def _places(one: Judged, finding: Finding) -> list[Where]:
    """Where the facts of a finding stand in the file; where one is wanted, the group that it belongs into."""
    recorded = [where for fact in finding.evidence if _is_at(where := one.where(fact.fact), fact.fact)]
    wanted = [one.where(need.fact) for need in finding.needs]
    return list(dict.fromkeys(recorded if finding.outcome in (PASS, FAIL) else wanted + recorded))


def _is_at(where: Where, fact: str) -> bool:
    """Whether a place is that of a fact itself: an inherited one is not in the file."""
    return where.pointer == "/" + fact.replace(".", "/")


def _kind(finding: Finding) -> sarif_frame.Kind:
    if finding.outcome == PASS:
        return "pass"
    if finding.outcome == FAIL:
        return "fail"
    return "review" if finding.reason in TO_DECIDE else "open"


def _message(finding: Finding) -> str:
    told = [
        finding.message if finding.outcome == FAIL else f"{finding.title}.",
        *(f"{compared(w)}: {w.holds}." for w in finding.workings if telling(w)),
        *(f"Limit: {limit}." for limit in limits_apart(finding, filter(telling, finding.workings))),
        *(f"Record: {asked(need)}" for need in finding.needs),
        f"Ask: {put_to(finding)}" if finding.ask and finding.outcome not in (PASS, FAIL) else "",
        f"{do_label(finding)}: {finding.remedy}" if finding.remedy and finding.outcome == FAIL else "",
        *(f"Caution: {caution.text}" for caution in finding.cautions if finding.outcome != PASS),
        f"{cited(finding.citations)}.",
        *answers_in(finding),
    ]
    return inert(" ".join(filter(None, [*told, explained("".join(told))])))


def _properties(one: Judged, finding: Finding) -> dict[str, Any]:
    said = {
        "job_id": one.report.job_id,
        "item": finding.item,
        "reason": finding.reason,
        "life_safety": finding.life_safety,
    }
    return {name: value for name, value in said.items() if value}


# --- rules -----------------------------------------------------------------------------------------------------------


def _rules(checker: Checker) -> Iterator[sarif_frame.Rule]:
    """Every rule of the rulesets that are here, as its own ruleset has it."""
    yield READABLE
    yield LOOKED_AT
    for ruleset in checker.library.rulesets.values():
        documents = documents_of(checker.library.rulesets, ruleset.id)
        for rule_id, rule in ruleset.rules.items():
            level: sarif_frame.Level = "error" if rule.obligation == "shall" or rule.life_safety else "warning"
            tags = (rule.topic, *(["life-safety"] if rule.life_safety else []), ruleset.id)
            named = (caution_of(checker.library.rulesets, ruleset.id, key) for key in rule.cautions)
            cautions = [f"Caution: {caution[1]}" for caution in named if caution]
            stands = [_section(one, documents) for one in rule.citation]
            law = [
                _section(one, documents_of(checker.library.rulesets, one.code))
                for one in ruleset.header.made_law_by.get(rule.made_law_by, ())
            ]
            yield sarif_frame.Rule(rule_id, _line(rule.title), _help(rule, cautions, stands, law), level, tags)


def _help(rule: Rule, cautions: Iterable[str], stands: Iterable[str], law: Iterable[str]) -> str:
    """What a rule is for, what to do, where it stands and which codes make it law, with how sure each section is."""
    sections = f"{'; '.join(stands)}."
    made_law = f"Made law where adopted: {'; '.join(law)}." if law else ""
    parts = (rule.intent, *spoken(rule.remedy), *cautions, sections, made_law)
    return " ".join([*(_line(part) for part in parts if part), DEFERRAL])


def _section(one: Citation, documents: Mapping[str, str]) -> str:
    editions = f", editions {one.editions}" if one.editions else ""
    sure = f" (section {one.section_sure}, requirement {one.requirement_sure})"
    return f"{documents.get(one.document, one.document)} {one.section}{editions}{sure}"


def _line(text: str) -> str:
    return " ".join(inert(text).split())
