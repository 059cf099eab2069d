"""The templates of pages and sheets. The door of Jinja: every value is escaped, and none is left out unseen."""

from __future__ import annotations

import functools

from jinja2 import Environment, PackageLoader, StrictUndefined


@functools.cache
def environment() -> Environment:
    """The templates under `checker/report/templates`."""
    return Environment(
        loader=PackageLoader("checker.report", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
