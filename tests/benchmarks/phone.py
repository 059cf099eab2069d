"""The page for the phone: how long it takes to make, open and answer, and how big it is.

Both visits of `tests/support/first_visits.py` are done by tapping and typing in headless Chromium, with the processor held to a
quarter. An input takes from its event to the end of the layout that it brings about; keeping the answer goes on behind it.
"""

from __future__ import annotations

import gzip
import tempfile
import time
from pathlib import Path
from statistics import median, quantiles
from typing import Any

from tests.benchmarks.measure import Told
from tests.benchmarks.real import checker
from tests.support.browser import PHONE, tab
from tests.support.first_visits import FURNACE, HEAT_PUMP, Notes
from tests.support.phone_page import Thumb
from tests.support.phone_visits import NOON, Visit, page_at_home, told_in_interview

SLOWED = 4
WATCH = """globalThis.inputs = [];
for (const kind of ["change", "click"]) addEventListener(kind, (event) => {
  if (!event.target.closest?.("main")) return;
  const began = performance.now(), what = (event.target.closest("[data-path]")?.dataset.path ?? event.target.textContent);
  setTimeout(() => { document.body.offsetHeight; inputs.push([performance.now() - began, `${kind} ${what}`]); });
}, true);"""


def run(told: Told) -> None:
    """Both visits."""
    for name, notes in (("a furnace and an air conditioner", FURNACE), ("a heat pump", HEAT_PUMP)):
        told.heading(f"The page for the phone: {name}")
        with tempfile.TemporaryDirectory() as folder:
            _visit(told, notes, Path(folder))


def _visit(told: Told, notes: Notes, folder: Path) -> None:
    full = told_in_interview(checker(), notes)
    began = time.perf_counter()
    file = page_at_home(checker(), full, folder)
    print(f"  to make: {time.perf_counter() - began:.1f} s")
    data = file.read_bytes()
    told.goal("bytes of the page", len(data), 1_500_000, at_most=True)
    told.goal("bytes gzipped", len(gzip.compress(data)), 400_000, at_most=True)
    with tab(PHONE) as page:
        page.clock.set_fixed_time(NOON)
        page.add_init_script(WATCH)
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        print(f"  to open, no job on the phone: {_shown(page, file.as_uri(), 'h1'):.2f} s")
        visit = Visit(Thumb(page), full, checker())
        visit.open("14 Elm")
        visit.walk()
        inputs = page.evaluate("inputs")
        print(f"  to open and judge the whole job: {_shown(page, '', 'nav.bar .verdict'):.2f} s")
    _inputs(told, inputs)


def _shown(page: Any, address: str, selector: str) -> float:
    """Seconds until an element stands there, after a page was opened or loaded again."""
    began = time.perf_counter()
    page.goto(address, wait_until="commit") if address else page.reload(wait_until="commit")
    page.wait_for_selector(selector)
    return time.perf_counter() - began


def _inputs(told: Told, inputs: list[tuple[float, str]]) -> None:
    took = sorted(one for one, _ in inputs)
    print(f"  {len(took)} inputs, ms: median {median(took):.0f}, nine of ten {quantiles(took, n=10)[-1]:.0f}")
    for one, what in sorted(inputs, reverse=True)[:5]:
        print(f"    {one:5.0f} {what}")
    told.goal("ms of the slowest input", took[-1], 50, at_most=True)
