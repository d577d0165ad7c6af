"""The commands that judge outlets, and those that print and compile the rulebook they judge by."""

from typing import Any

import click

from fieldlog import rulebook
from fieldlog.cli.lines import answer_lines, print_json
from fieldlog.cli.members import ASSESS, listed
from fieldlog.cli.opening import or_stop
from fieldlog.engine import assess as judge
from fieldlog.engine.trace import trace


@click.command(epilog=f"Members of an input:\n\n{listed(ASSESS)}")
@click.argument("file", type=click.File("rb"), default="-")
@click.option("--explain", is_flag=True, help="Print how each answer came about, step by step, before it.")
def assess(file: Any, explain: bool) -> None:
    """Judge outlets: one JSON object, or JSON Lines, from FILE or standard input.

    The answer holds ids; their words stand under "words" in what fieldlog rulebook prints. A bad line is
    answered by {"error": {"line": …, "problems": […]}} in its place; the others are judged all the same, and
    the exit status is 1.
    """
    book = or_stop(rulebook.load)
    if explain:
        answer_lines(file.read(), lambda value: judge(value, book), lambda value: trace(value, book))
    else:
        answer_lines(file.read(), lambda value: judge(value, book))


@click.command(name="rulebook")
def print_rulebook() -> None:
    """Print the rulebook as canonical JSON."""
    print_json(or_stop(rulebook.load).raw)


@click.command(name="compile")
def compile_rulebook() -> None:
    """Compile schemas/rulebook.json again from the tables in schemas/."""
    compiled = rulebook.compiled_bytes()
    rulebook.PATH.write_bytes(compiled)
    click.echo(f"{rulebook.PATH}: {len(compiled)} bytes, {rulebook.read(rulebook.PATH).id}")


COMMANDS = (assess, print_rulebook, compile_rulebook)
