"""Box fill: the volume that wires, clamps and devices need, against the volume of the box."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldlog.engine.fields import Fields
from fieldlog.errors import BadInput
from fieldlog.model.code_tables import CodeTables

EDITIONS = (2014, 2017, 2020, 2023)
GAUGES = (18, 16, 14, 12, 10, 8, 6)
MOST_COUNT = 100
MOST_IN3 = 1000
"""Own choices, far above any box of a trailer."""


@dataclass(frozen=True)
class Wires:
    """Some wires, or devices or blocks with wires at them, that are alike.

    Parameters
    ----------
    awg : int
        Gauge of the wire, or of the largest wire at the device [AWG].
    count : int
        How many.
    """

    awg: int
    count: int


@dataclass(frozen=True)
class Box:
    """A box and what is in it.

    Parameters
    ----------
    edition : int
        Of the National Electrical Code.
    volume_in3 : float
        Volume of the box [in³].
    conductors, grounds, isolated_grounds : tuple of Wires
        Wires other than grounds, ground wires, and grounds of an isolated set.
    has_clamps : bool
        Whether there are clamps inside the box.
    devices : tuple of Wires
        Devices on a yoke; the count is the gangs that one needs.
    supports : int
        Kinds of studs and hickeys inside the box.
    terminal_blocks : tuple of Wires
        Blocks of terminals.
    """

    edition: int
    volume_in3: float
    conductors: tuple[Wires, ...]
    grounds: tuple[Wires, ...] = ()
    isolated_grounds: tuple[Wires, ...] = ()
    has_clamps: bool = False
    devices: tuple[Wires, ...] = ()
    supports: int = 0
    terminal_blocks: tuple[Wires, ...] = ()


def box_fill(value: Any, tables: CodeTables) -> dict[str, object]:
    """Say whether what is in a box fits into it.

    Parameters
    ----------
    value : JSON object
        "edition", "volume_in3" [in³, above 0 to 1000] and "conductors" are needed; "grounds",
        "isolated_grounds", "clamps", "devices", "supports" and "terminal_blocks" count as none where missing.
    tables : CodeTables
        As fieldlog.tables.load gives them.

    Returns
    -------
    dict
        "needed_in3", "volume_in3", "fits", "parts" (what each kind of thing takes) and "source".

    Raises
    ------
    BadInput
        With every problem found, each naming its member.

    Notes
    -----
    A wire takes the volume of its gauge; clamps together, and each kind of support, that of the largest wire
    in the box, grounds included; a device twice that of the largest wire at it, for each gang; the grounds
    together that of the largest of them, from 2020 on only the first four, and a quarter more for each
    further one; an isolated set once more; a terminal block from 2023 on that of the largest wire at it. All
    volumes are sixteenths of a cubic inch, so sums are exact.

    Examples
    --------
    Two cables of 12 AWG with ground, one receptacle, clamps: 9 + 2.25 + 4.5 + 2.25 in³.

    >>> from fieldlog.tables import load
    >>> twelve = {"edition": 2017, "volume_in3": 18.0, "conductors": [{"awg": 12, "count": 4}]}
    >>> twelve |= {"grounds": [{"awg": 12, "count": 2}], "clamps": True, "devices": [{"awg": 12, "gangs": 1}]}
    >>> box_fill(twelve, load())["needed_in3"]
    18.0

    References
    ----------
    NEC 314.16(B)(1) to (B)(6) and Table 314.16(B)(1), editions 2014 to 2023.
    """
    box = read_box(value)
    parts = list(needed(box, tables))
    total = sum(in3 for _, in3 in parts)
    return {
        "needed_in3": total,
        "volume_in3": box.volume_in3,
        "fits": total <= box.volume_in3,
        "parts": [{"what": what, "in3": in3} for what, in3 in parts],
        "source": _source(box, tables),
    }


def needed(box: Box, tables: CodeTables) -> Iterator[tuple[str, float]]:
    """Give what each kind of thing in a box takes.

    Parameters
    ----------
    box : Box
        What is in it.
    tables : CodeTables
        Volumes by gauge, and how much each thing counts.

    Yields
    ------
    str, float
        What it is, and its volume [in³]; things of which there are none are left out.
    """

    def volume(awg: int) -> float:
        return tables.entries[f"box-wire-{awg}"].value

    def rule(name: str) -> float:
        return tables.entries[f"box-{name}"].value

    def of_all(wires: Sequence[Wires]) -> float:
        return sum(one.count * volume(one.awg) for one in wires)

    largest = volume(_thickest((*box.conductors, *box.grounds, *box.isolated_grounds)))
    yield from _unless_none("wires", of_all(box.conductors))
    yield from _unless_none("clamps", box.has_clamps * rule("clamps") * largest)
    yield from _unless_none("studs and hickeys", box.supports * rule("support") * largest)
    yield from _unless_none("devices", rule("device") * of_all(box.devices))
    if any(one.count for one in box.grounds):
        yield "grounds", _grounds(box, rule("grounds"), tables) * volume(_thickest(box.grounds))
    if any(one.count for one in box.isolated_grounds):
        yield "isolated grounds", rule("isolated-grounds") * volume(_thickest(box.isolated_grounds))
    if box.terminal_blocks:
        counts = rule("terminal-block") if _counts_blocks(box) else 0.0
        yield "terminal blocks", counts * of_all(box.terminal_blocks)


def _unless_none(what: str, in3: float) -> Iterator[tuple[str, float]]:
    if in3:
        yield what, in3


def _thickest(wires: Sequence[Wires]) -> int:
    """Give the gauge with the smallest number; 18 where there are no wires, and nothing takes its volume."""
    return min((one.awg for one in wires if one.count), default=GAUGES[0])


def _grounds(box: Box, together: float, tables: CodeTables) -> float:
    """Give how many of the largest ground wire all of them count as."""
    further = sum(one.count for one in box.grounds) - tables.entries["box-grounds-together"].value
    if box.edition < 2020 or further <= 0:
        return together
    return together + further * tables.entries["box-ground-more"].value


def _counts_blocks(box: Box) -> bool:
    return box.edition >= 2023


def _source(box: Box, tables: CodeTables) -> str:
    source = f"NEC 314.16(B) and Table 314.16(B)(1), edition of {box.edition}"
    if box.terminal_blocks and _counts_blocks(box):
        return f"{source}; terminal blocks {tables.entries['box-terminal-block'].known}"
    if box.terminal_blocks:
        return f"{source}, which does not count terminal blocks"
    return source


def read_box(value: Any) -> Box:
    """Give the Box that a JSON object stands for.

    Parameters
    ----------
    value : JSON value
        As for `box_fill`.

    Returns
    -------
    Box
        With defaults filled in.

    Raises
    ------
    BadInput
        With every problem found, each naming its member.
    """
    fields = Fields()
    needed_ones = ("edition", "volume_in3", "conductors")
    others = ("grounds", "isolated_grounds", "clamps", "devices", "supports", "terminal_blocks")
    found = fields.members(value, "", (*needed_ones, *others), needed_ones)
    box = Box(
        edition=fields.choice(found, "edition", "", EDITIONS) or EDITIONS[0],
        volume_in3=_volume(fields, found),
        conductors=_wires(fields, found, "conductors", "count"),
        grounds=_wires(fields, found, "grounds", "count"),
        isolated_grounds=_wires(fields, found, "isolated_grounds", "count"),
        has_clamps=fields.flag(found, "clamps", ""),
        devices=_wires(fields, found, "devices", "gangs"),
        supports=fields.whole(found, "supports", "", 0, MOST_COUNT) or 0,
        terminal_blocks=_wires(fields, found, "terminal_blocks", "count"),
    )
    for name, counts in (("clamps", box.has_clamps), ("supports", box.supports)):
        if counts and not any(one.count for one in (*box.conductors, *box.grounds, *box.isolated_grounds)):
            fields.problem(
                f"/{name}", "count as the largest wire in the box, and no wire is noted. Note the wires."
            )
    if fields.problems:
        raise BadInput(fields.problems)
    return box


def _volume(fields: Fields, found: Mapping[str, Any]) -> float:
    if "volume_in3" in found and found["volume_in3"] is None:
        fields.problem("/volume_in3", "is needed: read it off the box, or look it up by the box's measures.")
    return fields.number(found, "volume_in3", "", MOST_IN3, "in³") or 0.0


def _wires(fields: Fields, found: Mapping[str, Any], name: str, counted: str) -> tuple[Wires, ...]:
    items = enumerate(fields.items(found, name))
    return tuple(_some_wires(fields, one, f"/{name}/{place}", counted) for place, one in items)


def _some_wires(fields: Fields, value: Any, at: str, counted: str) -> Wires:
    found = fields.members(value, at, ("awg", counted), ("awg",))
    count = fields.whole(found, counted, at, 0, MOST_COUNT)
    return Wires(fields.choice(found, "awg", at, GAUGES) or GAUGES[0], 1 if count is None else count)
