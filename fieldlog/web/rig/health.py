"""What a rig's first page shows: each thing with what is noted of it, and what is open of the rig itself."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from fieldlog.model.rig import Rig
from fieldlog.reports.health import Health
from fieldlog.reports.open_points import OpenPoint, PointPlace
from fieldlog.reports.overview import DeviceLine, OutletLine, Overview
from fieldlog.reports.series_words import SeriesAlarm
from fieldlog.web.rig.ways import way_of

Way = tuple[str, str]


@dataclass(frozen=True)
class HealthRow:
    """A thing as the page shows it: how it is known, what is noted of it, what drifts, and where to go."""

    health: Health
    noted: OutletLine | DeviceLine | None
    ways: Sequence[Way]
    drifts: Sequence[SeriesAlarm] = ()

    @property
    def is_good(self) -> bool:
        """Say whether nothing asks for anything."""
        return self.health.is_good and not self.drifts


@dataclass(frozen=True)
class RigPage:
    """A rig's first page: its things by their sort, and the open points that are of no one thing."""

    told: Overview
    outlets: Sequence[HealthRow]
    devices: Sequence[HealthRow]
    looks: Sequence[HealthRow]
    points: Sequence[tuple[OpenPoint, Way]] = field(default_factory=tuple)

    @property
    def known_good(self) -> int:
        """Count what is known today and has nothing open."""
        return sum(each.is_good for each in self.all)

    @property
    def all(self) -> Sequence[HealthRow]:
        """Give every thing."""
        return (*self.outlets, *self.devices, *self.looks)


def page_of(
    rig: Rig, told: Overview, drifts: Mapping[str, Sequence[SeriesAlarm]], more: Iterable[OpenPoint] = ()
) -> RigPage:
    """Give the first page of a rig, with what drifts by the id of its thing, and what else is open."""
    lines: tuple[OutletLine | DeviceLine, ...] = (*told.outlets, *told.devices)
    noted = {each.id: each for each in lines}
    shown = [
        HealthRow(
            each,
            noted.get(each.place.id),
            _ways(rig, (each.place, *(point.at for point in each.points))),
            drifts.get(each.place.id, ()),
        )
        for each in told.health
    ]
    of_things = {id(point) for each in told.health for point in each.points}
    return RigPage(
        told,
        [each for each in shown if each.health.place.what == "outlet"],
        [each for each in shown if each.health.place.what == "device"],
        [each for each in shown if each.health.place.what == "look"],
        [(each, way_of(rig, each.at)) for each in (*more, *told.open_points) if id(each) not in of_things],
    )


def _ways(rig: Rig, places: Iterable[PointPlace]) -> Sequence[Way]:
    """Give each way once, the thing's own first."""
    return tuple(dict.fromkeys(way_of(rig, place) for place in places))
