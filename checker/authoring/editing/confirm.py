"""What nobody has confirmed in the book yet, and the record of who did.

A rule's citation says how sure its writer was. `confirm` records who read the section, in which printing and when; the
record holds for what the rule means today and lapses when that changes.
"""

from __future__ import annotations

import datetime
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from checker.authoring.editing.file_edits import OneLine
from checker.engine.checker import Checker
from checker.findings.report import Report
from checker.ir.outcomes import FAIL, PASS
from checker.problems.problem import did_you_mean, refused
from checker.rulesets.layering import NO_EDITION, effective, meaning_of
from checker.rulesets.models import Citation
from checker.rulesets.ruleset import Ruleset, edition_within

FILE = "confirmations.yaml"
HEAD = "# Who read which section in the book. `changeout rules confirm` adds here; each entry lapses when its rule changes.\n"


class Unconfirmed(NamedTuple):
    """A citation that nobody has confirmed: its rule, document, section, editions, what is unsure, and jobs it decided."""

    rule: str
    document: str
    section: str
    editions: str
    unsure: str
    decided: int


class Reader(NamedTuple):
    """Who read the book: the printing, by whom and when (an ISO date)."""

    printing: str
    read_by: str
    read_on: str


def decided(reports: Iterable[Report]) -> Counter[str]:
    """How many jobs each rule decided: gave a pass or a fail."""
    jobs: Counter[str] = Counter()
    for report in reports:
        jobs.update({finding.rule for finding in report.findings if finding.outcome in (PASS, FAIL)})
    return jobs


def todo(checker: Checker, jobs: Counter[str]) -> list[Unconfirmed]:
    """Every citation that is not checked and not confirmed, those that decided most jobs first."""
    unconfirmed = [
        one
        for ruleset in checker.library.rulesets.values()
        for rule_id in ruleset.rules
        for one in _unconfirmed(checker, ruleset, rule_id, jobs[rule_id])
    ]
    return sorted(
        unconfirmed, key=lambda one: (-one.decided, one.unsure != "requirement doubtful", one.rule, one.section)
    )


def _unconfirmed(checker: Checker, home: Ruleset, rule_id: str, jobs: int) -> Iterator[Unconfirmed]:
    confirmed = {
        (one.document, edition)
        for ruleset in checker.library.rulesets.values()
        for one in ruleset.confirm.values()
        for edition in one.meaning
        if one.rule == rule_id
    }
    for cited in home.rules[rule_id].citation:
        unsure = _unsure(cited)
        editions = [
            e for e in home.header.editions or [NO_EDITION] if e == NO_EDITION or edition_within(cited.editions, e)
        ]
        left = [edition for edition in editions if (cited.document, edition) not in confirmed]
        if unsure and left:
            editions_left = ", ".join(left) if left != [NO_EDITION] else ""
            yield Unconfirmed(rule_id, cited.document, cited.section, editions_left, unsure, jobs)


def _unsure(cited: Citation) -> str:
    """What of a citation is not checked, the least sure first."""
    for sure in ("doubtful", "from_memory", "second_hand"):
        parts = [name for name in ("requirement", "section") if getattr(cited, f"{name}_sure") == sure]
        if parts:
            return f"{' and '.join(parts)} {sure.replace('_', ' ')}"
    return ""


def entry(
    checker: Checker, place: str, rule_id: str, document: str, editions: tuple[str, ...], reader: Reader
) -> tuple[str, dict[str, Any]]:
    """The name and the data of a confirmation, to be written under `confirm` of a ruleset.

    Args:
        place: The jurisdiction code of the chain it is read in; empty for the shipped codes as they are.
        document: The key of the document that was read; empty where the rule cites only one.
        editions: The editions that were read; none where the rule's ruleset has none.

    Raises:
        ProblemsFound: There is no such rule, document or edition.
    """
    chain = checker.chain(place)
    home = chain.homes.get(("rules", rule_id))
    if home is None:
        raise refused(rule_id, "There is no such rule.", did_you_mean(rule_id, chain.rule_ids))
    cited = list(dict.fromkeys(one.document for one in home.rules[rule_id].citation))
    if not document and len(cited) > 1:
        raise refused(rule_id, "The rule cites several documents.", f"Say which was read: {', '.join(cited)}.")
    if document and document not in cited:
        raise refused(rule_id, f"The rule does not cite '{document}'.", f"It cites {', '.join(cited)}.")
    known = home.header.editions or [NO_EDITION]
    read = editions or ((NO_EDITION,) if known == [NO_EDITION] else ())
    unknown = [edition for edition in read if edition not in known]
    if unknown or not read:
        raise refused(rule_id, f"{home.id} has no edition '{unknown[0]}'." if unknown else "No edition is named.",
                     f"Editions: {', '.join(known)}.")  # fmt: skip
    day = datetime.date.fromisoformat(reader.read_on).toordinal()
    meanings = {
        edition: meaning_of(chain, effective(chain, "rules", rule_id, {home.id: edition}, day), edition)
        for edition in read
    }
    read_in = document or cited[0]
    name = "-".join([rule_id, re.sub(r"[^a-z0-9]+", "-", read_in), *(e.lower() for e in meanings), reader.read_on])
    return name, {"rule": rule_id, "document": read_in, **reader._asdict(), "meaning": OneLine(meanings)}
