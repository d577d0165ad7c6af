"""JSON, or JSON Lines, in; one line of canonical JSON out for each."""

import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import click

from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.canonical import canonical
from fieldlog.model.problem import Problem
from fieldlog.sync.wire import parse_strictly

Explain = Callable[[Any], Sequence[str]]


def answer_lines(data: bytes, answer: Callable[[Any], Any], explain: Explain | None = None) -> None:
    """Answer each line in its order; a bad one is answered by its problems, and the exit status is 1."""
    has_failed = False
    for place, (number, line) in enumerate(_inputs(data)):
        if explain is not None and place > 0:
            click.echo()
        try:
            value = _writable(parse_strictly(line))
            answered, told = answer(value), explain(value) if explain is not None else ()
        except Exception as error:
            has_failed, told = True, ()
            answered = {"error": {"line": number, "problems": [one.as_json() for one in _problems(error)]}}
        for one in told:
            click.echo(one)
        print_json(answered)
    if has_failed:
        sys.exit(1)


def _writable(value: Any) -> Any:
    """Give a value that can be told again in an answer: one with half a character in it cannot."""
    try:
        canonical(value)
    except ValueError as error:
        raise BadInput(
            [Problem("", "holds text that is not whole Unicode; type that text again.")]
        ) from error
    return value


def _problems(error: Exception) -> Sequence[Problem]:
    """Give what an error says of its line; one that is ours is told in full on standard error as well."""
    if isinstance(error, BadInput):
        return error.problems
    if isinstance(error, FieldlogError):
        return [Problem("", str(error))]
    traceback.print_exception(error)
    return [Problem("", _ours(error))]


def _ours(error: Exception) -> str:
    return f"could not be judged, and that is a mistake of this program ({error!r}). No verdict is given."


def _inputs(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Give the inputs with their line numbers: the whole file where it is one object over many lines."""
    lines = [(number, line) for number, line in enumerate(data.split(b"\n"), start=1) if line.strip()]
    if len(lines) > 1 and _is_one_value(data) and not _is_one_value(lines[0][1]):
        yield lines[0][0], data
    else:
        yield from lines


def _is_one_value(data: bytes) -> bool:
    try:
        parse_strictly(data)
    except BadInput as bad:
        return not any("not JSON" in problem.problem for problem in bad.problems)
    return True


def print_json(value: Any) -> None:
    sys.stdout.buffer.write(canonical(value) + b"\n")
    sys.stdout.buffer.flush()
