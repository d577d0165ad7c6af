"""The commands that write an account's log into a file, and take such a file in."""

import sys
from typing import Any

import click

from fieldlog import clock, rulebook
from fieldlog.cli.opening import account_named, opened_store, or_stop
from fieldlog.config import Config
from fieldlog.errors import FieldlogError
from fieldlog.sync.wire import parse_strictly

ACCOUNT = click.option("--account", "name", required=True, help="Name of the account.")


@click.command(name="export")
@click.argument("file", type=click.File("w", encoding="utf-8", atomic=True))
@ACCOUNT
def write_file(file: Any, name: str) -> None:
    """Write all records and photos of an account into FILE, in the form in which a phone writes them."""
    from fieldlog.store.blobs import open_blobs
    from fieldlog.sync.filing import written

    store = opened_store()
    blobs = or_stop(lambda: open_blobs(Config.from_environment().photos_address))
    account = account_named(store, name)
    or_stop(lambda: file.writelines(written(store, blobs, account, clock.now())))


@click.command(name="import")
@click.argument("file", type=click.File("rb"))
@ACCOUNT
def read_file(file: Any, name: str) -> None:
    """Take in FILE, written by a phone or by export; twice is harmless, nothing that is kept is changed."""
    from fieldlog.store.blobs import open_blobs
    from fieldlog.sync.filing import read_in
    from fieldlog.sync.inbox import Inbox
    from fieldlog.sync.photos import PhotoInbox

    store = opened_store()
    account = account_named(store, name)
    config = Config.from_environment()
    blobs = or_stop(lambda: open_blobs(config.photos_address))
    inbox = Inbox(store, _found(), account, config.bounds)
    photo_inbox = PhotoInbox(store, blobs, account, config.bounds)
    answers = or_stop(lambda: read_in(parse_strictly(file.read()), inbox, photo_inbox, clock.now()))
    for what, answer in zip(("records", "photos"), answers, strict=True):
        click.echo(f"{what}: {answer.stored} stored, {answer.known} known, {len(answer.refused)} refused")
    for sentence in (sentence for answer in answers for sentence in answer.refused):
        click.echo(_plain(sentence), err=True)
    if any(answer.refused for answer in answers):
        sys.exit(1)


COMMANDS = (write_file, read_file)


def _plain(sentence: str) -> str:
    """Take out what a terminal would obey; a file from elsewhere may hold it."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in sentence)


def _found() -> Any:
    """Give the rulebook, or why there is none: records are kept either way, and flagged."""
    try:
        return rulebook.load()
    except FieldlogError as error:
        return error
