"""The page as a folder for a web host: visited once it works without a network, and installs to the home screen."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from importlib import resources

from checker.fieldwork.phone.icons import icon
from checker.fieldwork.phone.page import MANIFEST, Made, render
from checker.problems import json_out

PAGE, WORKER = "index.html", "worker.js"
SIZES = (192, 512)  # the two that phones ask for to install a page


def files(page: Made) -> Mapping[str, bytes]:
    """The files of the folder by their names."""
    found = {PAGE: render(page, WORKER).encode(), MANIFEST: _manifest(page).encode()}
    found |= {_icon(size): icon(size) for size in SIZES}
    return {**found, WORKER: _worker(found).encode()}


def _icon(size: int) -> str:
    return f"icon-{size}.png"


def _manifest(page: Made) -> str:
    icons = [
        {"src": _icon(size), "sizes": f"{size}x{size}", "type": "image/png", "purpose": "any maskable"}
        for size in SIZES
    ]
    about = {
        "name": f"Change-out check: {page.place}",
        "short_name": "Change-out",
        "start_url": PAGE,
        "scope": "./",
        "display": "standalone",
        "background_color": "#ffffff",
        "theme_color": "#0b3a6b",
        "icons": icons,
    }
    return json_out.document(about)


def _worker(found: Mapping[str, bytes]) -> str:
    """The service worker: it keeps these very files, and answers with them alone."""
    digest = hashlib.sha256(b"".join(found[name] for name in sorted(found))).hexdigest()[:16]
    kept = json_out.compact(["./", *sorted(found)])
    worker = resources.files("checker.fieldwork.phone").joinpath("worker.js").read_text(encoding="utf-8")
    return f'const VERSION = "{digest}";\nconst FILES = {kept};\n{worker}'
