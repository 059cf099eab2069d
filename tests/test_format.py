"""Files of rulesets put in order: the fields move, with their comments, and what the files say does not.

What a file says is read back by PyYAML itself, apart from our reader.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result

from checker.authoring.editing.canonical import canonical
from checker.cli import main
from checker.problems.problem import ProblemsFound
from checker.rulesets.library import SHIPPED
from tests.support.rulesets import TINY

MIXED = """\
# About bells.
rules:
  # Loud ones.
  bell-rings:
    topic: bells
    # How it is told.
    title: Bell rings
    cases:
      - {name: rings, expect: pass, given: {bell.rings: "true"}}
      - expect: fail
        # mute
        name: does not
        given: {bell.rings: "false"}
    obligation: shall
    intent: >-
      # no comment, but text:
      A bell is there to be heard.

    citation:
      - {document: guild, section: "1", section_sure: checked, requirement_sure: checked}
    require: [bell.rings]

  bell-hangs:  {title: Bell hangs, cases: []}
"""
IN_ORDER = """\
# About bells.
rules:
  # Loud ones.
  bell-rings:
    # How it is told.
    title: Bell rings
    topic: bells
    obligation: shall
    intent: >-
      # no comment, but text:
      A bell is there to be heard.
    citation:
      - {document: guild, section: "1", section_sure: checked, requirement_sure: checked}
    require: [bell.rings]
    cases:
      - {name: rings, expect: pass, given: {bell.rings: "true"}}
      # mute
      - name: does not
        given: {bell.rings: "false"}
        expect: fail

  bell-hangs:  {title: Bell hangs, cases: []}
"""


def formatted(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["rules", "format", *arguments])


def test_fields_and_their_comments_move_and_all_else_stays() -> None:
    assert IN_ORDER.replace("      # mute\n      - name: does not\n", "      - name: does not\n") == canonical(
        MIXED.replace("        # mute\n", ""), "bells.yaml"
    )


def test_a_comment_inside_an_item_moves_with_its_field() -> None:
    found = canonical(MIXED, "bells.yaml")
    assert yaml.safe_load(MIXED) == yaml.safe_load(found)
    assert found.count("# mute") == 1


@pytest.mark.parametrize("file", sorted(TINY.rglob("*.yaml")), ids=lambda file: file.name)
def test_a_file_in_order_says_what_it_said_and_is_left_alone_then(file: Path) -> None:
    text = file.read_text()
    found = canonical(text, file.name)
    assert yaml.safe_load(text) == yaml.safe_load(found)
    assert sorted(text.split()) == sorted(found.split())
    assert found == canonical(found, file.name)


def test_the_command_names_what_it_wrote_and_the_next_run_has_nothing_to_do(tmp_path: Path) -> None:
    (tmp_path / "ruleset.yaml").write_text("version: 1.0.0\nid: bells\n")
    (tmp_path / "bells.yaml").write_text(MIXED.replace("        # mute\n", ""))
    told = formatted(str(tmp_path), "--check")
    assert (1, 2) == (told.exit_code, told.stdout.count("Not in order: "))
    assert "version: 1.0.0\nid: bells\n" == (tmp_path / "ruleset.yaml").read_text()
    assert (0, 2) == ((done := formatted(str(tmp_path))).exit_code, done.stdout.count("Written: "))
    assert "id: bells\nversion: 1.0.0\n" == (tmp_path / "ruleset.yaml").read_text()
    assert (0, "All is in order.\n") == ((again := formatted(str(tmp_path), "--check")).exit_code, again.stdout)


def test_a_file_that_cannot_be_read_stops_no_other(tmp_path: Path) -> None:
    (tmp_path / "ruleset.yaml").write_text("version: 1.0.0\nid: bells\n")
    (tmp_path / "broken.yaml").write_text("rules:\n  a: [\n")
    done = formatted(str(tmp_path))
    assert 2 == done.exit_code
    assert "broken.yaml:3:1\n  The line cannot be read as YAML." in done.stderr
    assert "id: bells\nversion: 1.0.0\n" == (tmp_path / "ruleset.yaml").read_text()


def test_what_cannot_be_moved_is_refused() -> None:
    """The text of a block that is not indented under a comment of its own would change with its place."""
    awkward = "rules:\n  bell-rings:\n    topik: x\n    topic: |+\n      bells\n\n    title: Bell rings\n"
    with pytest.raises(ProblemsFound, match="without changing what it says"):
        canonical(awkward, "bells.yaml")


def test_the_shipped_rulesets_are_in_order() -> None:
    assert (0, "All is in order.\n") == ((told := formatted(str(SHIPPED), "--check")).exit_code, told.stdout)
