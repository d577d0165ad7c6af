"""The command that says what can run on a supply."""

from typing import Any

import click

from fieldlog import tables
from fieldlog.cli.lines import answer_lines
from fieldlog.cli.members import PLAN, listed
from fieldlog.cli.opening import or_stop
from fieldlog.engine import planning


@click.command(epilog=f"Members of a plan:\n\n{listed(PLAN)}")
@click.argument("file", type=click.File("rb"), default="-")
def plan(file: Any) -> None:
    """Say what can run on a supply: plans as JSON, or JSON Lines, from FILE or standard input.

    A plan is arithmetic on what was typed in. It proves no wiring: read the outlet before plugging in.
    """
    code = or_stop(tables.load)
    answer_lines(file.read(), lambda value: planning.plan(value, code))


COMMANDS = (plan,)
