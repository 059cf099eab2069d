"""A newcomer's way from nothing to a release that others judge by, each step a command given in a folder."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.support import commands

pytestmark = pytest.mark.long

AMENDMENT = ["--limit", "farthest_disconnect", "--to", "30", "--from", "2026-03-01", "--reason", "Lots are narrow here.",
             "--document", "ordinance", "--section", "12", "--sure", "checked", "--yes"]  # fmt: skip


def changeout(folder: Path, *words: str, code: int = 0) -> str:
    """What a command prints, once its exit code is the one expected."""
    done = commands.changeout(*words, cwd=folder)
    assert code == done.returncode, done.stdout + done.stderr
    return " ".join((done.stdout + done.stderr).split())


def job(folder: Path, name: str, distance: str) -> None:
    disconnect = {"fitted": True, "in_sight": True, "distance": distance}
    circuit = {"key": "a", "serves": "outdoor_unit", "disconnect": disconnect}
    facts = {"site": {"jurisdiction": "xx-ash"}, "dates": {"permit_applied": "2026-05-01"}, "circuits": [circuit]}
    folder.mkdir(exist_ok=True)
    (folder / f"{name}.json").write_text(json.dumps({"job_id": name, "schema_version": 1, **facts}), encoding="utf-8")


def outcome(folder: Path, *words: str) -> str:
    """What the rule of the disconnect says of the far job; the rest of the job is open, so the exit code is 1."""
    done = commands.changeout("check", "jobs/far.json", "--format", "json", *words, cwd=folder)
    assert done.returncode in (0, 1), done.stderr
    found = {finding["rule"]: finding["outcome"] for finding in json.loads(done.stdout)["jobs"][0]["findings"]}
    return str(found["disconnect-fitted-in-sight"])


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("newcomer")
    job(folder / "jobs", "near", "20 ft")
    job(folder / "jobs", "far", "40 ft")
    return folder


def test_a_newcomer_makes_edits_lints_compares_and_releases_a_ruleset_and_a_forged_release_is_refused(
    here: Path,
) -> None:
    changeout(here, "rules", "new", "ash-county", "--uses", "larch-state", "--kind", "local", "--covers", "xx-ash",
              "--adopts", "nec:2023:2026-01-01")  # fmt: skip
    unfilled = changeout(here, "rules", "release", "ash-county", "--version", "1.0.0", "--on", "2026-11-25", code=2)
    assert "ash-county/rules.yaml:12:40 This has still to be filled in." in unfilled
    for file in (here / "ash-county").rglob("*.yaml"):
        text = re.sub(r"(?<=: )to fill in(?=[,}\n])", "Ordinance 3", file.read_text(encoding="utf-8"))
        file.write_text(text, encoding="utf-8")
    changeout(here, "rules", "release", "ash-county", "--version", "1.0.0", "--on", "2026-11-25")
    assert "pass" == outcome(here, "--rules", "ash-county")

    edited = changeout(here, "rules", "amend", "disconnect-fitted-in-sight", "--into", "ash-county", *AMENDMENT)
    assert "ash-county: nothing wrong with it, and its 9 cases come out as they say." in edited
    assert "nothing wrong with it" in changeout(here, "rules", "lint", "ash-county")
    assert "0 of them not noticed" in changeout(here, "rules", "cases", "--flip", "ash-county")
    assert "fail" == outcome(here, "--rules", "ash-county")

    compared = changeout(here, "rules", "compare", "ash-county/releases/1.0.0.json", "ash-county")
    assert "farthest_disconnect - Amendment added: Farthest a disconnect may be from its equipment" in compared
    assert "30 ft in place of 50 ft, stricter; Lots are narrow here. [meaning, minor]" in compared
    told = changeout(here, "rules", "impact", "ash-county/releases/1.0.0.json", "ash-county", "jobs", "--on", "2026-11-25",
                     code=1)  # fmt: skip
    assert "1 of 2 jobs would newly fail" in told
    refused = changeout(here, "rules", "release", "ash-county", "--version", "1.0.1", "--on", "2026-11-25", code=2)
    assert "1.0.1 is too small a step for it" in refused
    changeout(here, "rules", "release", "ash-county", "--version", "1.1.0", "--on", "2026-11-25")

    old = ("--rules", "ash-county", "--ruleset", "ash-county@1.0.0")
    new = ("--rules", "ash-county", "--ruleset", "ash-county@1.1.0")
    assert ("pass", "fail") == (outcome(here, *old), outcome(here, *new))

    release = here / "ash-county" / "releases" / "1.1.0.json"
    release.write_text(release.read_text(encoding="utf-8").replace('"value": "30"', '"value": "90"'), encoding="utf-8")
    assert '"value": "90"' in release.read_text(encoding="utf-8")
    forged = changeout(here, "check", "jobs/far.json", *new, code=2)
    assert "releases/1.1.0.json" in forged
    assert "pass" == outcome(here, *old)
