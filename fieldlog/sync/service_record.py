"""The service record of a rig in the store, as a PDF."""

from datetime import datetime

from fieldlog.errors import FieldlogError, NotFound
from fieldlog.model.rig import Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.contents import contents
from fieldlog.reports.render import render_pdf
from fieldlog.store.log import assert_log_holds
from fieldlog.store.restore import restores_noted
from fieldlog.store.rigs import rigs_called
from fieldlog.store.session import Store
from fieldlog.store.zones import zone_of_account


class SeveralRigs(FieldlogError):
    """Several rigs bear the name."""

    def __init__(self, called: str, ids: list[str]) -> None:
        super().__init__(f"Several rigs are called {called!r}. Give the id instead: {', '.join(ids)}.")


def service_record_pdf(
    store: Store, rulebook: Rulebook, called: str, *, made_at: datetime, site: str
) -> bytes:
    """Draw the service record of the rig with this id or name; site is what its address starts with."""
    owner, rig = _the_one(store, called)
    with store.reading() as tx:
        assert_log_holds(tx, owner, rig.id)
        made_there = made_at.astimezone(zone_of_account(tx, owner))
        restores = restores_noted(tx, owner, rig.id)
    address = f"{site.rstrip('/')}/rigs/{rig.id}/record"
    return render_pdf(contents(rig, rulebook, made_at=made_there, address=address, restores=restores))


def _the_one(store: Store, called: str) -> tuple[str, Rig]:
    with store.reading() as tx:
        found = rigs_called(tx, called)
    if not found:
        raise NotFound(f"rig ({called!r})")
    if len(found) > 1:
        raise SeveralRigs(called, [rig.id for _, rig in found])
    return found[0]
