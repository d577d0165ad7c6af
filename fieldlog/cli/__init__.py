"""The command line: each command reads its arguments, calls, and prints."""

import click

from fieldlog.cli import filing, judging, keeping, planning, recording, rig, securing, serving, trending


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def main() -> None:
    """Field checklist and test log for a camping trailer's 120 V wiring."""


GROUPS = (judging, planning, trending, rig, keeping, recording, filing, securing, serving)

for command in (command for group in GROUPS for command in group.COMMANDS):
    main.add_command(command)
