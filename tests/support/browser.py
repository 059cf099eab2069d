"""A real browser for the tests of pages: headless Chromium, driven by Playwright, without a network.

`.ci/run` installs Chromium; where there is none the tests that need it say so and are skipped.
"""

from __future__ import annotations

import atexit
import functools
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
    without = pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium here")
    return pytest.mark.long(pytest.mark.browser(without(test)))  # type: ignore[no-any-return]


@contextmanager
def opened(file: Path, size: dict[str, int] = DESK, scripts: bool = True) -> Iterator[tuple[Any, list[str], list[str]]]:
    """A file opened from disk: the page, what its console complained of, and every request that left the file.

    The page stands in a context of its own, so that it finds nothing that another page has stored.
    """
    complaints: list[str] = []
    requests: list[str] = []
    with tab(size, scripts) as page:
        page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("request", lambda request: requests.append(request.url) if _leaves(request.url, file) else None)
        page.goto(file.as_uri())
        yield page, complaints, requests


@contextmanager
def tab(size: dict[str, int] = DESK, scripts: bool = True) -> Iterator[Any]:
    """An empty page in a context of its own."""
    context = _browser().new_context(viewport=size, java_script_enabled=scripts, accept_downloads=True)
    try:
        yield context.new_page()
    finally:
        context.close()


@functools.cache
def _browser() -> Any:
    """The one browser of this process, which is closed as the process ends."""
    from playwright.sync_api import sync_playwright

    playwright = sync_playwright().start()
    atexit.register(playwright.stop)
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
    atexit.register(browser.close)
    return browser


def _leaves(url: str, file: Path) -> bool:
    return url != file.as_uri() and not url.startswith(("data:", "blob:"))


# What has the same color, size of type and everything behind it has the same contrast: one of each look stands for all.
CONTRAST = """async () => {
  const behind = new Map([[null, '']]), looks = new Map();
  const under = element => {
    if (!behind.has(element)) {
      const style = getComputedStyle(element);
      behind.set(element, [style.backgroundColor, style.backgroundImage, style.opacity, style.filter,
        style.mixBlendMode, under(element.parentElement)].join('|'));
    }
    return behind.get(element);
  };
  for (const element of document.body.querySelectorAll('*')) {
    const written = [...element.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim());
    if ((written || element.matches('input, select, textarea')) && element.getClientRects().length) {
      const style = getComputedStyle(element);
      const look = [style.color, style.fill, style.fontSize, style.fontWeight, style.textShadow, under(element)].join('|');
      if (!looks.has(look)) looks.set(look, element);
    }
  }
  const found = await axe.run({include: [...looks.values()]}, {runOnly: ['color-contrast'], resultTypes: ['violations']});
  return found.violations;
}"""


def faults(page: Any) -> list[str]:
    """Serious and critical faults that axe-core finds (WCAG 2 A and AA), as text."""
    from axe_playwright_python.sync_playwright import Axe

    all_else = {"resultTypes": ["violations"], "rules": {"color-contrast": {"enabled": False}}}
    return [*_told(Axe().run(page, options=all_else).response["violations"]), *_contrast(page)]


def faults_at(page: Any, size: dict[str, int]) -> list[str]:
    """The faults of a page whose style knows no widths: what does not hang on looks is asked on the phone alone."""
    if size == PHONE:
        return faults(page)
    from axe_playwright_python.sync_playwright import Axe

    page.evaluate(Axe().axe_script)
    return _contrast(page)


def weak_contrast(page: Any) -> list[str]:
    """Where a text has less than 7 to 1 against what is behind it (WCAG 2.2, 1.4.6)."""
    from axe_playwright_python.sync_playwright import Axe

    only = {"runOnly": ["color-contrast-enhanced"], "resultTypes": ["violations"]}
    return [one["id"] for one in Axe().run(page, options=only).response["violations"]]


def _contrast(page: Any) -> list[str]:
    return _told(page.evaluate(CONTRAST))


def _told(violations: list[Any]) -> list[str]:
    return [f"{one['id']}: {one['help']}" for one in violations if one["impact"] in ("serious", "critical")]
