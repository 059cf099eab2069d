"""The templates of pages and sheets. The door of Jinja: every value is escaped, and none is left out unseen."""

from __future__ import annotations

import functools
import re
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from checker.problems.sanitize import inert


@functools.cache
def environment() -> Environment:
    """The templates under `checker/reporting/templates`."""
    made = Environment(
        loader=PackageLoader("checker.reporting", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_inert,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["squeezed"] = _squeezed
    return made


def _squeezed(style: str) -> Markup:
    """A style sheet without comments and line breaks: each page carries it."""
    return Markup(re.sub(r"\s+", " ", re.sub(r"/\*.*?\*/", "", style, flags=re.DOTALL)))


def _inert(value: Any) -> Any:
    """What a template shows of a value: its text without signs that steer, or turn the order of letters."""
    return value if hasattr(value, "__html__") else inert(str(value))  # what has it is ready to stand in a page
