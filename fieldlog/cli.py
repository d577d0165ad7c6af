"""The command line: each command reads its arguments, calls, and prints."""

import os
import secrets
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from fieldlog import clock, rulebook
from fieldlog.config import ROOT, Config
from fieldlog.engine import assess as judge
from fieldlog.engine.trace import trace
from fieldlog.errors import BadInput, FieldlogError
from fieldlog.joining import join
from fieldlog.model.account import DEMO_NAME
from fieldlog.model.canonical import canonical
from fieldlog.model.problem import Problem
from fieldlog.shell import version_of, with_list
from fieldlog.sync.wire import parse_strictly


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def main() -> None:
    """Field checklist and test log for a camping trailer's 120 V wiring."""


@main.command()
@click.argument("file", type=click.File("rb"), default="-")
@click.option("--explain", is_flag=True, help="Print how each answer came about, step by step, before it.")
def assess(file: Any, explain: bool) -> None:
    """Judge outlets: one JSON object, or JSON Lines, from FILE or standard input."""
    book = _or_stop(rulebook.load)
    if explain:
        _answer_lines(file.read(), lambda value: judge(value, book), lambda value: trace(value, book))
    else:
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
def shell() -> None:
    """Join what every page needs into static/joined/, and write into static/sw.js what phones keep."""
    path = ROOT / "static" / "sw.js"
    _or_stop(lambda: join(ROOT / "static", ROOT / "deploy"))
    with tempfile.TemporaryDirectory() as folder:
        contents = _shell_contents(Path(folder))
    path.write_text(with_list(path.read_text(encoding="utf-8"), contents), encoding="utf-8")
    click.echo(f"{path}: {len(contents)} pages and files, version {version_of(contents)}")


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
    arguments += _certificate(config)
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


Explain = Callable[[Any], Sequence[str]]


def _answer_lines(data: bytes, answer: Callable[[Any], Any], explain: Explain | None = None) -> None:
    """Answer each line in its order; a bad one is answered by its problems, and the exit status is 1."""
    has_failed = False
    for place, (number, line) in enumerate(_inputs(data)):
        if explain is not None and place > 0:
            click.echo()
        try:
            value = parse_strictly(line)
            answered, told = answer(value), explain(value) if explain is not None else ()
        except Exception as error:
            has_failed, told = True, ()
            answered = {"error": {"line": number, "problems": [one.as_json() for one in _problems(error)]}}
        for one in told:
            click.echo(one)
        _print(answered)
    if has_failed:
        sys.exit(1)


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


def _certificate(config: Config) -> list[str]:
    """Give the certificate of the home network, where a port is open on which phones get its root."""
    if not config.trust_port:
        return []
    return ["--certfile", str(config.home / "server.crt"), "--keyfile", str(config.home / "server.key")]


def _shell_contents(folder: Path) -> dict[str, bytes]:
    from fieldlog.app import create_app
    from fieldlog.web.offline.contents import shell_contents

    app = create_app(Config(data=folder, database_url=f"sqlite:///{folder / 'fieldlog.sqlite3'}"))
    try:
        return shell_contents(app)
    finally:
        app.extensions["fieldlog"].store.close()


def _store() -> Any:
    from fieldlog.app import open_current_store

    config = Config.from_environment()
    _data_folder(config)
    return open_current_store(config)


def _base_address(config: Config) -> str:
    from fieldlog.web.trust.root import read_root

    scheme, host = "http", "127.0.0.1" if config.host in ("0.0.0.0", "::") else config.host
    root = read_root(config.home) if config.trust_port else None
    if root is not None:
        scheme, host = "https", (*root.addresses, *root.names)[0]
    return f"{scheme}://[{host}]:{config.port}" if ":" in host else f"{scheme}://{host}:{config.port}"


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
