"""The commands that serve the app, list what phones keep of it, and let the first person in."""

import os
import sys
import tempfile
from pathlib import Path

import click

from fieldlog import clock
from fieldlog.cli.opening import base_address, data_folder, opened_store, or_stop
from fieldlog.cli.settings import listed
from fieldlog.config import ROOT, Config
from fieldlog.joining import join, one_file
from fieldlog.shell import version_of, with_list


@click.command(epilog=f"Settings, all of them from the environment, with what holds without:\n\n{listed()}")
def serve() -> None:
    """Serve the app on HOST and PORT until it is stopped."""
    config = Config.from_environment()
    arguments = [
        sys.executable,
        "-m",
        "gunicorn",
        "fieldlog.app:create_served_app()",
        "--bind",
        f"{config.host}:{config.port}",
    ]
    arguments += _certificate(config)
    arguments += ["--worker-class", "fieldlog.server.worker.WaitingWorker"]
    arguments += ["--workers", "2", "--threads", "4", "--worker-tmp-dir", str(data_folder(config))]
    # What a proxy says of a request is believed by PROXY_HOPS alone, and not for coming from this machine.
    arguments += ["--forwarded-allow-ips", ""]
    arguments += ["--limit-request-line", "4094", "--graceful-timeout", "10", "--log-level", "warning"]
    sys.stdout.flush()
    os.execv(sys.executable, arguments)


@click.command()
def shell() -> None:
    """Join what pages need into static/joined/, list in static/sw.js what phones keep, make the verifier."""
    from fieldlog.web.use_cases import kept_pages

    path = ROOT / "static" / "sw.js"
    or_stop(lambda: join(ROOT / "static", ROOT / "deploy"))
    verifier().write_text(or_stop(lambda: one_file(ROOT)), encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        contents = _shell_contents(Path(folder))
    written = with_list(path.read_text(encoding="utf-8"), contents, kept_pages())
    path.write_text(written, encoding="utf-8")
    click.echo(f"{path}: {len(contents)} pages and files, version {version_of(contents)}")


@click.command()
@click.option("--is-needed", "is_asked", is_flag=True, help="Only say so by the exit status.")
def link(is_asked: bool) -> None:
    """Print a one-time link for making the first account; nothing when there is an account."""
    from fieldlog.store.accounts import any_account
    from fieldlog.web.people.accounts import mint_first_account_link

    store = opened_store()
    if is_asked:
        with store.reading() as tx:
            sys.exit(1 if any_account(tx) else 0)
    path = mint_first_account_link(store, now=clock.now)
    if path is not None:
        click.echo(base_address(Config.from_environment()) + path)


COMMANDS = (serve, shell, link)


def verifier() -> Path:
    """Give where the one file lies that verifies a signed record."""
    from fieldlog.web.verify.views import FILE

    return FILE


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
