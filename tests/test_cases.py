"""Every worked case inside the shipped rules holds, and every rule has the cases it needs."""

from __future__ import annotations

import functools
from collections import defaultdict

import pytest

from checker.authoring import cases
from checker.findings.finding import Finding
from checker.problems.problem import Problem
from checker.rulesets.library import SHIPPED
from tests.support.clerk import assert_a_clerk_can_answer
from tests.support.rulesets import ruleset_files, shipped_rulesets, stated_cases

FILES = sorted(path.relative_to(SHIPPED).as_posix() for path in ruleset_files())


@functools.cache
def by_file() -> dict[str, list[cases.Stated]]:
    """The worked cases by the file that states them."""
    found: dict[str, list[cases.Stated]] = defaultdict(list)
    for one in stated_cases():
        found[one.part.document.file.removeprefix("rulesets/")].append(one)
    return found


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


def test_every_case_stands_in_a_file() -> None:
    assert by_file().keys() <= set(FILES)
    assert sum(map(len, by_file().values())) == len(stated_cases()) > 2000


@functools.cache
def judged(file: str) -> list[tuple[Problem | None, Finding | None]]:
    """What is wrong with each case of a file, if anything, and the finding that it leads to."""
    return [cases.run(shipped_rulesets(), one) for one in by_file().get(file, ())]


@pytest.mark.parametrize("file", FILES)
def test_the_cases_of_a_file_hold(file: str) -> None:
    """Each ruleset's own cases, those beside an amendment too."""
    wrong = [str(problem) for problem, _ in judged(file) if problem]
    assert not wrong, "\n".join(wrong)


def test_every_case_of_a_rule_is_put_as_a_question() -> None:
    """What is left to somebody else has all that makes it answerable."""
    found = [finding for file in FILES for _, finding in judged(file) if finding]
    for finding in found:
        assert_a_clerk_can_answer(finding)
    assert len({finding.rule for finding in found if finding.ask}) > 40


def test_a_rule_has_cases_for_each_outcome() -> None:
    expected: dict[str, set[str]] = defaultdict(set)
    for one in stated_cases():
        expected[one.rule].add(one.case.expect)
    missing = []
    for ruleset in shipped_rulesets().library.rulesets.values():
        for name, rule in ruleset.rules.items():
            only_asks = name in ONLY_ASKS or all(cited.requirement_sure == "doubtful" for cited in rule.citation)
            wanted = {"verify_locally"} if only_asks else {"pass", "fail", "verify_locally"} - set(rule.untried)
            if wanted - expected[name]:
                missing.append(f"{name}: {', '.join(sorted(wanted - expected[name]))}")
    assert [] == missing, "give a case for each outcome, or say why there is none"


def test_there_are_about_thirty_five_rules_in_four_layers() -> None:
    kinds = {ruleset.header.owner_kind for ruleset in shipped_rulesets().library.rulesets.values()}
    assert {"code", "federal", "practice", "local"} <= kinds
    assert 35 <= sum(len(ruleset.rules) for ruleset in shipped_rulesets().library.rulesets.values())
