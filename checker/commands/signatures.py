"""Signatures of releases, made and read by `ssh-keygen -Y` (OpenSSH 8.1 and later) with the keys that people have anyway.

A signature stands beside its release as `1.0.0.json.sig`. Who may sign stands in a file of allowed signers, as ssh-keygen(1)
describes it: a name, then a public key, a line each. The signature covers every byte of the release.
"""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

from checker.problems.problem import ProblemsFound, refused
from checker.rulesets.library import Library
from checker.rulesets.release import file_of

NAMESPACE = "changeout-release"  # so that a signature made for something else is worth nothing here
ENDING = ".sig"
NOT_HERE = "Install OpenSSH 8.1 or newer, which brings ssh-keygen."


def signature_file(release: Path) -> Path:
    """Where the signature of a release stands."""
    return release.with_name(release.name + ENDING)


def sign(text: str, key: Path) -> str:
    """The signature of a text by an SSH key. ssh-keygen asks on the terminal for the key's passphrase.

    Args:
        key: The private key, or the public one where an agent holds the private one.

    Raises:
        ProblemsFound: The key cannot be used, or ssh-keygen is not here.
    """
    done = _ssh_keygen("sign", ["-f", str(key), "-n", NAMESPACE], text.encode())
    if done.returncode:
        raise refused(
            str(key), f"The release cannot be signed with this key. {_said(done)}", "Name an SSH key of yours."
        )
    return done.stdout.decode()


def signed_by(library: Library, signers: Path) -> list[tuple[str, str]]:
    """Each release in use, with the name of the one who signed it.

    Args:
        signers: The file of allowed signers.

    Raises:
        ProblemsFound: A release in use is not signed, or not by one of them.
    """
    if not signers.is_file():
        raise refused(str(signers), "There is no such file of signers.", "It has a name and a public SSH key a line.")
    found, problems = [], []
    for frozen in library.released.values():
        try:
            release = file_of(library.folders[frozen.id], frozen.version)
            found.append((frozen.name, _signer(release, frozen.shown, signers)))
        except ProblemsFound as refusal:
            problems += refusal.problems
    if problems:
        raise ProblemsFound(problems)
    return found


def _signer(release: Path, shown: str, signers: Path) -> str:
    """The name of the one who signed a release."""
    signature = signature_file(release)
    if not signature.is_file():
        hint = f"Get {signature.name} from those who released it, or judge without --signers."
        raise refused(shown, "The release is not signed.", hint)
    files = ["-f", str(signers), "-s", str(signature)]
    found = _ssh_keygen("find-principals", files)
    name = found.stdout.decode("utf-8", "replace").split("\n")[0].strip()
    if found.returncode or not name:
        hint = "Add the signer there if you trust that key, or get the release from those you trust."
        raise refused(shown, f"Nobody listed in {signers} signed this release.", hint)
    done = _ssh_keygen("verify", [*files, "-I", name, "-n", NAMESPACE], release.read_bytes())
    if done.returncode:
        hint = "Get the release and its signature again from those who released it."
        raise refused(shown, f"The signature of {name} is not of this release.", hint)
    return name


def _ssh_keygen(action: str, words: Sequence[str], text: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    try:
        return subprocess.run(["ssh-keygen", "-Y", action, *words], input=text, capture_output=True, check=False)
    except FileNotFoundError:
        raise refused("ssh-keygen", "The program that makes and reads signatures is not here.", NOT_HERE) from None


def _said(done: subprocess.CompletedProcess[bytes]) -> str:
    """The last line that ssh-keygen said of what is wrong."""
    lines = done.stderr.decode("utf-8", "replace").strip().splitlines()
    return f"ssh-keygen says: {lines[-1]}" if lines else ""
