"""Every rule of a place, or of all rulesets, as pages."""

from __future__ import annotations

import datetime

from checker.authoring.docs.desk import Desk
from checker.authoring.docs.model import Docs, RulesetShown
from checker.authoring.docs.page import page
from checker.authoring.docs.review import Due, review
from checker.engine.checker import Checker
from checker.ir.digests import digest


def docs(checker: Checker, place: str, on: datetime.date, due: tuple[Due, ...] = ()) -> Docs:
    """Every rule of the rulesets, or of a place.

    Args:
        place: A jurisdiction code; empty, with no ruleset asked for of the checker, for all rulesets as they are.
        due: What is to be looked at again besides, such as acceptances on jobs.

    Raises:
        ProblemsFound: A chain of rulesets cannot be made.
    """
    desk = Desk(checker, place, on)
    pages = tuple(page(desk, ruleset, rule_id) for ruleset in desk.rulesets for rule_id in ruleset.rules)
    kept = tuple(
        RulesetShown(r.id, r.header.version, r.header.title, r.header.owner, r.digest, len(r.rules))
        for r in desk.rulesets
    )
    made_from = digest([[one.id, one.version, one.digest] for one in kept])
    stages = tuple(stage.last_seen for stage in checker.vocabulary.stages)
    again = review(desk.rulesets, on, desk.lapsed, due)
    return Docs(
        place, checker.wanted, on.isoformat(), kept, pages, again, made_from, stages, checker.vocabulary.caution
    )
