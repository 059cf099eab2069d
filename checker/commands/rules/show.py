"""`changeout rules show`: what `changeout explain` shows."""

from __future__ import annotations

from checker.commands import options
from checker.commands.explain import explain

show = options.Sectioned("show", params=explain.params, callback=explain.callback, help=explain.help)
