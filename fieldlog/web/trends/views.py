"""How the outlets and devices of a rig went over the years."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, render_template
from flask.typing import ResponseReturnValue

from fieldlog.model.rig import Rig
from fieldlog.reports.chart import Chart, chart_of
from fieldlog.reports.query import table_lines
from fieldlog.reports.series import Series
from fieldlog.reports.series_words import SeriesAlarm, amount, day_words, flag_of, summary
from fieldlog.store.rigs import rig_as_built
from fieldlog.web.layout.over_time import ARRIVALS_OF_EACH, MOST_ARRIVALS, MOST_OF_EACH, Reader
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import device_needed, outlet_needed, rig_needed
from fieldlog.web.security import account_needed

ROW: Final = ("thing", "quantity", "day", "value", "uncertainty", "unit", "record")

blueprint = Blueprint("trends", __name__, template_folder="templates")


@dataclass(frozen=True)
class SeriesView:
    """A series as a page shows it."""

    series: Series
    summary: str
    flag: SeriesAlarm | None
    chart: Chart


@blueprint.get("/rigs/<rig_id>/trends")
def trends(rig_id: str) -> ResponseReturnValue:
    """Show of every outlet and device in a sentence each how it went, alarms first."""
    rig = rig_needed(rig_id, rig_as_built)
    with _reading(rig, ARRIVALS_OF_EACH) as reader:
        some = reader.at_most(MOST_OF_EACH)
        outlets = [(each, _told(some.outlet(each.id))) for each in rig.outlets]
        devices = [(each, _told(some.device(each.id))) for each in rig.devices if each.is_guard]
    return render_template("trends/trends.html", rig=rig, outlets=outlets, devices=devices)


@blueprint.get("/rigs/<rig_id>/outlets/<outlet_id>/trends")
def outlet(rig_id: str, outlet_id: str) -> ResponseReturnValue:
    """Show how an outlet went."""
    rig = rig_needed(rig_id, rig_as_built)
    found = outlet_needed(rig, outlet_id)
    with _reading(rig) as reader:
        return _page(rig, found.name, reader.outlet(found.id))


@blueprint.get("/rigs/<rig_id>/devices/<device_id>/trends")
def device(rig_id: str, device_id: str) -> ResponseReturnValue:
    """Show how a ground-fault device went."""
    rig = rig_needed(rig_id, rig_as_built)
    found = device_needed(rig, device_id)
    with _reading(rig) as reader:
        return _page(rig, found.name, reader.device(found.id))


@blueprint.get("/rigs/<rig_id>/trends.csv")
def as_table(rig_id: str) -> Response:
    """Give every reading of every outlet and device of a rig as a table."""
    return _file("".join(table_lines(ROW, _all_rows(rig_id))), "text/csv; charset=utf-8", "csv")


@blueprint.get("/rigs/<rig_id>/trends.jsonl")
def as_json_lines(rig_id: str) -> Response:
    """Give every reading of every outlet and device of a rig as JSON Lines."""
    lines = (json.dumps(row, ensure_ascii=False) + "\n" for row in _all_rows(rig_id))
    return _file("".join(lines), "application/jsonl", "jsonl")


def _file(text: str, content_type: str, ending: str) -> Response:
    answer = Response(text, content_type=content_type)
    answer.headers["Content-Disposition"] = f"attachment; filename=readings.{ending}"
    return answer


def _all_rows(rig_id: str) -> list[Mapping[str, object]]:
    rig = rig_needed(rig_id, rig_as_built)
    with _reading(rig) as reader:
        found = [
            *((each.name, reader.outlet(each.id)) for each in rig.outlets),
            *((each.name, reader.device(each.id)) for each in rig.devices if each.is_guard),
        ]
    return [row for name, told in found for series in told for row in _rows(name, series)]


def _rows(thing: str, series: Series) -> Iterator[Mapping[str, object]]:
    for point in series.points:
        read = (point.day.isoformat(), point.value, point.uncertainty, series.unit, point.record)
        yield dict(zip(ROW, (thing, series.name, *read), strict=True))


@contextmanager
def _reading(rig: Rig, most_arrivals: int = MOST_ARRIVALS) -> Iterator[Reader]:
    with parts().store.reading() as tx:
        yield Reader.of(tx, account_needed().id, rig, parts().rulebook, most_arrivals)


def _page(rig: Rig, name: str, found: Iterable[Series]) -> str:
    told = _told(tuple(found))
    return render_template(
        "trends/thing.html", rig=rig, name=name, told=told, amount=amount, day_words=day_words
    )


def _told(found: Sequence[Series]) -> list[SeriesView]:
    return [SeriesView(each, summary(each), flag_of(each, found), chart_of(each)) for each in found]
