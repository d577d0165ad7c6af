"""Contents of a service record, made up for laying it out."""

from dataclasses import replace
from datetime import date

from fieldlog.kinds.paper import SectionLine
from fieldlog.model.due_items import DueItem, Standing, Thing
from fieldlog.reports.contents import (
    Arrivals,
    Contents,
    CorrectionLine,
    LogEnd,
    TestLine,
)
from fieldlog.reports.open_points import OpenPoint
from fieldlog.reports.overview import DeviceLine, OutletLine

ADDRESS = "http://127.0.0.1:8000/rigs/0193620a-1111-7abc-8123-0123456789ab/record"
HEAD = "3f" * 32
LAST, NEXT = date(2026, 11, 20), date(2026, 12, 20)


def small_contents(**members: object) -> Contents:
    """Give a rig with two outlets and a device."""
    contents = Contents(
        name="Rolling Bread Bin",
        plug="TT-30",
        note="Sixteen feet.",
        made_at="2026-11-25 12:00 UTC",
        address=ADDRESS,
        outlets=tuple(an_outlet_line(n) for n in range(2)),
        devices=(a_device_line("GFCI in the galley"),),
        open_points=(OpenPoint("never tested", "“Outlet 1” was never tested."),),
        tests=tuple(a_test_line(n) for n in range(3)),
        corrections=(
            CorrectionLine("2026-11-20", "outlet “Outlet 0”", ("guard: none → GFCI",), "Looked again.", 7, 3),
        ),
        arrivals=Arrivals(4, "2026-11-20, TT-30: use"),
        log=LogEnd(9, HEAD),
        rulebook="sha256:" + HEAD,
    )
    return replace(contents, **members)  # type: ignore[arg-type] # the members are named by the tests


def long_contents() -> Contents:
    """Give a rig with 50 outlets and 200 tests."""
    return small_contents(
        outlets=tuple(an_outlet_line(n) for n in range(50)),
        tests=tuple(a_test_line(n) for n in range(200)),
    )


def an_outlet_line(number: int, name: str = "") -> OutletLine:
    """Give an outlet's line."""
    return OutletLine(
        id=f"outlet-{number}",
        current=f"outlet-{number}",
        name=name or f"Outlet {number}",
        type="5-15",
        guard="GFCI in the galley",
        verdict="use",
        result="use",
        day="2026-11-20",
        note="",
    )


def a_device_line(name: str) -> DeviceLine:
    """Give a device's line."""
    return DeviceLine(
        id="device",
        current="device",
        name=name,
        type="GFCI outlet",
        installed="2021-05",
        result="TEST pressed: tripped, its own face went dead, reset",
        day="2026-11-20",
        due=DueItem(Thing("device", "device", name, LAST), "trip-monthly", NEXT, Standing.LATER, 1),
        note="",
    )


def a_test_line(number: int) -> TestLine:
    """Give a test's line."""
    return TestLine("2026-11-20", f"Outlet {number}", "use", "Kim", number + 10, HEAD[:16])


def lines_of(record: Contents, title: str) -> tuple[SectionLine, ...]:
    """Give the lines of a section of a record; none where it has no such section."""
    return next((section.lines for section in record.sections if section.title == title), ())
