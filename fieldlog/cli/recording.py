"""The commands of a rig's service record: on paper, signed, its checkpoints, and the key that signs."""

from pathlib import Path
from typing import Any

import click

from fieldlog import clock, rulebook
from fieldlog.cli.opening import account_named, base_address, data_folder, opened_store, or_stop
from fieldlog.config import Config
from fieldlog.model.account import Account

RIG = click.argument("rig")
ACCOUNT = click.option("--account", "name", default=None, help="Whose rig, where two have one of that name.")
FILE = click.Path(dir_okay=False, path_type=Path)


@click.command()
@RIG
@click.option("--pdf", type=FILE, help="File to write for people.")
@click.option("--bundle", type=FILE, help="File to write for machines: signed JSON.")
@click.option("--with-arrivals", is_flag=True, help="Show checks on arrival whole in it: parks and days.")
@click.option(
    "--with-photos", is_flag=True, help="Show photos: what is noted of them, and pictures in a PDF."
)
@click.option("--address", default=None, help="Address of the server, for the QR code.")
@ACCOUNT
# long: an argument each option
def record(
    rig: str,
    pdf: Path | None,
    bundle: Path | None,
    with_arrivals: bool,
    with_photos: bool,
    address: str | None,
    name: str | None,
) -> None:
    """Write the service record of RIG (its id or name) as a PDF, as a signed bundle, or one in the other."""
    from fieldlog.bundle.document import Scope

    if pdf is None and bundle is None:
        raise click.UsageError("Say what to write: --pdf FILE for people, --bundle FILE for machines.")
    scope = Scope(arrivals=with_arrivals, photos=with_photos)
    text = None if bundle is None else or_stop(lambda: _signed_record(rig, name, scope))
    if bundle is not None and text is not None:
        bundle.write_bytes(text)
        click.echo(f"{bundle}: {len(text)} bytes, signed; fieldlog verify says what holds of it.")
    if pdf is not None:
        drawn = or_stop(lambda: _drawn_record(rig, address, name, text, with_photos=with_photos))
        pdf.write_bytes(drawn)
        click.echo(f"{pdf}: {len(drawn)} bytes")


@click.command()
@RIG
@ACCOUNT
def checkpoint(rig: str, name: str | None) -> None:
    """Print where the log of RIG stands, in a line for whoever is to keep it."""
    click.echo(str(or_stop(lambda: _checkpoint(rig, name))))


@click.command()
@click.option(
    "--hand-over", is_flag=True, help="Make a new key, signed by the one of today, which is removed."
)
def key(hand_over: bool) -> None:
    """Print the key that signs records, and what people compare of it."""
    from fieldlog.bundle.integrity import fingerprint
    from fieldlog.reports.key_age import key_age_line
    from fieldlog.sync import signing_keys

    config = Config.from_environment()
    data_folder(config)
    folder = config.signing
    keys = or_stop(
        lambda: (
            signing_keys.hand_over(folder, clock.now()) if hand_over else signing_keys.signing_keys(folder)
        )
    )
    click.echo(f"{keys.name}\nFingerprint: {fingerprint(keys.name)}")
    click.echo(key_age_line(keys.since, clock.now()))
    click.echo(f"It followed {len(keys.changes)} earlier. Its file lies in {folder}; no backup takes it.")


COMMANDS = (record, checkpoint, key)


def _drawn_record(
    called: str, address: str | None, name: str | None, signed: bytes | None, *, with_photos: bool
) -> bytes:
    from fieldlog.store.blobs import open_blobs
    from fieldlog.sync.service_record import service_record_pdf
    from fieldlog.sync.sharing import Sharing, address_of

    config = Config.from_environment()
    site = address or base_address(config)
    store, made_at = opened_store(), clock.now()
    account = None if name is None else account_named(store, name)
    sharing = Sharing(store=store, secret=config.secret(), new_id=clock.new_id, now=made_at)
    return service_record_pdf(
        store,
        rulebook.load(),
        called,
        made_at=made_at,
        address=lambda owner, rig: address_of(site, sharing.on_paper(owner, rig)),
        account=account,
        signed=signed,
        blobs=open_blobs(config.photos_address) if with_photos else None,
    )


def _signed_record(called: str, name: str | None, scope: Any) -> bytes:
    from fieldlog.sync.signed_record import as_file, signed_record
    from fieldlog.sync.signing_keys import signing_keys

    store = opened_store()
    owner, rig = _the_one(store, called, name)
    keys, made_at = signing_keys(Config.from_environment().signing), clock.now()
    document = signed_record(store, rulebook.load(), owner.id, rig, keys=keys, scope=scope, made_at=made_at)
    return as_file(document)


def _checkpoint(called: str, name: str | None) -> Any:
    from fieldlog.sync.signed_record import checkpoint

    store = opened_store()
    owner, rig = _the_one(store, called, name)
    return checkpoint(store, owner.id, rig, made_at=clock.now())


def _the_one(store: Any, called: str, name: str | None) -> tuple[Account, str]:
    from fieldlog.sync.service_record import the_one_called

    account = None if name is None else account_named(store, name)
    owner, rig = the_one_called(store, called, account)
    return owner, rig.id
