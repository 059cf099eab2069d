"""`changeout rules show`: what `changeout explain` shows."""

from __future__ import annotations

import click

from checker.commands.explain import explain

show = click.Command("show", params=explain.params, callback=explain.callback, help=explain.help)
