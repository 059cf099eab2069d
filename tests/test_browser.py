"""What the tests of pages look with: a fault of a page is seen wherever it stands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from checker import reporting
from tests.support.browser import faults, needs_chromium, opened

FINE = "<p>Black on white</p>" * 20


@needs_chromium
@pytest.mark.parametrize(
    "wrong",
    [
        '<p style="color: #aaa">Gray on white</p>',
        '<p style="background: #333">Black on gray</p>',
        '<div style="background: #333"><section><p>Black on the gray of what is around it</p></section></div>',
        '<p style="opacity: 0.3">Pale</p>',
        '<p><button style="color: #aaa; background: #fff">Gray</button></p>',
        '<label>Size <input style="color: #aaa" value="gray"></label>',
        '<details open><summary>More</summary><p style="color: #aaa">Gray in a fold</p></details>',
    ],
)
def test_one_text_of_too_little_contrast_among_many_is_seen(tmp_path: Path, wrong: str) -> None:
    """WCAG 2.1, success criterion 1.4.3: a ratio of 4.5 to 1. #aaa on white is 2.3, black on #333 is 1.7."""
    file = tmp_path / "page.html"
    text = "<html lang=en><title>Contrast</title><style>body {{background: #fff; color: #000}}</style><main>{}</main>"
    file.write_text(text.format(FINE + wrong + FINE))
    with opened(file) as (page, _, _):
        assert ["color-contrast"] == [fault.split(":")[0] for fault in faults(page)]
    file.write_text(text.format(FINE))
    with opened(file) as (page, _, _):
        assert [] == faults(page)


@needs_chromium
def test_a_picture_without_words_for_it_is_seen(tmp_path: Path) -> None:
    """WCAG 2.1, success criterion 1.1.1."""
    file = tmp_path / "page.html"
    file.write_text(
        "<html lang=en><title>Picture</title><main><img src='data:image/gif;base64,R0lGODlhAQABAAAAACw='></main>"
    )
    with opened(file) as (page, _, _):
        assert ["image-alt"] == [fault.split(":")[0] for fault in faults(page)]


def test_only_sheets_have_no_style_of_their_own_for_a_width() -> None:
    """So that a sheet has the same faults at each width, if any: `faults_at` asks for the most of them once."""
    templates = Path(reporting.__file__).parent / "templates"
    assert {"docs.css", "style.css"} == {
        file.name for file in templates.iterdir() if re.search(r"@media[^{]*width", file.read_text())
    }
