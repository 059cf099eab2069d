"""Output on terminals of other encodings: no traceback, and a sign that is missing there can be read all the same."""

from __future__ import annotations

import io

import pytest

from checker.commands.streams import make_readable

ENCODINGS = ("ascii", "cp1252", "latin-1", "cp850", "shift_jis", "utf-8")
SAID = "≤ 0.5 in — 45 °F, µ, 1 in², “so” … naïve\N{SNOWMAN}"


def _written(monkeypatch: pytest.MonkeyPatch, encoding: str) -> str:
    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    monkeypatch.setattr("sys.stdout", stream)
    make_readable()
    stream.write(SAID)
    stream.flush()
    return stream.buffer.getvalue().decode(encoding)  # type: ignore[attr-defined, no-any-return]


def test_what_ascii_lacks_is_written_as_on_a_plain_keyboard(monkeypatch: pytest.MonkeyPatch) -> None:
    assert _written(monkeypatch, "ascii") == '<= 0.5 in - 45 degF, u, 1 in2, "so" ... naive?'


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_no_encoding_is_too_poor(monkeypatch: pytest.MonkeyPatch, encoding: str) -> None:
    written = _written(monkeypatch, encoding)
    assert "0.5 in" in written
    assert ("°F" in written) == (encoding != "ascii")
    assert (written == SAID) == (encoding == "utf-8")


@pytest.mark.long
@pytest.mark.parametrize("encoding", [one for one in ENCODINGS if one != "ascii"])  # click writes UTF-8 there
@pytest.mark.parametrize(
    "line",
    ["check examples/jobs/02-oversized-breaker.json", "prep examples/jobs/01-clean.json", "rules overview", "--help"],
)
def test_commands_on_such_a_terminal(encoding: str, line: str) -> None:
    import os
    import subprocess
    import sys

    from checker.reading.shipped import ROOT

    command = [sys.executable, "-m", "checker", *line.split()]
    run = subprocess.run(
        command, env={**os.environ, "PYTHONIOENCODING": encoding}, cwd=ROOT, capture_output=True, timeout=120
    )
    assert (run.returncode in (0, 1), b"Traceback" in run.stderr) == (True, False), run.stderr[-2000:]
    assert run.stdout.decode(encoding)
