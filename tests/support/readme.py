"""The pictures in the README are drawn from real runs: `python -m tests.support.readme` draws them anew.

The terminal is text in an SVG, so that it can be held against a run; the page is a PNG of the browser's window.
"""

from __future__ import annotations

import io
import tempfile
from html import escape
from pathlib import Path

from tests.support.commands import ROOT, changeout
from tests.support.rulesets import ON

JOB = "examples/jobs/02-oversized-breaker.json"
COMMAND = f"changeout check {JOB}"
TERMINAL = ROOT / "examples" / "pictures" / "check.svg"
PAGE = ROOT / "examples" / "pictures" / "page.png"
PHONE = {"width": 390, "height": 1000}
CELL, LINE, EDGE, COLUMNS = 7.25, 16, 14, 80
HEADED = ("Fix first", "Still to record", "Core:", "1 to fix")  # what a terminal shows in bold


def terminal() -> str:
    """What the command prints, as a picture of a terminal."""
    printed = changeout(*COMMAND.split()[1:], "--on", ON.isoformat()).stdout
    lines = [f"$ {COMMAND}", *printed.rstrip("\n").splitlines()]
    wide, high = round(COLUMNS * CELL + 2 * EDGE), len(lines) * LINE + 2 * EDGE
    rows = "\n".join(_row(number, line) for number, line in enumerate(lines, 1) if line)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="img">\n'
        f"<title>{escape(COMMAND)}</title>\n"
        f'<rect width="{wide}" height="{high}" rx="6" fill="#15181c"/>\n'
        '<g font-family="ui-monospace, Menlo, Consolas, DejaVu Sans Mono, monospace" font-size="12" fill="#e6e6e6" '
        f'xml:space="preserve">\n{rows}\n</g>\n</svg>\n'
    )


def _row(number: int, line: str) -> str:
    bold = ' font-weight="bold" fill="#fff"' if line.startswith(HEADED) else ""
    red = ' fill="#ff9d8a"' if line.startswith("  Breaker too big") else ""
    said = line.lstrip(" ")
    at, length = EDGE + (len(line) - len(said)) * CELL, len(said) * CELL
    place = f'x="{at:g}" y="{EDGE + number * LINE - 4}" textLength="{length:g}"'
    return f"<text {place}{bold}{red}>{escape(said)}</text>"


def page() -> bytes:
    """The page of the same job, on a phone."""
    from PIL import Image

    from tests.support.browser import opened

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "page.html"
        changeout("check", JOB, "--on", ON.isoformat(), "--format", "page", "--output", str(file))
        with opened(file, PHONE) as (browser, _, _):
            browser.evaluate("document.querySelector('nav').remove()")
            taken = Image.open(io.BytesIO(browser.screenshot()))
    kept = io.BytesIO()
    taken.convert("RGB").quantize(48).save(kept, "PNG", optimize=True)
    return kept.getvalue()


if __name__ == "__main__":
    TERMINAL.write_text(terminal(), encoding="utf-8")
    PAGE.write_bytes(page())
