"""A real browser for the tests of pages: headless Chromium, driven by Playwright, without a network.

`.ci/run` installs Chromium; where there is none the tests that need it say so and are skipped.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}


def needs_chromium(test: Callable[..., None]) -> Callable[..., None]:
    """Mark a test that opens a browser, which takes long; it is skipped where there is none."""
    without = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")
    return pytest.mark.long(without(test))  # type: ignore[no-any-return]


@contextmanager
def opened(file: Path, size: dict[str, int] = DESK, scripts: bool = True) -> Iterator[tuple[Any, list[str], list[str]]]:
    """A file opened from disk: the page, what its console complained of, and every request that left the file."""
    from playwright.sync_api import sync_playwright

    complaints: list[str] = []
    requests: list[str] = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_context(viewport=size, java_script_enabled=scripts, accept_downloads=True).new_page()
        page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("request", lambda request: requests.append(request.url) if _leaves(request.url, file) else None)
        page.goto(file.as_uri())
        try:
            yield page, complaints, requests
        finally:
            browser.close()


def _leaves(url: str, file: Path) -> bool:
    return url != file.as_uri() and not url.startswith(("data:", "blob:"))


def faults(page: Any) -> list[str]:
    """Serious and critical faults that axe-core finds (WCAG 2 A and AA), as text."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {one['help']}" for one in found if one["impact"] in ("serious", "critical")]
