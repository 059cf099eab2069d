"""A release is for good: it gives the outcomes and the bytes of its day, whatever becomes of the folders it came from."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

import pytest
from click.testing import Result
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checker.authoring.releasing import programs_of
from checker.binding import bound_once
from checker.commands import prompts
from checker.commands.rules import release as release_command
from checker.engine.checker import Checker
from checker.problems.problem import ProblemsFound
from checker.reading.files import read_file, read_text
from checker.reading.job_schema import job_vocabulary
from checker.reading.shipped import ROOT
from checker.reporting import json as as_json
from checker.rulesets import library
from checker.rulesets.frozen_states import as_data
from checker.rulesets.library import SHIPPED, digest_of, open_library
from checker.rulesets.plain_data import lean, plain
from checker.rulesets.record import read_record, record_text
from checker.rulesets.release import freeze, read_release, sealed, thaw
from tests.support.festival import JOB, ONE_MORE, edit, festival_in, release, run
from tests.support.rulesets import ON, TINY, shipped_rulesets
from tests.support.sarif import sarif_faults

Run = Callable[..., Result]


@pytest.fixture
def festival(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    return festival_in(tmp_path, monkeypatch)


def outcome(*options: str) -> str:
    result = run("check", "job.json", "--format", "json", "--on", "2026-11-25", *options)
    assert result.exit_code in (0, 1), result.stderr
    findings = json.loads(result.stdout)["jobs"][0]["findings"]
    return {finding["rule"]: finding["outcome"] for finding in findings}["lit-lantern-high-enough"]


# --- the bytes of a release -----------------------------------------------------------------------------------------


@pytest.mark.long
def test_a_release_gives_the_report_that_the_folders_gave_byte_for_byte(shipped: Checker) -> None:
    known = shipped.library.rulesets
    frozen = thaw(freeze(known["alder-county"], known).encode(), "alder.json")
    used = Checker(shipped.library.using([frozen]), job_vocabulary(), (frozen.name,))
    for name in ("01-clean", "02-oversized-breaker", "03-no-overflow-device"):
        document = read_file(ROOT / f"examples/jobs/{name}.json", name)
        assert document.data["site"]["jurisdiction"] in known["alder-county"].header.covers
        assert as_json.render([shipped.check(document, ON)]) == as_json.render([used.check(document, ON)]), name


def test_a_release_holds_all_that_it_stands_on_and_the_federal_rules(shipped: Checker) -> None:
    known = shipped.library.rulesets
    frozen = thaw(freeze(known["millrace-group"], known).encode(), "millrace.json")
    assert {"millrace-group", "alder-county", "larch-state", "nec", "irc-mechanical", "umc-mechanical", "epa-refrigerant",
            "federal-efficiency", "commissioning", "manufacturer-instructions"} == set(frozen.rulesets)  # fmt: skip
    assert {name: known[name].digest for name in frozen.rulesets} == {
        name: ruleset.digest for name, ruleset in frozen.rulesets.items()
    }


def test_a_groups_release_judges_in_a_state_without_the_states_file(shipped: Checker) -> None:
    """Ohio, whose edition of the NEC counts, and Nevada, which leaves it to its places; none of their files stands on disk."""
    known, states = shipped.library.rulesets, [shipped.library.state(state) for state in ("OH", "NV")]
    published = as_data(one for one in states if one)
    frozen = thaw(freeze(known["millrace-group"], known, published=published).encode(), "millrace.json")
    held = shipped.library.using([frozen])
    held.of_states = ()
    folders, release = (
        Checker(library, job_vocabulary(), (name,))
        for library, name in ((shipped.library, "millrace-group"), (held, frozen.name))
    )
    text = (ROOT / "examples/jobs/02-oversized-breaker.json").read_text()
    for state in ("OH", "NV"):
        data = {**json.loads(text), "site": {"state": state, "dwelling": "one_family"}}
        document = read_text(json.dumps(data).encode(), "job.json")
        said = as_json.render([folders.check(document, ON)])
        assert f'"us-{state.lower()}"' in said
        assert said == as_json.render([release.check(document, ON)])
    assert held.state("WY") is None, "a release that holds states asks no file of another"


def test_releases_that_hold_different_states_are_refused(shipped: Checker) -> None:
    known = shipped.library.rulesets
    texts = [
        freeze(known[name], known, published=as_data(filter(None, [shipped.library.state(state)])))
        for name, state in (("millrace-group", "OH"), ("alder-county", "NV"))
    ]
    with pytest.raises(ProblemsFound, match="hold different files of the states"):
        shipped.library.using([thaw(text.encode(), "a.json") for text in texts])


def test_a_release_frozen_again_is_the_same_text(tiny: Checker) -> None:
    known = tiny.library.rulesets
    text = freeze(known["village"], known)
    frozen = thaw(text.encode(), "village.json")
    assert text == freeze(frozen.rulesets["village"], frozen.rulesets)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=300)
@given(at=st.integers(min_value=0), sign=st.sampled_from('aZ09 "{}[]:,\n\\'))
def test_a_release_with_one_sign_changed_is_refused(tiny: Checker, at: int, sign: str) -> None:
    text = freeze(tiny.library.rulesets["village"], tiny.library.rulesets)
    at %= len(text)
    if text[at] == sign:
        return
    with pytest.raises(ProblemsFound):
        thaw((text[:at] + sign + text[at + 1 :]).encode(), "village.json")


def test_a_release_whose_line_ends_a_copy_changed_is_read(tiny: Checker) -> None:
    text = freeze(tiny.library.rulesets["village"], tiny.library.rulesets)
    assert "village@1.0.0" == thaw(text.replace("\n", "\r\n").encode(), "village.json").name


# --- judging with a release -----------------------------------------------------------------------------------------


def test_a_release_judges_as_on_its_day_when_what_it_stands_on_has_changed(festival: Path) -> None:
    assert 0 == release("village", "1.0.0").exit_code
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "7.5"')
    edit("rulesets/guild/ruleset.yaml", "version: 1.0.0", "version: 1.1.0")
    assert "fail" == outcome()
    assert "fail" == outcome("--ruleset", "village")
    assert "pass" == outcome("--ruleset", "village@1.0.0")


def test_a_release_judges_as_on_its_day_when_its_own_folder_has_changed(festival: Path) -> None:
    assert 0 == release("guild", "1.0.0").exit_code
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "7.5"')
    assert ("fail", "pass") == (outcome("--ruleset", "guild"), outcome("--ruleset", "guild@1.0.0"))


def test_the_digest_of_a_release_is_that_of_the_files_it_was_made_of(festival: Path) -> None:
    release("guild", "1.2.0")
    frozen = library.open_library([festival / "rulesets"]).release("guild@1.2.0")
    assert digest_of(festival / "rulesets/guild", "guild") == frozen.rulesets["guild"].digest


def test_a_federal_ruleset_that_came_later_does_not_judge_with_a_release(festival: Path) -> None:
    release("village", "1.0.0")
    shutil.copytree("rulesets/guild", "rulesets/lamp-office", ignore=shutil.ignore_patterns("releases"))
    edit("rulesets/lamp-office/ruleset.yaml", "id: guild", "id: lamp-office")
    edit("rulesets/lamp-office/ruleset.yaml", "owner_kind: code", "owner_kind: federal")
    edit("rulesets/lamp-office/lanterns.yaml", "lit-lantern-high-enough", "lantern-of-the-office")
    edit("rulesets/lamp-office/lanterns.yaml", "paper-not-bare-rice", "paper-of-the-office")
    edit("rulesets/lamp-office/lanterns.yaml", "least_height", "office_height")
    used = [json.loads(run("check", "job.json", "--format", "json", *options).stdout)["jobs"][0]["rulesets"]
            for options in ((), ("--ruleset", "village@1.0.0"))]  # fmt: skip
    assert [{"guild", "village", "lamp-office"}, {"guild", "village"}] == [
        {one["id"] for one in names} for names in used
    ]


def test_a_working_copy_is_not_taken_for_a_release_of_its_version(festival: Path) -> None:
    assert (
        "--ruleset\n  'village@1.0.0' is not here; released: no version yet; the working copy is 1.0.0.\n  A working copy "
        "may have changed since it was given its version. Leave the version out to use it as it is, or release it: "
        "changeout rules release FOLDER --version 1.0.0\n\n"
    ) == run("check", "job.json", "--ruleset", "village@1.0.0").stderr


def test_two_releases_that_hold_two_states_of_one_ruleset_are_refused(festival: Path) -> None:
    release("village", "1.0.0")
    before = digest_of(festival / "rulesets/guild", "guild")
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "7.0"')
    release("guild", "1.1.0")
    after = digest_of(festival / "rulesets/guild", "guild")
    assert (
        f"--ruleset\n  village@1.0.0 holds guild 1.0.0 ({before}), guild@1.1.0 holds guild 1.1.0 ({after}).\n"
        "  One job is judged by one version of a ruleset. Check with one of them at a time.\n\n"
    ) == run("check", "job.json", "--ruleset", "village@1.0.0", "--ruleset", "guild@1.1.0").stderr


# --- releasing ------------------------------------------------------------------------------------------------------


def test_a_release_changes_the_version_and_nothing_else_in_ruleset_yaml(festival: Path) -> None:
    file = Path("rulesets/guild/ruleset.yaml")
    file.write_text("# kept by the guild\n" + file.read_text().replace("version: 1.0.0", 'version:  "1.0.0"   # ours'))
    before = file.read_text()
    assert 0 == release("guild", "1.2.3").exit_code
    assert before.replace('"1.0.0"', '"1.2.3"') == file.read_text()


def test_a_version_that_is_released_is_never_released_again(festival: Path) -> None:
    release("guild", "1.0.0")
    frozen = Path("rulesets/guild/releases/1.0.0.json").read_bytes()
    result = release("guild", "1.0.0")
    assert (
        "rulesets/guild/releases/1.0.0.json\n  guild@1.0.0 is released already; a release is never changed.\n"
        "  Take a version above 1.0.0.\n\n"
    ) == result.stderr
    assert (2, frozen) == (result.exit_code, Path("rulesets/guild/releases/1.0.0.json").read_bytes())


STRICTER = """rulesets/guild/ruleset.yaml:2:10
  Since 1.0.0 the change is minor; 1.0.1 is too small a step for it:
    least_height: Least height of a lit lantern: 7 ft → 7.5 ft, edition 1 [minor]
  The least version is 1.1.0.

"""


def test_a_limit_that_moves_is_no_patch(festival: Path) -> None:
    release("guild", "1.0.0")
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "7.5"')
    result = release("guild", "1.0.1")
    assert (2, STRICTER) == (result.exit_code, result.stderr)
    assert not Path("rulesets/guild/releases/1.0.1.json").exists()


def test_a_limit_that_moves_underneath_is_no_patch_either(festival: Path) -> None:
    release("village", "1.0.0")
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "7.5"')
    assert (
        "guild, least_height: Least height of a lit lantern: 7 ft → 7.5 ft, edition 1 [minor]"
        in release("village", "1.0.1").stderr
    )
    assert 0 == release("village", "1.1.0").exit_code


def test_a_rule_that_is_gone_is_a_major_step(festival: Path) -> None:
    release("guild", "1.0.0")
    file = Path("rulesets/guild/lanterns.yaml")
    file.write_text(file.read_text().partition("  paper-not-bare-rice:")[0])
    result = release("guild", "1.9.0")
    assert "The least version is 2.0.0." in result.stderr
    header = Path("rulesets/guild/ruleset.yaml")
    header.write_text(header.read_text() + "retired: [paper-not-bare-rice]\n")
    assert 0 == release("guild", "2.0.0", "--looser", "paper-not-bare-rice", "Nobody sells it any more.").exit_code


def test_a_ruleset_with_a_case_that_does_not_hold_is_not_released(festival: Path) -> None:
    edit("rulesets/guild/lanterns.yaml", 'given: {lantern.lit: "true", lantern.paper: oiled}, expect: pass',
         'given: {lantern.lit: "true", lantern.paper: oiled}, expect: fail')  # fmt: skip
    result = release("guild", "1.1.0")
    assert "The case 'oiled' expects fail; the rule says pass" in result.stderr
    assert (2, False) == (result.exit_code, Path("rulesets/guild/releases").exists())


def test_a_ruleset_with_a_flip_that_no_case_notices_is_not_released(festival: Path) -> None:
    edit("rulesets/guild/lanterns.yaml", ONE_MORE.partition("\n")[0] + "\n", "")
    result = release("guild", "1.1.0")
    assert "No example would notice 'oiled' being left out of 'lantern.paper in [oiled, tin]'." in result.stderr
    assert (2, False) == (result.exit_code, Path("rulesets/guild/releases").exists())


CHANGELOG = """# What changed, by version

## 1.1.0, 2026-11-25

Why: to be written by whoever releases it.

Since 1.0.0:

### Limits

- **least\\_height**
  - Least height of a lit lantern: 7 ft → 6.9 ft, edition 1 *(meaning, minor)*

1 change of meaning, 1 of wording, 2 of cases.

## 1.0.0, 2026-11-25

Why: to be written by whoever releases it.

First release.
"""


def test_the_changelog_is_begun_from_what_changed(festival: Path) -> None:
    release("guild", "1.0.0")
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "6.9"')
    edit("rulesets/guild/lanterns.yaml", "Oil the paper or use tin.", "Oil the paper, or use tin.")
    edit("rulesets/guild/lanterns.yaml", "lantern.height: 6.9 ft}", "lantern.height: 6.8 ft}")
    edit("rulesets/guild/lanterns.yaml", "lantern.height: 7 ft}", "lantern.height: 6.9 ft}")
    result = release("guild", "1.1.0", "--all-looser", "The guild's book has it so.")
    assert 0 == result.exit_code, result.stderr
    assert CHANGELOG == Path("rulesets/guild/CHANGELOG.md").read_text()


def test_a_release_that_was_interrupted_is_ended_by_the_next_try(festival: Path) -> None:
    release("guild", "1.1.0")
    changelog, frozen = Path("rulesets/guild/CHANGELOG.md"), Path("rulesets/guild/releases/1.1.0.json")
    before = changelog.read_text(), frozen.read_text()
    frozen.unlink()
    assert 0 == release("guild", "1.1.0").exit_code
    assert before == (changelog.read_text(), frozen.read_text())


def test_every_shipped_ruleset_can_be_frozen_and_opened_again() -> None:
    """Those on which no other stands; the rest are in their releases."""
    known, seen = open_library([SHIPPED], {SHIPPED: "rulesets"}).rulesets, set()
    below = {name for ruleset in known.values() for name in ruleset.header.uses}
    for top in known.values():
        if top.id in below:
            continue
        for name, frozen in thaw(freeze(top, known).encode(), "release.json").rulesets.items():
            ruleset = known[name]
            assert (ruleset.header, list(ruleset.rules), ruleset.digest) == (
                frozen.header,
                list(frozen.rules),
                frozen.digest,
            )
            seen.add(name)
    assert seen == set(known)


# --- the program that a release froze ----------------------------------------------------------------------------------


def unbound(*_: object) -> NoReturn:
    raise AssertionError("a rule was bound anew")


@pytest.mark.long
def test_a_release_judges_by_the_program_it_froze_and_binds_nothing(
    shipped: Checker, monkeypatch: pytest.MonkeyPatch
) -> None:
    alder = shipped.library.rulesets["alder-county"]
    programs = dict(programs_of(shipped.library, alder, job_vocabulary()))
    assert set(alder.header.covers) == set(programs)
    frozen = thaw(freeze(alder, shipped.library.rulesets, programs).encode(), "alder.json")
    used = Checker(shipped.library.using([frozen]), job_vocabulary(), (frozen.name,))
    some = sorted((ROOT / "examples/jobs").glob("*.json"))[1::2]
    wanted = {path: as_json.render([shipped.check(read_file(path), ON)]) for path in some}
    monkeypatch.setattr(bound_once, "bound_rule", unbound)
    for path, report in wanted.items():
        assert report == as_json.render([used.check(read_file(path), ON)]), path.name


def test_a_released_command_judges_by_what_was_frozen_whatever_binding_became(
    festival: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert 0 == release("village", "1.0.0").exit_code
    assert set(read_release(festival / "rulesets/village/releases/1.0.0.json", "village").programs)
    monkeypatch.setattr(bound_once, "bound_rule", unbound)
    assert "pass" == outcome("--ruleset", "village@1.0.0")


def thawed(tiny: Checker, change: Callable[[dict[str, Any]], object]) -> Checker:
    """A checker over a release whose program was made by another version of this program."""
    (place,) = tiny.library.rulesets["village"].header.covers[:1]
    programs = dict(programs_of(tiny.library, tiny.library.rulesets["village"], LANTERNS))
    change(programs[place])
    text = freeze(tiny.library.rulesets["village"], tiny.library.rulesets, programs)
    frozen = thaw(text.encode(), "village.json")
    return Checker(tiny.library.using([frozen]), LANTERNS, (frozen.name,))


LANTERNS = job_vocabulary(TINY / "job.schema.json")
FUNCTION = {"arguments": [], "result": "number", "tables": [], "version": 1, "form": "none", "says": "", "data": None}
FACT = {"form": "flag", "kind": "flag"}
OTHERWISE: dict[str, tuple[Callable[[dict[str, Any]], object], str]] = {
    "a function that is gone": (
        lambda program: program["functions"].update(gone=FUNCTION),
        "released with version 1 of the function 'gone'; here is none",
    ),
    "a function that works otherwise": (
        lambda program: program["functions"].update(dew_temperature={**FUNCTION, "version": 99}),
        "released with version 99 of the function 'dew_temperature'; here is version",
    ),
    "a fact that was written otherwise": (
        lambda program: program["facts"]["lantern.height"].update(FACT),
        "reads 'lantern.height', which jobs no longer record that way",
    ),
    "no whole program": (lambda program: program.pop("nodes"), "Its program cannot be read."),
}


@pytest.mark.parametrize(("change", "said"), OTHERWISE.values(), ids=OTHERWISE)
def test_a_release_that_cannot_be_judged_as_on_its_day_says_so(
    change: Callable[[dict[str, Any]], object], said: str, tiny: Checker
) -> None:
    with pytest.raises(ProblemsFound) as found:
        thawed(tiny, change).check(read_text(json.dumps(JOB).encode(), "job.json"), ON)
    assert said in found.value.problems[0].what
    assert found.value.problems[0].hint


def test_a_fact_that_no_rule_reads_may_be_written_otherwise(tiny: Checker) -> None:
    used = thawed(tiny, lambda program: program["facts"].update(nobody={**program["facts"]["lantern.height"]}))
    assert used.check(read_text(json.dumps(JOB).encode(), "job.json"), ON).findings


# --- what got looser -------------------------------------------------------------------------------------------------

LOOSER = """rulesets/guild/lanterns.yaml:6:7
  Since guild@1.0.0 'least_height' asks less: Least height of a lit lantern: 7 ft → 6.9 ft, edition 1.
      - {value: "6.9", editions: "1", source: Guild book 3, sure: checked}
      ^
  Put it back; or, where it is intended, say why when the next version is released.

"""


def lower(festival: Path) -> None:
    """Make a limit looser, with the cases that go with it."""
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "6.9"')
    edit("rulesets/guild/lanterns.yaml", "lantern.height: 6.9 ft}", "lantern.height: 6.8 ft}")
    edit("rulesets/guild/lanterns.yaml", "lantern.height: 7 ft}", "lantern.height: 6.9 ft}")


@pytest.mark.parametrize("kept", [(), ("--record",)])
def test_lint_tells_what_got_looser_since_the_release_and_is_quiet_before_and_after(
    festival: Path, kept: tuple[str, ...]
) -> None:
    assert 0 == release("guild", "1.0.0", *kept).exit_code
    assert (0, "") == ((quiet := run("rules", "lint", "rulesets/guild")).exit_code, quiet.stderr)
    lower(festival)
    told = run("rules", "lint", "rulesets/guild")
    assert (1, LOOSER) == (told.exit_code, told.stderr)
    assert 0 == release("guild", "1.1.0", "--looser", "least_height", "The new book.", *kept).exit_code
    last = run("rules", "lint", "rulesets/guild")
    assert 0 == last.exit_code, last.stderr


def test_a_log_of_lint_has_what_got_looser(festival: Path) -> None:
    release("guild", "1.0.0", "--record")
    lower(festival)
    result = run("rules", "lint", "rulesets/guild", "--format", "sarif")
    log = json.loads(result.stdout)
    assert (1, ["looser"]) == (result.exit_code, [one["ruleId"] for one in log["runs"][0]["results"]])
    assert [] == sarif_faults(log)


@pytest.mark.parametrize("reason", [(), ("--all-looser", ""), ("--looser", "least_height", "  ")])
def test_what_got_looser_is_not_released_without_a_reason(festival: Path, reason: tuple[str, ...]) -> None:
    release("guild", "1.0.0")
    lower(festival)
    result = release("guild", "1.1.0", *reason)
    assert (2, False) == (result.exit_code, Path("rulesets/guild/releases/1.1.0.json").exists())
    assert "Since guild@1.0.0 'least_height' asks less:" in result.stderr
    assert "--looser NAME WHY" in result.stderr


def test_a_reason_for_what_did_not_get_looser_is_refused(festival: Path) -> None:
    release("guild", "1.0.0")
    result = release("guild", "1.0.1", "--looser", "least_height", "The new book.")
    assert (2, "--looser\n  Nothing got looser in 'least_height'.\n  Leave it out.\n\n") == (
        result.exit_code,
        result.stderr,
    )


@pytest.mark.parametrize("kept", [(), ("--record",)])
def test_a_release_says_what_was_confirmed_and_why(festival: Path, kept: tuple[str, ...]) -> None:
    release("guild", "1.0.0", *kept)
    lower(festival)
    assert 0 == release("guild", "1.1.0", "--all-looser", "The new book.", *kept).exit_code
    ending = ".record.json" if kept else ".json"
    written = json.loads(Path(f"rulesets/guild/releases/1.1.0{ending}").read_text())
    what = "Least height of a lit lantern: 7 ft → 6.9 ft, edition 1"
    said = {"name": "least_height", "weight": "asks less", "what": what, "why": "The new book."}
    assert [said] == written["confirmed"]


@pytest.mark.parametrize(("typed", "code"), [(["yes", "The new book."], 0), (["no"], 2), (["", "x"], 2)])
def test_at_a_terminal_it_is_asked(
    festival: Path, monkeypatch: pytest.MonkeyPatch, typed: list[str], code: int
) -> None:
    release("guild", "1.0.0")
    lower(festival)
    lines = iter(typed)
    monkeypatch.setattr(release_command, "at_terminal", lambda: True)
    monkeypatch.setattr(prompts, "typed", lambda: next(lines))
    result = release("guild", "1.1.0")
    assert code == result.exit_code, result.output
    assert "Is this intended?" in result.output


# --- records ---------------------------------------------------------------------------------------------------------


def test_a_record_is_small_says_what_lint_wants_and_nobody_judges_by_it(festival: Path) -> None:
    release("guild", "1.0.0", "--record")
    release("guild", "1.0.1")
    small, whole = (Path(f"rulesets/guild/releases/{name}.json") for name in ("1.0.0.record", "1.0.1"))
    assert small.stat().st_size * 2 < whole.stat().st_size
    result = run("check", "job.json", "--ruleset", "guild@1.0.0")
    assert 2 == result.exit_code
    assert "Only a record of guild@1.0.0 is kept" in " ".join(result.stderr.split())


def test_a_version_of_which_a_record_is_kept_is_released_already(festival: Path) -> None:
    release("guild", "1.0.0", "--record")
    assert "guild@1.0.0 is released already" in release("guild", "1.0.0").stderr


def test_too_small_a_step_from_a_record_is_refused_too(festival: Path) -> None:
    release("guild", "1.0.0", "--record")
    edit("rulesets/guild/lanterns.yaml", 'value: "7"', 'value: "7.5"')
    assert STRICTER == release("guild", "1.0.1").stderr


def test_a_rule_gone_since_a_record_is_gone_without_a_word(festival: Path) -> None:
    release("guild", "1.0.0", "--record")
    file = Path("rulesets/guild/lanterns.yaml")
    file.write_text(file.read_text().partition("  paper-not-bare-rice:")[0])
    assert "'paper-not-bare-rice' was released in guild@1.0.0 and is gone." in run("rules", "lint", "rulesets").stderr


@pytest.mark.parametrize(
    "spoil", [lambda text: text.replace("Guild", "guild", 1), lambda text: text[:-9], lambda _: "{}"]
)
def test_a_record_in_which_a_sign_was_changed_is_refused(festival: Path, spoil: Callable[[str], str]) -> None:
    release("guild", "1.0.0", "--record")
    file = Path("rulesets/guild/releases/1.0.0.record.json")
    file.write_text(spoil(file.read_text()))
    result = run("rules", "lint", "rulesets/guild")
    assert (2, None) == (result.exit_code, result.exception and result.exception.__cause__)
    assert "rulesets/guild/releases/1.0.0.record.json" in result.stderr


@pytest.mark.parametrize(
    "text", ['"rules": 3', '"rules": {"a-b": {"title": 3}}', '"header": []', '"limits": {"a": []}']
)
def test_a_record_of_another_shape_is_told_though_its_digest_fits(festival: Path, text: str) -> None:
    folder = Path("rulesets/guild/releases")
    folder.mkdir()
    (folder / "1.0.0.record.json").write_text(sealed(f'"record": 1,\n {text}\n}}\n'))
    result = run("rules", "lint", "rulesets/guild")
    assert 2 == result.exit_code
    assert "1.0.0.record.json" in result.stderr


@pytest.mark.parametrize("name", ["alder-county", "epa-refrigerant"])
def test_what_is_read_from_a_record_is_the_lean_data_of_its_ruleset(name: str, tmp_path: Path) -> None:
    ruleset = shipped_rulesets().library.rulesets[name]
    file = tmp_path / "record.json"
    file.write_text(record_text(ruleset, ()), encoding="utf-8")
    assert lean(plain(ruleset)) == read_record(file, "record.json").data
