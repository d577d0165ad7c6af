"""How the outlets and devices of a rig went over the years."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput
from fieldlog.model.record import Record
from fieldlog.model.rig import Change, Rig
from fieldlog.reports.chart import Chart, chart_of
from fieldlog.reports.proving import Touching, touching
from fieldlog.reports.series import Mark, Series, device_series, outlet_series
from fieldlog.reports.series_words import Flag, amount, day_words, flag_of, summary
from fieldlog.store.chains import newest_of
from fieldlog.store.rigs import rig_as_built
from fieldlog.store.session import Transaction
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import device_needed, outlet_needed, rig_needed
from fieldlog.web.security import account_needed

MOST_OF_ONE, MOST_OF_EACH, MOST_ARRIVALS = 240, 60, 480
"""Own choices: twenty years of a reading a month on a thing's own page, five on the page of all."""

blueprint = Blueprint("trends", __name__, template_folder="templates")


@dataclass(frozen=True)
class Told:
    """A series as a page shows it."""

    series: Series
    summary: str
    flag: Flag | None
    chart: Chart


@blueprint.get("/rigs/<rig_id>/trends")
def trends(rig_id: str) -> ResponseReturnValue:
    """Show of every outlet and device in a sentence each how it went, alarms first."""
    rig = rig_needed(rig_id, rig_as_built)
    account, known = account_needed(), _touching(rig)
    with parts().store.reading() as tx:
        arrivals = _records(tx, account.id, "arrival-check", None, MOST_ARRIVALS)
        outlets = [
            (each, _of_outlet(tx, rig, each.id, (arrivals, known), MOST_OF_EACH)) for each in rig.outlets
        ]
        devices = [
            (each, _of_device(tx, rig, each.id, known, MOST_OF_EACH)) for each in rig.devices if each.is_guard
        ]
    return render_template("trends/trends.html", rig=rig, outlets=outlets, devices=devices)


@blueprint.get("/rigs/<rig_id>/outlets/<outlet_id>/trends")
def outlet(rig_id: str, outlet_id: str) -> ResponseReturnValue:
    """Show how an outlet went."""
    rig = rig_needed(rig_id, rig_as_built)
    found, account = outlet_needed(rig, outlet_id), account_needed()
    with parts().store.reading() as tx:
        arrivals = _records(tx, account.id, "arrival-check", None, MOST_ARRIVALS)
        told = _of_outlet(tx, rig, found.id, (arrivals, _touching(rig)), MOST_OF_ONE)
    return _page(rig, found.name, told)


@blueprint.get("/rigs/<rig_id>/devices/<device_id>/trends")
def device(rig_id: str, device_id: str) -> ResponseReturnValue:
    """Show how a ground-fault device went."""
    rig = rig_needed(rig_id, rig_as_built)
    found = device_needed(rig, device_id)
    with parts().store.reading() as tx:
        told = _of_device(tx, rig, found.id, _touching(rig), MOST_OF_ONE)
    return _page(rig, found.name, told)


def _page(rig: Rig, name: str, told: Sequence[Told]) -> str:
    return render_template(
        "trends/thing.html", rig=rig, name=name, told=told, amount=amount, day_words=day_words
    )


def _of_outlet(
    tx: Transaction,
    rig: Rig,
    outlet_id: str,
    known: tuple[Sequence[Record], Touching | None],
    most: int,
) -> list[Told]:
    arrivals, touched = known
    tests = _records(tx, account_needed().id, "outlet-test", outlet_id, most, rig.id)
    marks = _marks(touched.changes_of_outlet(outlet_id)) if touched else ()
    return _told(outlet_series(tests, arrivals, marks, parts().rulebook))


def _of_device(tx: Transaction, rig: Rig, device_id: str, touched: Touching | None, most: int) -> list[Told]:
    trips = _records(tx, account_needed().id, "trip-test", device_id, most, rig.id)
    marks = _marks(touched.changes_of_device(device_id)) if touched else ()
    return _told(device_series(trips, marks))


def _told(found: Sequence[Series]) -> list[Told]:
    return [Told(each, summary(each), flag_of(each, found), chart_of(each)) for each in found]


def _marks(changes: Iterable[Change]) -> tuple[Mark, ...]:
    return tuple(Mark(each.chain.at.date(), f"wiring changed: {each.chain.body['what']}") for each in changes)


def _records(
    tx: Transaction, account: str, kind: str, subject: str | None, most: int, rig: str | None = None
) -> list[Record]:
    return [entry.record for entry in newest_of(tx, account, kind, subject, most, rig)]


def _touching(rig: Rig) -> Touching | None:
    """Give what the changes touch; nothing by a map that cannot be read: then no change is marked."""
    try:
        return touching(rig)
    except BadInput:
        return None
