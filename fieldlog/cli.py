"""The command line: each command reads its arguments, calls, and prints."""

import os
import secrets
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click

from fieldlog import clock, rulebook
from fieldlog.config import Config
from fieldlog.engine import assess as judge
from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.account import DEMO_NAME
from fieldlog.model.canonical import canonical
from fieldlog.model.problem import Problem
from fieldlog.sync.wire import parse_strictly


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def main() -> None:
    """Field checklist and test log for a camping trailer's 120 V wiring."""


@main.command()
@click.argument("file", type=click.File("rb"), default="-")
def assess(file: Any) -> None:
    """Judge outlets: one JSON object, or JSON Lines, from FILE or standard input."""
    book = _or_stop(rulebook.load)
    _answer_lines(file.read(), lambda value: judge(value, book))


@main.command(name="rulebook")
def print_rulebook() -> None:
    """Print the rulebook as canonical JSON."""
    _print(_or_stop(rulebook.load).raw)


@main.command(name="compile")
def compile_rulebook() -> None:
    """Compile schemas/rulebook.json again from the tables in schemas/."""
    compiled = rulebook.compiled_bytes()
    rulebook.PATH.write_bytes(compiled)
    click.echo(f"{rulebook.PATH}: {len(compiled)} bytes, {rulebook.read(rulebook.PATH).id}")


@main.command()
def serve() -> None:
    """Serve the app on HOST and PORT."""
    config = Config.from_environment()
    arguments = [
        sys.executable,
        "-m",
        "gunicorn",
        "fieldlog.app:create_app()",
        "--bind",
        f"{config.host}:{config.port}",
    ]
    arguments += ["--workers", "2", "--threads", "4", "--worker-tmp-dir", str(_data_folder(config))]
    arguments += ["--limit-request-line", "4094", "--graceful-timeout", "10", "--log-level", "warning"]
    sys.stdout.flush()
    os.execv(sys.executable, arguments)


@main.command()
def migrate() -> None:
    """Make the database, or bring it to this version."""
    _store().close()
    click.echo("The database is up to date.")


@main.command()
def link() -> None:
    """Print a one-time link for making the first account; nothing when there is an account."""
    from fieldlog.web.people.accounts import mint_first_account_link

    path = mint_first_account_link(_store(), now=clock.now)
    if path is not None:
        click.echo(_base_address(Config.from_environment()) + path)


@main.group()
def user() -> None:
    """Accounts."""


@user.command(name="add")
@click.argument("name")
def add_user(name: str) -> None:
    """Make an account; its password is read from standard input."""
    if sys.stdin.isatty():
        password = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    else:
        password = sys.stdin.readline().rstrip("\r\n")
    _or_stop(lambda: _create_account(name, password))
    click.echo(f"The account {name} is made.")


@main.command()
def demo() -> None:
    """Load the invented rig with a month of invented records, under an account of its own."""
    from fieldlog.store.accounts import accounts_by_name

    store = _store()
    with store.reading() as tx:
        is_loaded = any(account.name == DEMO_NAME for account in accounts_by_name(tx))
    if is_loaded:
        click.echo("The invented rig is there already.")
        return
    password = secrets.token_urlsafe(12)
    count = _or_stop(lambda: _load_demo(password))
    click.echo(f"An invented rig with {count} invented records is loaded.")
    click.echo(f"Sign in as: {DEMO_NAME}\nPassword:   {password}")


@main.command()
@click.argument("rig")
@click.option("--pdf", type=click.Path(dir_okay=False, path_type=Path), required=True, help="File to write.")
@click.option("--address", default=None, help="Address of the server, for the QR code.")
def record(rig: str, pdf: Path, address: str | None) -> None:
    """Write the service record of RIG (its id or its name) as a PDF."""
    drawn = _or_stop(lambda: _drawn_record(rig, address))
    pdf.write_bytes(drawn)
    click.echo(f"{pdf}: {len(drawn)} bytes")


def _answer_lines(data: bytes, answer: Callable[[Any], Any]) -> None:
    """Answer each line in its order; a bad one is answered by its problems, and the exit status is 1."""
    has_failed = False
    for number, line in _inputs(data):
        try:
            _print(answer(parse_strictly(line)))
        except BadInput as bad:
            has_failed = True
            _print({"error": {"line": number, "problems": [problem.as_json() for problem in bad.problems]}})
        except FieldlogError as error:
            has_failed = True
            _print({"error": {"line": number, "problems": [Problem("", str(error)).as_json()]}})
    if has_failed:
        sys.exit(1)


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


def _print(value: Any) -> None:
    sys.stdout.buffer.write(canonical(value) + b"\n")
    sys.stdout.buffer.flush()


def _or_stop(act: Callable[[], Any]) -> Any:
    try:
        return act()
    except BadInput as bad:
        raise click.ClickException(" ".join(problem.problem for problem in bad.problems)) from bad
    except FieldlogError as error:
        raise click.ClickException(str(error)) from error


def _data_folder(config: Config) -> Path:
    config.data.mkdir(mode=0o700, parents=True, exist_ok=True)
    return config.data


def _store() -> Any:
    from fieldlog.app import open_current_store

    config = Config.from_environment()
    _data_folder(config)
    return open_current_store(config)


def _base_address(config: Config) -> str:
    host = "127.0.0.1" if config.host in ("0.0.0.0", "::") else config.host
    return f"http://[{host}]:{config.port}" if ":" in host else f"http://{host}:{config.port}"


def _create_account(name: str, password: str) -> Any:
    from fieldlog.web.people.accounts import create_account

    return create_account(_store(), name, password, now=clock.now, new_id=clock.new_id)


def _load_demo(password: str) -> int:
    from fieldlog.sync.demo import demo_records
    from fieldlog.sync.inbox import Inbox

    account = _create_account(DEMO_NAME, password)
    receipts = Inbox(_store(), rulebook.load(), account).receive(demo_records(clock.now()), clock.now())
    refused = [problem for receipt in receipts for problem in receipt.problems]
    if refused:
        raise BadInput(refused)
    return len(receipts)


def _drawn_record(called: str, address: str | None) -> bytes:
    from fieldlog.sync.service_record import service_record_pdf

    site = address or _base_address(Config.from_environment())
    return service_record_pdf(_store(), rulebook.load(), called, made_at=clock.now(), site=site)
