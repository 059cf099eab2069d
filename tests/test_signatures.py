"""Releases signed with SSH keys: what is signed is judged with where the signer may sign, and nothing else is.

The outside world is OpenSSH: keys are made, and one signature is read, by its own command.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from click.testing import Result

from checker.commands import signatures
from checker.commands.signatures import NAMESPACE
from tests.support.festival import festival_in, release, run

SIGNED = "rulesets/village/releases/1.0.0.json"


@pytest.fixture
def festival(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A ruleset released and signed by its keeper, who stands in `signers`; `strangers` names another key."""
    folder = festival_in(tmp_path, monkeypatch)
    for name in ("keeper", "stranger"):
        subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", name, "-f", name], check=True)
        key = Path(f"{name}.pub").read_text()
        Path(f"{name}s").write_text(f"{name}@lamp.example {key}")
    done = release("village", "1.0.0", "--sign", "keeper")
    assert 0 == done.exit_code, done.stderr
    return folder


def check(*options: str) -> Result:
    return run("check", "job.json", "--ruleset", "village@1.0.0", "--on", "2026-11-25", *options)


def test_ssh_keygen_itself_reads_the_signature(festival: Path) -> None:
    words = ["-Y", "verify", "-f", "keepers", "-I", "keeper@lamp.example", "-n", NAMESPACE, "-s", f"{SIGNED}.sig"]
    done = subprocess.run(["ssh-keygen", *words], input=Path(SIGNED).read_bytes(), capture_output=True, check=False)
    assert 0 == done.returncode
    assert b'Good "changeout-release" signature for keeper@lamp.example' in done.stdout


def test_a_release_that_one_of_the_signers_signed_is_judged_with_and_its_signer_is_named(festival: Path) -> None:
    done = check("--signers", "keepers")
    assert 0 == done.exit_code
    assert done.stderr.startswith("village@1.0.0 is signed by keeper@lamp.example.\n")


def test_who_may_sign_stands_in_the_settings(festival: Path) -> None:
    Path("changeout.toml").write_text('signers = "strangers"\n')
    assert 2 == check().exit_code
    assert 0 == check("--signers", "keepers").exit_code


def test_a_release_that_a_stranger_signed_is_refused(festival: Path) -> None:
    done = check("--signers", "strangers")
    assert 2 == done.exit_code
    assert "Nobody listed in strangers signed this release." in done.stderr


def test_a_release_without_a_signature_is_refused(festival: Path) -> None:
    Path(f"{SIGNED}.sig").unlink()
    done = check("--signers", "keepers")
    assert 2 == done.exit_code
    assert "The release is not signed." in done.stderr
    assert 0 == check().exit_code  # nobody asked who signed it


def test_a_signature_of_another_text_is_refused(festival: Path) -> None:
    Path(f"{SIGNED}.sig").write_text(signatures.sign("another text", Path("keeper")))
    done = check("--signers", "keepers")
    assert 2 == done.exit_code
    assert "The signature of keeper@lamp.example is not of this release." in done.stderr


def test_a_signature_for_another_purpose_is_refused(festival: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as context:
        context.setattr(signatures, "NAMESPACE", "file")
        Path(f"{SIGNED}.sig").write_text(signatures.sign(Path(SIGNED).read_text(), Path("keeper")))
    assert 2 == check("--signers", "keepers").exit_code


def test_a_key_that_is_none_releases_nothing(festival: Path) -> None:
    Path("broken").write_text("no key")
    done = release("guild", "9.0.0", "--sign", "broken")
    assert 2 == done.exit_code
    assert "The release cannot be signed with this key. ssh-keygen says: " in done.stderr
    assert not Path("rulesets/guild/releases/9.0.0.json").exists()


@pytest.mark.parametrize("words", [("--signers", "nowhere"), ("--signers", "keepers")])
def test_where_it_cannot_be_looked_at_nothing_is_judged(
    festival: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    monkeypatch.setenv("PATH", str(festival))  # no ssh-keygen there
    done = check(*words)
    assert 2 == done.exit_code
    wanted = (
        "There is no such file of signers." if "nowhere" in words else "The program that makes and reads signatures"
    )
    assert wanted in done.stderr
