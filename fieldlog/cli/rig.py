"""The commands that judge a rig's wiring: what guards what, and whether a box holds what is in it."""

from typing import Any

import click

from fieldlog import tables
from fieldlog.cli.lines import answer_lines
from fieldlog.cli.members import PROTECT, listed
from fieldlog.cli.opening import or_stop
from fieldlog.engine.box import box_fill
from fieldlog.engine.protection import answer


@click.command(epilog=f"Members of a map:\n\n{listed(PROTECT)}")
@click.argument("file", type=click.File("rb"), default="-")
def protect(file: Any) -> None:
    """Say what guards what: rig maps as JSON, or JSON Lines, from FILE or standard input.

    Where trip tests contradict the map, it gives the fewest changes that would explain them. Its findings are
    advice, no verdict of law; their words stand in schemas/facts/protection.json.
    """
    code = or_stop(tables.load)
    answer_lines(file.read(), lambda value: answer(value, code))


@click.command()
@click.argument("file", type=click.File("rb"), default="-")
def box(file: Any) -> None:
    """Say whether boxes hold what is in them: JSON, or JSON Lines, from FILE or standard input."""
    code = or_stop(tables.load)
    answer_lines(file.read(), lambda value: box_fill(value, code))


COMMANDS = (protect, box)
