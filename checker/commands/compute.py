"""`changeout compute …`: a command for each quantity."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from checker.commands.errors import stopping

if TYPE_CHECKING:
    from checker.calculators.quantity import Quantity


class _Quantities(click.Group):
    """A command for each quantity; the list is read only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        from checker.calculators import QUANTITIES

        return list(QUANTITIES)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        from checker.calculators import QUANTITIES

        return _quantity_command(QUANTITIES[cmd_name]) if cmd_name in QUANTITIES else None


@click.group(cls=_Quantities)
def compute() -> None:
    """Work out one quantity from readings, the working shown. Write units: "340 psig", "42.5 °C"."""


def _quantity_command(quantity: Quantity) -> click.Command:
    from checker.calculators import help_of

    parameters: list[click.Parameter] = [
        click.Argument([wanted.name], nargs=-1, metavar="MIN:LEVEL…")
        if wanted.shows == "readings"
        else click.Option([wanted.option], metavar="", help=help_of(wanted))
        for wanted in quantity.inputs
    ]
    units = click.Option(["--units"], type=click.Choice(["us", "si"]), default="us", help="Units to answer in.")

    def work(units: str, **texts: str | tuple[str, ...] | None) -> None:
        from checker.calculators import compute as computed

        with stopping():
            click.echo(computed(quantity.name, texts, units == "si"), nl=False)

    return click.Command(quantity.name, params=[*parameters, units], help=quantity.meaning, callback=work)
