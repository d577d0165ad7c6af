"""The command that says what has drifted."""

from typing import Any

import click

from fieldlog.cli.lines import answer_lines
from fieldlog.cli.members import TREND, listed
from fieldlog.engine.trend import trend as told


@click.command(epilog=f"Members of a series:\n\n{listed(TREND)}")
@click.argument("file", type=click.File("rb"), default="-")
def trend(file: Any) -> None:
    """Say what has drifted: series of readings as JSON, or JSON Lines, from FILE or standard input.

    The state is too-few (below four readings since the last change), steady, stepped or drifting. Steady says
    that no alarm stands, not that nothing is wrong.
    """
    answer_lines(file.read(), told)


COMMANDS = (trend,)
