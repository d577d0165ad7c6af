"""The service record of a rig in the store, as a PDF."""

from collections.abc import Callable, Sequence
from datetime import datetime

from fieldlog.bundle.document import Scope
from fieldlog.errors import FieldlogError, NotFound
from fieldlog.model.account import Account
from fieldlog.model.rig import Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.contents import contents
from fieldlog.reports.paper import Draft, Tell, draw_draft, untold
from fieldlog.reports.pictures import Source, hashes_shown
from fieldlog.reports.render import PAPERS, draft_of
from fieldlog.store.blobs import Blobs
from fieldlog.store.log import assert_log_holds
from fieldlog.store.restore import restores_noted
from fieldlog.store.rigs import rig_with_all, rigs_called
from fieldlog.store.session import Store
from fieldlog.store.zones import zone_of_account
from fieldlog.sync.record_pictures import drawn_for_paper
from fieldlog.sync.signed_record import as_file, signed_of
from fieldlog.sync.signing_keys import SigningKeys
from fieldlog.sync.taking_over import told_origins


class SeveralRigs(FieldlogError):
    """Several rigs bear the name."""

    def __init__(self, called: str, found: Sequence[tuple[Account, Rig]]) -> None:
        told = ", ".join(f"{rig.id} of {owner.name}" for owner, rig in found)
        super().__init__(f"Several rigs are called {called!r}. Give the id, or --account as well: {told}.")


def service_record_pdf(
    store: Store,
    rulebook: Rulebook,
    called: str,
    *,
    made_at: datetime,
    address: Callable[[str, str], str],
    account: Account | None = None,
    signed: bytes | None = None,
    blobs: Blobs | None = None,
) -> bytes:
    """Draw the service record of the rig with this id or name.

    address gives what its code leads to, for an owner and a rig. A signed record is taken along in it. With
    the place where photos are kept, it shows pictures.

    An account is named where two have such a rig.
    """
    owner, rig = the_one_called(store, called, account)
    leads_to = address(owner.id, rig.id)
    draft = drafted_record(
        store, rulebook, owner.id, rig.id, made_at=made_at, address=leads_to, signed=signed, blobs=blobs
    )
    return draw_draft(draft)


def drafted_record(
    store: Store,
    rulebook: Rulebook,
    owner: str,
    rig: str,
    *,
    made_at: datetime,
    address: str,
    paper: str = PAPERS[0],
    tell: Tell = untold,
    signed: bytes | None = None,
    keys: SigningKeys | None = None,
    blobs: Blobs | None = None,
) -> Draft:
    """Give the service record of a rig that an account reads ready to be drawn, and tell each stage.

    A signed record that is given is taken along in it; with keys instead, one that is signed now: checks on
    arrival and photos are named only. With the place where photos are kept, pictures are shown, and a record
    that is signed now shows what is noted of photos.
    Raises LogDamaged where its log does not hold, NotFound where there is no such rig.
    """
    tell("reading")
    with store.reading() as tx:
        assert_log_holds(tx, owner, rig)
        found = rig_with_all(tx, owner, rig)
        made_there = made_at.astimezone(zone_of_account(tx, owner))
        restores = restores_noted(tx, owner, rig)
        origins = told_origins(tx, owner, rig, made_there.tzinfo)
    if found is None:
        raise NotFound("rig")
    scope = Scope(photos=blobs is not None)
    if keys is not None:
        signed = as_file(signed_of(found, restores, rulebook, keys=keys, scope=scope, made_at=made_at))
    sources: dict[str, Source] | None = None
    drawn: dict[str, bytes] = {}
    if blobs is not None:
        sources, drawn = drawn_for_paper(store, blobs, owner, hashes_shown(found))
    tell("judging")
    said = contents(
        found,
        rulebook,
        made_at=made_there,
        address=address,
        restores=restores,
        origins=origins,
        sources=sources,
    )
    tell("preparing")
    return draft_of(said, paper, signed, pictures=drawn)


def the_one_called(store: Store, called: str, account: Account | None) -> tuple[Account, Rig]:
    """Give the rig with this id or name; raises NotFound, or SeveralRigs where an account has to be named."""
    with store.reading() as tx:
        found = [each for each in rigs_called(tx, called) if account in (None, each[0])]
    if not found:
        raise NotFound(f"rig ({called!r})")
    if len(found) > 1:
        raise SeveralRigs(called, found)
    return found[0]
