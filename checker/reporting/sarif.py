"""The report as SARIF 2.1.0: what failed and what is open, each at the line and column of the fact that fails or is wanted.

What lacks a fact is `open`, what the authority decides or the editions differ on is `review`. An open question of life safety
is a `fail`, since the run ends with exit code 1 because of it; its property `outcome` says what it is. A result's fingerprint
is its `finding_id`, which knows of no file and no line. What the authority has accepted is a suppression. A rule is told once,
where a result names it; so are its cautions, but for what failed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from checker.engine.checker import Checker
from checker.findings.finding import Finding
from checker.findings.report import DEFERRAL, Report
from checker.ir.outcomes import FAIL, PASS, TO_DECIDE, VERIFY
from checker.problems.problem import ProblemsFound, Where
from checker.problems.sanitize import inert
from checker.reporting import sarif_frame
from checker.reporting.form import Judged, Once, TellsOnce
from checker.reporting.totals import Totals
from checker.reporting.words import (
    NOTHING_JUDGED,
    UNCHECKED_MEANS,
    UNREAD,
    WORRYING,
    accepted,
    answered_for_the_job,
    answers_in,
    asked,
    compared,
    do_label,
    limits_apart,
    not_judged,
    put_to,
    sections_of,
    telling,
    unread_titles,
    worrying,
)
from checker.rulesets.models import Citation, Rule
from checker.rulesets.remedy_words import spoken
from checker.rulesets.ruleset import caution_of, documents_of

NOT_SUPPRESSED: dict[str, Any] = {"suppressions": []}


class Sarif(TellsOnce):
    """What failed and what is open; with `everything`, what passed, did not apply or was looked at by no rule too."""

    between = sarif_frame.BETWEEN

    def __init__(self, everything: bool = False) -> None:
        super().__init__()
        self._everything = everything
        self._rules: list[str] = []

    def begin(self) -> str:
        return sarif_frame.begin()

    def job(self, one: Judged) -> str:
        return sarif_frame.BETWEEN.join(map(sarif_frame.text, _results(one, self._everything)))

    def names(self, one: Judged) -> Iterator[tuple[str, str]]:
        yield from (("", name) for name in (READABLE.id, LOOKED_AT.id))
        yield from (("", finding.rule) for finding in _told(one.report, self._everything))
        yield from (("", rule) for rule in _silent(one) if self._everything)

    def text_of(self, one: Judged, of: str, name: str) -> str:
        own = {READABLE.id: READABLE, LOOKED_AT.id: LOOKED_AT}
        return sarif_frame.text(sarif_frame.rule(own[name] if name in own else _rule(one.checker, name)))

    def tell(self, pieces: Iterable[Once]) -> str:
        self._rules += [piece.text for piece in self.new(pieces)]
        return ""

    def unreadable(self, name: str, found: ProblemsFound) -> str:
        self.tell([Once("", READABLE.id, sarif_frame.text(sarif_frame.rule(READABLE)))])
        return sarif_frame.BETWEEN.join(
            sarif_frame.text(sarif_frame.of_problem(READABLE.id, problem) | NOT_SUPPRESSED)
            for problem in found.problems
        )

    def end(self, totals: Totals, checker: Checker, whole: bool) -> str:
        said = {
            "deferral": DEFERRAL,
            "caution": checker.vocabulary.caution,
            "marks": UNCHECKED_MEANS,
            "jobs": totals.jobs,
            "unreadable": totals.unreadable,
        }
        return sarif_frame.end(self._rules, (), said | totals.outcomes(), whole and not totals.unreadable)


READABLE = sarif_frame.Rule(
    "job-readable",
    "A job can be read and judged",
    f"A rule covers only the jobs that its ruleset is written for. {DEFERRAL}",
)

LOOKED_AT = sarif_frame.Rule(
    "fact-looked-at", "What is recorded is looked at by a rule", f"{UNREAD} is told here. {DEFERRAL}"
)


def _told(report: Report, everything: bool) -> list[Finding]:
    """What failed, what is open, and what passed by an answer that the job itself records; or all."""
    return [f for f in report.findings if everything or f.outcome != PASS or answered_for_the_job(f)]


def _silent(one: Judged) -> list[str]:
    """The rules of the place that did not apply."""
    found = one.report.left_out | {finding.rule for finding in one.report.findings}
    return [rule for rule in one.checker.chain_of(one.job).rule_ids if rule not in found]


def _results(one: Judged, everything: bool) -> Iterator[dict[str, Any]]:
    report = one.report
    whole = one.where("")
    for said in not_judged(report) if report.findings or report.not_judged else [NOTHING_JUDGED]:
        yield sarif_frame.result(READABLE.id, "fail", inert(said), whole, more=NOT_SUPPRESSED)
    for finding in _told(report, everything):
        yield _result(one, finding, whole)
    for fact, said in zip((u for u in report.unread if u.alarming), worrying(report), strict=True):
        yield sarif_frame.result(
            LOOKED_AT.id, "review", inert(f"{WORRYING}: {said}"), one.where(fact.fact), more=NOT_SUPPRESSED
        )
    if not everything:
        return
    rest = unread_titles(report)
    if rest:
        yield sarif_frame.result(
            LOOKED_AT.id, "informational", inert(f"{UNREAD}: {', '.join(rest)}"), whole, more=NOT_SUPPRESSED
        )
    for rule_id in _silent(one):
        said = "Nothing on this job that this rule looks at."
        yield sarif_frame.result(rule_id, "notApplicable", said, whole, more=NOT_SUPPRESSED)


def _result(one: Judged, finding: Finding, whole: Where) -> dict[str, Any]:
    """A finding. An open question of life safety is a problem until it is settled, as the exit code has it."""
    known = one.known is not None and finding.finding_id in one.known
    settle = finding.outcome == VERIFY and finding.life_safety and not known
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
        more["baselineState"] = "unchanged" if known else "new"
    more["properties"] = _properties(one, finding)
    kind: sarif_frame.Kind = "fail" if settle else _kind(finding)
    return sarif_frame.result(finding.rule, kind, _message(finding), places[0], level, more)


def _places(one: Judged, finding: Finding) -> list[Where]:
    """Where in the file the facts stand that fail, those that are wanted, or of what passed, those that the rule names.

    A wanted fact is not in the file; its place is the group that it belongs into.
    """
    if finding.outcome == VERIFY:
        facts = [need.fact for need in finding.needs]
        return list(dict.fromkeys([one.where(fact) for fact in facts] or _recorded(one, finding)))
    failing = [where for fact in finding.failing if _is_at(where := one.where(fact), fact)]
    return list(dict.fromkeys(failing or _recorded(one, finding)))


def _recorded(one: Judged, finding: Finding) -> list[Where]:
    return [where for fact in finding.evidence if _is_at(where := one.where(fact.fact), fact.fact)]


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
    """What a finding says. The cautions of what did not fail stand with the rule."""
    failed = finding.outcome == FAIL
    settle = "Open (life safety): " if finding.outcome == VERIFY and finding.life_safety else ""
    told = [
        f"{finding.headline}. {finding.message}" if failed else f"{settle}{finding.title}.",
        *(f"{compared(w)}: {w.holds}." for w in finding.workings if telling(w)),
        *(f"Limit: {limit}." for limit in limits_apart(finding, filter(telling, finding.workings))),
        *(f"Record: {asked(need)}" for need in finding.needs),
        f"Ask: {put_to(finding)}" if finding.ask and finding.outcome == VERIFY else "",
        f"{do_label(finding)}: {finding.remedy}" if finding.remedy and failed else "",
        *(f"Caution: {caution.text}" for caution in finding.cautions if failed),
        f"{sections_of(finding)}.",
        *answers_in(finding),
    ]
    return inert(" ".join(filter(None, told)))


def _properties(one: Judged, finding: Finding) -> dict[str, Any]:
    said = {
        "job_id": one.report.job_id,
        "item": finding.item,
        "outcome": finding.outcome,
        "reason": finding.reason,
        "life_safety": finding.life_safety,
        "how_known": one.report.known.line(finding),
    }
    return {name: value for name, value in said.items() if value}


# --- rules -----------------------------------------------------------------------------------------------------------


def _rule(checker: Checker, rule_id: str) -> sarif_frame.Rule:
    """A rule as its own ruleset has it, whatever the place of a job."""
    rulesets = checker.library.rulesets
    ruleset = next(one for one in rulesets.values() if rule_id in one.rules)
    rule = ruleset.rules[rule_id]
    level: sarif_frame.Level = "error" if rule.obligation == "shall" or rule.life_safety else "warning"
    tags = (rule.topic, *(["life-safety"] if rule.life_safety else []), ruleset.id)
    named = (caution_of(rulesets, ruleset.id, key) for key in rule.cautions)
    cautions = [f"Caution: {caution[1]}" for caution in named if caution]
    documents = documents_of(rulesets, ruleset.id)
    stands = [_section(one, documents) for one in rule.citation]
    laws = ruleset.header.made_law_by.get(rule.made_law_by, ())
    law = [_section(one, documents_of(rulesets, one.code)) for one in laws]
    return sarif_frame.Rule(rule_id, _line(rule.title), _help(rule, cautions, stands, law), level, tags)


def _help(rule: Rule, cautions: Iterable[str], stands: Iterable[str], law: Iterable[str]) -> str:
    """What a rule is for, what to do, where it stands and which codes make it law, with how sure each section is."""
    sections = f"{'; '.join(stands)}."
    made_law = f"Made law where adopted: {'; '.join(law)}." if law else ""
    parts = (rule.intent, *spoken(rule.remedy), *cautions, sections, made_law)
    return " ".join(_line(part) for part in parts if part)


def _section(one: Citation, documents: Mapping[str, str]) -> str:
    editions = f", editions {one.editions}" if one.editions else ""
    sure = f" (section {one.section_sure}, requirement {one.requirement_sure})"
    return f"{documents.get(one.document, one.document)} {one.section}{editions}{sure}"


def _line(text: str) -> str:
    return " ".join(inert(text).split())
