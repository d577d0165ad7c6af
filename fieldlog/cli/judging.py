"""The commands that judge outlets, and those that print and compile the rulebook they judge by."""

import json
import sys
from typing import Any

import click

from fieldlog import rulebook
from fieldlog.cli.lines import answer_lines, print_json
from fieldlog.cli.members import ASSESS, listed
from fieldlog.cli.opening import opened_store, or_stop
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


@click.command(name="judge")
@click.option("--all", "is_all", is_flag=True, required=True, help="Every check of every log here.")
def judge_checks(is_all: bool) -> None:  # it says what is judged, and there is no other way yet
    """Judge kept checks again by today's rulebook, and print each that it judges otherwise, as JSON Lines.

    What was said stays as it is. It may be broken off at any time, and goes on where it was; a check that was
    judged by today's rulebook counts as judged. The pages show what differs under /judged.
    """
    from fieldlog.sync.judging_again import judge_all

    book, store = or_stop(rulebook.load), opened_store()
    worse = differ = 0
    with click.progressbar(length=0, label="Judged again", file=sys.stderr) as bar:

        def until(first: int, newest: int) -> None:
            bar.length, bar.pos = newest, first

        for part in judge_all(store, book, until):
            for each in part.found:
                click.echo(json.dumps(vars(each), ensure_ascii=False, sort_keys=True))
            differ, worse = differ + len(part.found), worse + sum(each.is_worse for each in part.found)
            bar.update(part.reached.last_seq - bar.pos)
    said = (
        f"{differ} judged otherwise by {book.id}; {worse} of them stood as usable and are judged worse now."
    )
    click.echo(said, err=True)


COMMANDS = (assess, print_rulebook, compile_rulebook, judge_checks)
