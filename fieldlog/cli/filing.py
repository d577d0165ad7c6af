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
    """Take in FILE, written by a phone or by export; twice is harmless, nothing that is kept is changed.

    A signed record (JSON, or the PDF that carries it) that shows every entry brings a rig's whole log over
    from another installation, with its hashes; its service record says from then on where it comes from.
    """
    from fieldlog.store.blobs import open_blobs
    from fieldlog.sync.filing import read_in
    from fieldlog.sync.inbox import Inbox
    from fieldlog.sync.photos import PhotoInbox

    store = opened_store()
    account = account_named(store, name)
    config = Config.from_environment()
    blobs = or_stop(lambda: open_blobs(config.photos_address))
    inbox = Inbox(store, _found(), account, config.bounds)
    content = file.read()
    if _is_signed(content):
        or_stop(lambda: _take_over(content, inbox))
        return
    photo_inbox = PhotoInbox(store, blobs, account, config.bounds)
    answers = or_stop(lambda: read_in(parse_strictly(content), inbox, photo_inbox, clock.now()))
    for what, answer in zip(("records", "photos"), answers, strict=True):
        click.echo(f"{what}: {answer.stored} stored, {answer.known} known, {len(answer.refused)} refused")
    for sentence in (sentence for answer in answers for sentence in answer.refused):
        click.echo(_plain(sentence), err=True)
    if any(answer.refused for answer in answers):
        sys.exit(1)


COMMANDS = (write_file, read_file)


def _is_signed(content: bytes) -> bool:
    return content.startswith(b"%PDF-") or b'"RigRecord"' in content[:4096]


def _take_over(content: bytes, inbox: Any) -> None:
    from fieldlog.bundle.carried import record_in
    from fieldlog.bundle.verifying import verified
    from fieldlog.sync.taking_over import take_over

    held = verified(record_in(content))
    taken = take_over(held, inbox, clock.now())
    click.echo(f"records: {taken.stored} stored, {taken.known} known, 0 refused")
    click.echo(f"The log ends here as there: {taken.origin.position} entries, head {taken.origin.head}")
    click.echo(f"Signed by the key {held.fingerprint}: ask whoever gave it whether that is theirs.")
    click.echo("The bytes of photos are in no signed record; their hashes are.")


def _plain(sentence: str) -> str:
    """Take out what a terminal would obey; a file from elsewhere may hold it."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in sentence)


def _found() -> Any:
    """Give the rulebook, or why there is none: records are kept either way, and flagged."""
    try:
        return rulebook.load()
    except FieldlogError as error:
        return error
