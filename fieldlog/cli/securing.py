"""The commands that keep the whole server from being lost: a backup, putting it back, and verifying."""

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from fieldlog import clock
from fieldlog.cli.opening import opened_store, or_stop
from fieldlog.config import Config
from fieldlog.errors import FieldlogError

FILE = click.argument("file", type=click.Path(dir_okay=False, path_type=Path))


@click.command()
@FILE
def backup(file: Path) -> None:
    """Write the whole server into FILE while it runs: database, photos, keys of sessions and home root."""
    from fieldlog.store.backup import write_backup
    from fieldlog.store.blobs import open_blobs

    config = Config.from_environment()
    database_file(config)
    store, blobs = opened_store(), or_stop(lambda: open_blobs(config.photos_address))
    made = or_stop(lambda: write_backup(store, blobs, _keys(config), file, made_at=clock.now()))
    click.echo(
        f"{file}: {made.records} records in {made.logs} logs, {made.photos} photos; read again and whole."
    )
    click.echo("It opens every account: keep it where a key would be kept.")
    for name in made.missing:
        click.echo(f"The photo {name} could not be read and is not in it.", err=True)
    if made.missing:
        sys.exit(1)


@click.command()
@FILE
def restore(file: Path) -> None:
    """Put FILE, written by backup, back into an empty FIELDLOG_DATA."""
    from fieldlog.store.blobs import open_blobs
    from fieldlog.store.restore import restore_backup

    config = Config.from_environment()
    database = database_file(config)
    blobs = or_stop(lambda: open_blobs(config.photos_address))
    found = or_stop(lambda: restore_backup(file, config.data, database, blobs, restored_at=clock.now()))
    click.echo(f"The backup of {found.made_at:%Y-%m-%d %H:%M %Z} is back, with {found.logs} logs.")
    click.echo(
        "Everybody is signed out, calendar addresses and links have ended. Passwords are those of the backup."
    )


@click.command()
@click.argument("files", nargs=-1, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--log", "is_log", is_flag=True, help="Walk the hash chain of every log of this server.")
@click.option("--checkpoint", "checkpoints", multiple=True, help="A line of that log that somebody kept.")
@click.option("--issuer", "issuers", multiple=True, help="Fingerprint of a key that you know.")
def verify(
    files: tuple[Path, ...], is_log: bool, checkpoints: tuple[str, ...], issuers: tuple[str, ...]
) -> None:
    """Say what holds of signed records, or of what this server keeps; exit status 1 where not all does."""
    if bool(files) == is_log:
        raise click.UsageError(
            "Say what to verify: FILE… are signed records, --log walks this server's own log."
        )
    if not all([_walked()] if is_log else [_told(file, checkpoints, issuers) for file in files]):
        sys.exit(1)


def _walked() -> bool:
    from fieldlog.store.log import breaks, ends_astray, logs

    store = opened_store()
    with store.reading() as tx:
        count, found = len(logs(tx)), breaks(tx) or ends_astray(tx)
    for each in found:
        click.echo(f"{each.log}: entry {each.position} does not hold: {each.what}.", err=True)
    if not found:
        click.echo(f"{count} logs walked; every entry follows from the one before.")
    return not found


def _told(file: Path, checkpoints: Sequence[str], issuers: Sequence[str]) -> bool:
    from fieldlog.bundle.carried import record_in
    from fieldlog.bundle.checkpoint import Checkpoint
    from fieldlog.bundle.refused import say
    from fieldlog.bundle.verifying import CANNOT_KNOW, NOT_AN_INSPECTION, verified

    kept = or_stop(lambda: [Checkpoint.read(each) for each in checkpoints])
    try:
        held = verified(record_in(file.read_bytes()), checkpoints=kept, issuers=issuers)
    except FieldlogError as error:
        click.echo(f"{file}: {error}", err=True)
        return False
    click.echo(f"{file}: {say(NOT_AN_INSPECTION)}\nThis holds:")
    for sentence in held.sentences:
        click.echo(f"- {sentence}")
    click.echo("This no signature shows:")
    for name in CANNOT_KNOW:
        click.echo(f"- {say(name)}")
    return True


COMMANDS = (backup, restore, verify)


def database_file(config: Config) -> Path:
    """Give the file of the database, or stop: another database has tools of its own."""
    scheme, _, path = config.database_url.partition(":///")
    if scheme != "sqlite" or not path:
        raise click.ClickException("Only a SQLite file is backed up here; use the tools of your database.")
    return Path(path)


def _keys(config: Config) -> dict[str, Path]:
    config.secret()
    home = [path for path in config.home.glob("*") if path.is_file()] if config.home.is_dir() else []
    return {"secret": config.data / "secret"} | {f"home/{path.name}": path for path in home}
