"""Every worked case inside the shipped rules holds, and every rule has the cases it needs."""

from __future__ import annotations

from collections import defaultdict

import pytest

from checker.authoring import cases
from tests.support.rulesets import shipped_rulesets, stated_cases

SHIPPED_NOW = shipped_rulesets()
STATED = stated_cases()
BY_RULE: dict[tuple[str, str], list[cases.Stated]] = defaultdict(list)
for one in STATED:
    BY_RULE[one.ruleset.id, one.rule].append(one)
RULES = [(ruleset.id, rule) for ruleset in SHIPPED_NOW.library.rulesets.values() for rule in ruleset.rules]

# Rules whose requirement is in doubt: where they apply they only ask the authority.
ONLY_ASKS = (
    "breaker-marked-for-cooling-equipment",
    "return-air-from-no-forbidden-room",
    "kept-access-put-to-the-authority",
    "loose-outdoor-unit-put-to-the-authority",
    "kept-place-below-flood-level-put-to-the-authority",
    "roof-edge-put-to-the-authority",
    "leak-fluid-alone-put-to-the-authority",
    "missing-co-alarm-put-to-the-authority",
    "unusual-drain-end-put-to-the-authority",
    "electric-heat-cut-off-elsewhere-locks",
    "panel-not-of-a-family-known-to-fail",
    "service-load-calculated",
    "arc-fault-on-a-new-indoor-circuit",
    "ground-wire-grown-with-the-circuit",
    "unfused-disconnect-behind-a-larger-device",
    "whip-free-length-allowed-here",
    "hidden-flared-joint-put-to-the-authority",
    "load-calculated-before-choosing",
    "cooling-size-fits-the-load",
    "flammable-refrigerant-let-in-by-the-code",
)


@pytest.mark.parametrize(("ruleset", "rule"), sorted(BY_RULE))
def test_the_cases_of_a_ruleset_about_a_rule_hold(ruleset: str, rule: str) -> None:
    """Each ruleset's own cases, those beside an amendment too."""
    found = [cases.run(SHIPPED_NOW, one)[0] for one in BY_RULE[ruleset, rule]]
    assert not any(found), "\n".join(map(str, filter(None, found)))


@pytest.mark.parametrize(("ruleset", "rule"), RULES)
def test_a_rule_has_cases_for_each_outcome(ruleset: str, rule: str) -> None:
    expected = {one.case.expect for (_, about), several in BY_RULE.items() if about == rule for one in several}
    written = SHIPPED_NOW.library.rulesets[ruleset].rules[rule]
    only_asks = rule in ONLY_ASKS or all(cited.requirement_sure == "doubtful" for cited in written.citation)
    wanted = {"verify_locally"} if only_asks else {"pass", "fail", "verify_locally"} - set(written.untried)
    assert wanted <= expected, "give a case for each outcome, or say why there is none"


def test_there_are_about_thirty_five_rules_in_four_layers() -> None:
    kinds = {ruleset.header.owner_kind for ruleset in SHIPPED_NOW.library.rulesets.values()}
    assert {"code", "federal", "practice", "local"} <= kinds
    assert 35 <= len(RULES)
