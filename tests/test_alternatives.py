"""A remedy with alternatives: the first that the facts allow is said; what is open is said with its condition in words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from checker.authoring.docs.collection import docs
from checker.authoring.explain import rule_text
from checker.authoring.lint.linter import problems
from checker.engine.checker import Checker
from checker.reading.job_schema import job_vocabulary
from checker.rulesets.layering import effective, meaning_of
from checker.rulesets.library import open_library
from tests.support.lantern_remedies import PLAIN, failing, guild
from tests.support.rulesets import ON, TINY

BY_PAPER = """    remedy:
      - {when: lantern.paper == tin, if: it is tin, say: Put a chain on it.}
      - {when: lantern.paper == oiled, if: it is oiled, say: "Put a cord on it at {least_height}."}
      - say: Hang it at {least_height} or higher.
    bring:
      - {when: lantern.paper == tin, if: it is tin, say: Chain}
"""


@pytest.mark.parametrize(
    ("paper", "remedy", "bring"),
    [
        ("tin", "Put a chain on it.", "Chain"),
        ("oiled", "Put a cord on it at 8 ft.", ""),
        ("rice", "Hang it at 8 ft or higher.", ""),
        (
            {"not_known": "too dark"},
            "If it is tin: Put a chain on it. If it is oiled: Put a cord on it at 8 ft. "
            "Otherwise: Hang it at 8 ft or higher.",
            "If it is tin: Chain",
        ),
    ],
)
def test_what_the_facts_rule_out_is_not_said(tmp_path: Path, paper: Any, remedy: str, bring: str) -> None:
    found = failing(guild(tmp_path, BY_PAPER), paper=paper)
    assert (remedy, bring) == (found.remedy, found.bring)


def test_jobs_that_differ_only_in_what_a_remedy_looks_at_get_each_its_own(tmp_path: Path) -> None:
    checker = guild(tmp_path, BY_PAPER)
    said = [failing(checker, paper=paper).remedy for paper in ("rice", "tin", "rice", "oiled", "tin") * 3]
    assert said == said[:5] * 3
    assert 3 == len(set(said))


def test_alternatives_are_prose_and_change_no_meaning(tmp_path: Path) -> None:
    digests = set()
    for index, words in enumerate((PLAIN, BY_PAPER)):
        chain = guild(tmp_path / str(index), words).chain("xx-nether-lamp")
        found = effective(chain, "rules", "lit-lantern-high-enough", {"guild": "2"}, ON.toordinal())
        digests.add(meaning_of(chain, found, "2"))
    assert 1 == len(digests)


def test_a_layer_puts_alternatives_in_the_place_of_a_text(tmp_path: Path) -> None:
    checker = guild(tmp_path, PLAIN)
    chain = checker.chain("xx-nether-lamp")
    found = effective(chain, "rules", "lit-lantern-high-enough", {"guild": "2"}, ON.toordinal())
    (tmp_path / "village" / "own.yaml").write_text(
        f"""amend:
  lit-lantern-high-enough:
    reason: Chains are kept here.
    citation: [{{document: village, section: "1", section_sure: checked, requirement_sure: checked}}]
    meaning: {{"2": {meaning_of(chain, found, "2")}}}
    set:
      remedy:
        - {{when: lantern.paper == tin, if: it is tin, say: Fetch a chain.}}
        - {{say: Fetch a cord.}}
"""
    )
    header = tmp_path / "village" / "ruleset.yaml"
    if "documents:" not in header.read_text():
        header.write_text(f"{header.read_text().rstrip()}\ndocuments: {{village: Village book}}\n")
    layered = Checker(open_library([tmp_path], {tmp_path: "rulesets"}), checker.vocabulary)
    assert "Fetch a chain." == failing(layered, paper="tin").remedy
    assert "Fetch a cord." == failing(layered, paper="rice").remedy


def test_pages_and_explain_tell_every_alternative_with_its_condition(tmp_path: Path) -> None:
    checker = guild(tmp_path, BY_PAPER)
    told = rule_text(checker, "xx-nether-lamp", "lit-lantern-high-enough", ON.toordinal())
    assert "  What to do: If it is tin: Put a chain on it.\n" in told
    assert "  What to do: Otherwise: Hang it at {least_height} or higher.\n" in told
    assert "  What to bring: If it is tin: Chain\n" in told
    page = next(one for one in docs(checker, "xx-nether-lamp", ON).pages if one.id == "lit-lantern-high-enough")
    assert "If it is tin: Put a chain on it." == page.remedy[0]
    assert page.remedy[2].startswith("Otherwise: Hang it at ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("[{say: One.}, {say: Two.}]", "This is always said, so nothing below it ever is."),
        ("[{when: lantern.paper == tin, say: One.}]", "'when' and 'if' go together"),
        ("[{when: lantern.paper == gold, if: it is gold, say: One.}]", "'gold'"),
        ("[{when: lantern.height == tin, if: it is high, say: One.}]", "tin"),
        ("[{when: lantern.colour == tin, if: it is red, say: One.}]", "'lantern.colour'"),
        ("[{when: lantern.lit, if: it is lit}]", "This alternative has no 'say'."),
        ("[{say: One., then: Two.}]", "'then' is not a part of an alternative."),
        ("[One.]", "This alternative has no 'say'."),
        ("[{say: 'The {colour} one.'}]", "'colour'"),
        ("[{when: lantern.lit, if: 'it hangs {high}', say: One.}]", "Nothing can be filled in here"),
        ("[{say: It is approved.}]", "'approved' promises what only the authority can give."),
    ],
)
def test_a_mistake_in_an_alternative_is_told(tmp_path: Path, words: str, said: str) -> None:
    told = [f"{problem.what} {problem.hint}" for problem in problems(guild(tmp_path, f"    remedy: {words}\n"))]
    assert any(said in one for one in told), told


def test_a_rule_carries_every_caution_it_names_each_out_of_the_ruleset_that_names_it(tmp_path: Path) -> None:
    guild(tmp_path, PLAIN)
    lanterns, header, village = (
        tmp_path / name for name in ("guild/lanterns.yaml", "guild/ruleset.yaml", "village/ruleset.yaml")
    )
    lanterns.write_text(lanterns.read_text().replace("caution: fire", "caution: [fire, ladder]", 1))
    header.write_text(f"{header.read_text().rstrip()}\n  ladder: Somebody holds the ladder.\n")
    village.write_text(f"{village.read_text().rstrip()}\ncautions: {{ladder: Not the same ladder.}}\n")
    checker = Checker(open_library([tmp_path], {tmp_path: "rulesets"}), job_vocabulary(TINY / "job.schema.json"))
    assert [("guild/fire", "Keep water at hand."), ("guild/ladder", "Somebody holds the ladder.")] == [
        (caution.key, caution.text) for caution in failing(checker, paper="tin").cautions
    ]
