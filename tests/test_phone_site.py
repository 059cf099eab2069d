"""The folder for a web host: visited once, the page comes up and judges with no host and no network."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from checker.engine.startup import open_checker
from checker.fieldwork.phone import site
from tests.support.browser import PHONE, needs_chromium, tab
from tests.support.phone_page import Thumb, made
from tests.support.rulesets import TINY


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        pass


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """A folder on a web host of this machine: its address. Behind the block the host is gone."""
    with http.server.ThreadingHTTPServer(("localhost", 0), functools.partial(Quiet, directory=str(folder))) as host:
        threading.Thread(target=host.serve_forever, daemon=True).start()
        try:
            yield f"http://localhost:{host.server_address[1]}/"
        finally:
            host.shutdown()


@needs_chromium
def test_visited_once_it_judges_with_no_host_and_no_network(tmp_path: Path) -> None:
    for name, content in site.files(made(open_checker((TINY / "bells",), ()), "xx-lowchime")).items():
        (tmp_path / name).write_bytes(content)
    with tab(PHONE) as page:
        with served(tmp_path) as address:
            page.goto(address)
            page.evaluate("navigator.serviceWorker.ready")
        page.context.set_offline(True)
        page.reload()
        thumb = Thumb(page)
        thumb.begin("Great Tom")
        assert "1 core left" in thumb.verdict()
