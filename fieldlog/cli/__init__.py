"""The command line: each command reads its arguments, calls, and prints."""

import click

from fieldlog.cli import filing, judging, keeping, rig, serving


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def main() -> None:
    """Field checklist and test log for a camping trailer's 120 V wiring."""


for command in (*judging.COMMANDS, *rig.COMMANDS, *keeping.COMMANDS, *filing.COMMANDS, *serving.COMMANDS):
    main.add_command(command)
