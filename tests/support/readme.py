"""The output in the README is drawn from a real run: `python -m tests.support.readme` writes it anew."""

from __future__ import annotations

import re

from tests.support.commands import ROOT, changeout
from tests.support.rulesets import ON

README = ROOT / "README.md"
COMMAND = "changeout check examples/jobs/02-oversized-breaker.json"
BLOCK = re.compile(r"(?<=<!-- drawn by: python -m tests.support.readme -->\n)```\n.*?```\n", re.DOTALL)


def drawn() -> str:
    """The README as it should be."""
    done = changeout(*COMMAND.split()[1:], "--on", ON.isoformat())
    block = f"```\n$ {COMMAND}\n{done.stdout}```\n"
    return BLOCK.sub(lambda _: block, README.read_text(encoding="utf-8"))


if __name__ == "__main__":
    README.write_text(drawn(), encoding="utf-8")
