"""changeout.toml: what a contractor would type on each line, written once beside the jobs or above them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from checker.commands.settings import Settings, read, settings_for
from checker.problems.problem import ProblemsFound
from checker.reading.shipped import ROOT
from tests.support.commands import changeout, on_day

SHOP = ROOT / "examples/shop"
JOB = {"job_id": "a", "schema_version": 1, "scope": {"system": "split_air_conditioner", "outdoor_unit": True}}


def written(folder: Path, text: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "changeout.toml").write_text(text, encoding="utf-8")
    (folder / "job.json").write_text(json.dumps(JOB))
    return folder / "changeout.toml"


# --- what it gives ---------------------------------------------------------------------------------------------------


def test_a_shop_s_job_is_checked_without_an_option() -> None:
    run = changeout(*on_day("check", "examples/shop", "--format", "json"))
    assert 0 == run.returncode
    assert run.stderr.startswith(
        "Using examples/shop/changeout.toml: equipment examples/equipment, profile examples/profile.json. "
        "Leave it out with --no-config.\n"
    )
    assert (
        "From examples/shop/changeout.toml: equipment examples/equipment, profile examples/profile.json." in run.stdout
    )


def test_it_is_left_out_where_nobody_wants_it() -> None:
    run = changeout(*on_day("check", "examples/shop", "--no-config"))
    assert 2 == run.returncode
    assert "Using" not in run.stderr
    assert "is not among the job's instruments" in run.stderr


def test_an_option_wins_and_the_rest_is_still_used(tmp_path: Path) -> None:
    other = tmp_path / "crew.json"
    shutil.copy(ROOT / "examples/profile.json", other)
    run = changeout(*on_day("check", "examples/shop", "--profile", str(other)))
    assert "equipment examples/equipment. Leave" in run.stderr
    assert "profile" not in run.stderr.splitlines()[0]


@pytest.mark.long
def test_processes_that_judge_use_it_too() -> None:
    one = changeout(*on_day("check", "examples/shop", "--format", "jsonl"))
    two = changeout(*on_day("check", "examples/shop", "--format", "jsonl", "--workers", "2"))
    assert (0, one.stdout) == (two.returncode, two.stdout)


def test_a_place_is_for_jobs_that_name_none(tmp_path: Path) -> None:
    written(tmp_path, 'place = "xx-alder"\n')
    (tmp_path / "other.json").write_text(json.dumps({**JOB, "job_id": "b", "site": {"jurisdiction": "xx-larch"}}))
    run = changeout(*on_day("check", str(tmp_path), "--format", "jsonl"))
    places = sorted(value for line in run.stdout.splitlines() if (value := json.loads(line).get("place")))
    assert ["xx-alder", "xx-larch"] == places


def test_it_is_found_above_the_jobs_and_the_nearest_counts(tmp_path: Path) -> None:
    written(tmp_path, 'place = "xx-alder"\n')
    (tmp_path / "2026" / "may").mkdir(parents=True)
    assert "xx-alder" == settings_for([tmp_path / "2026" / "may"]).place
    written(tmp_path / "2026", 'place = "xx-sorrel"\n')
    assert "xx-sorrel" == settings_for([tmp_path / "2026" / "may"]).place


def test_names_of_files_are_seen_from_its_own_folder(tmp_path: Path) -> None:
    file = written(tmp_path / "jobs", 'profile = "crew.json"\nequipment = "../sheets"\nruleset = ["ours"]\n')
    settings = read(file)
    assert settings.profile is not None
    assert (tmp_path / "jobs" / "crew.json").resolve() == settings.profile.resolve()
    assert [(tmp_path / "sheets").resolve()] == [folder.resolve() for folder in settings.equipment]
    assert ("ours",) == settings.ruleset


def test_there_is_none(tmp_path: Path) -> None:
    assert Settings() == settings_for([tmp_path])


# --- what is wrong with it -------------------------------------------------------------------------------------------

WRONG = {
    'place = "xx-alder"\nprofil = "crew.json"\n': (":2:1", "'profil' is not a setting.", "Did you mean 'profile'?"),
    "place = xx-alder\n": (":1:1", "This is not TOML", 'place = "xx-alder"'),
    "place = 3\n": (":1:1", "'place' names one text in quotes.", 'Write place = "one"'),
    'ruleset = ["a", 3]\n': (":1:1", "'ruleset' names texts in quotes.", 'Write ruleset = ["one", "two"]'),
    'profile = ["a", "b"]\n': (":1:1", "'profile' names one text in quotes.", 'Write profile = "one"'),
}


@pytest.mark.parametrize(("text", "said"), WRONG.items())
def test_a_mistake_is_told_by_line_with_a_hint(text: str, said: tuple[str, str, str], tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as found:
        read(written(tmp_path, text))
    (problem,) = found.value.problems
    place, what, hint = said
    assert str(problem.where).endswith(f"changeout.toml{place}")
    assert what in problem.what
    assert hint in problem.hint


def test_what_is_no_text_is_told_with_its_place(tmp_path: Path) -> None:
    (tmp_path / "changeout.toml").write_bytes(b'place = "xx-alder"\nprofile = "\xff.json"\n')
    with pytest.raises(ProblemsFound) as found:
        settings_for([tmp_path])
    assert str(found.value.problems[0].where).endswith("changeout.toml:2:12")


def test_a_file_without_end_is_not_read_whole(tmp_path: Path) -> None:
    (tmp_path / "changeout.toml").write_bytes(b"#" * 2**23)
    with pytest.raises(ProblemsFound, match="larger than"):
        settings_for([tmp_path])


def test_all_mistakes_are_told_at_once_and_the_command_ends_with_2(tmp_path: Path) -> None:
    written(tmp_path, "place = 3\nsheets = 4\n")
    run = changeout(*on_day("check", str(tmp_path)))
    assert 2 == run.returncode
    assert "'place' names one text" in run.stderr
    assert "'sheets' is not a setting" in run.stderr


def test_jobs_with_different_settings_are_not_checked_together(tmp_path: Path) -> None:
    written(tmp_path / "a", 'place = "xx-alder"\n')
    written(tmp_path / "b", 'place = "xx-sorrel"\n')
    run = changeout(*on_day("check", str(tmp_path / "a"), str(tmp_path / "b")))
    assert 2 == run.returncode
    assert "The jobs have different settings" in run.stderr
    assert "--no-config" in run.stderr


def test_a_profile_that_is_not_there_is_told(tmp_path: Path) -> None:
    written(tmp_path, 'profile = "nobody.json"\n')
    run = changeout(*on_day("check", str(tmp_path)))
    assert 2 == run.returncode
    assert "nobody.json" in run.stderr
