"""The invented rig's map, its looks, and a change that is not yet proved."""

from typing import Any, Final, Protocol

When = tuple[int, int, int]

_PARTS: Final[tuple[tuple[str, str, str, dict[str, Any]], ...]] = (
    ("inlet", "inlet", "Inlet", {"amps": 30}),
    ("main", "breaker", "Main breaker", {"amps": 30}),
    ("b1", "breaker", "Outlets breaker", {"amps": 15}),
    ("b2", "breaker", "Fridge breaker", {"amps": 15}),
    ("station", "inverter", "Power station under the bench", {"amps": 15}),
    ("plug", "junction", "Plug moved by hand", {}),
    ("g1", "gfci-receptacle", "GFCI in the galley", {"amps": 15, "device": "galley gfci"}),
    ("g2", "gfci-receptacle", "GFCI by the bunk", {"amps": 15, "device": "bunk gfci"}),
    ("galley", "receptacle", "Galley, left of the sink", {"outlet": "galley", "where": ["near-water"]}),
    ("table", "receptacle", "Under the table", {"outlet": "table"}),
    ("bunk", "receptacle", "Above the bunk", {"outlet": "bunk"}),
    ("outside", "receptacle", "Outside, door side", {"outlet": "outside", "where": ["outside"]}),
    ("fridge", "receptacle", "Behind the fridge", {"outlet": "fridge"}),
    ("cooler", "appliance", "Fridge", {"watts": 180}),
    ("kettle", "appliance", "Kettle", {"watts": 1500}),
    ("heater", "appliance", "Fan heater", {"watts": 1200, "continuous": True}),
    ("lights", "appliance", "Reading lights", {"watts": 20}),
)
_RUNS: Final = (
    ("inlet", "main", "line", 10, 3),
    ("main", "b1", "line", None, None),
    ("main", "b2", "line", None, None),
    ("b1", "plug", "line", 14, 4),
    ("station", "plug", "line", 14, 4),
    ("plug", "g1", "line", 14, 6),
    ("g1", "galley", "load", 14, 3),
    ("galley", "table", "line", 14, 5),
    ("g1", "g2", "line", 14, 9),
    ("g2", "bunk", "load", 14, 4),
    ("g1", "outside", "line", 14, 16),
    ("b2", "fridge", "line", 14, 12),
    ("fridge", "cooler", "line", None, None),
    ("galley", "kettle", "line", None, None),
    ("table", "heater", "line", None, None),
    ("bunk", "lights", "line", None, None),
)


class DemoLog(Protocol):
    """The log under way."""

    ids: dict[str, str]

    def add(self, key: str, when: When, kind: str, body: dict[str, Any], **others: str | None) -> None:
        """Add a record; the key is what later records call it by."""


def write_map(log: DemoLog) -> None:
    """Note what feeds what; the outside outlet is noted on the side where it does not hang."""
    parts = [_part(log, *part) for part in _PARTS]
    modes = {"shore": {"without": [4]}, "station": {"without": [3]}}
    body = {"parts": parts, "runs": [_run(*run) for run in _RUNS], "modes": modes}
    log.add("map", (36, 17, 40), "rig-map", body)


def write_looks(log: DemoLog) -> None:
    """Look at cord, inlet and alarms; the gas alarm was not pressed."""
    cord = ("cord-jacket", "cord-blades", "cord-ground-pin", "cord-strain-relief")
    for minute, of, points, skipped in (
        (5, "cord", cord, ()),
        (7, "inlet", ("inlet-burn", "inlet-cover"), ()),
        (9, "alarms", ("alarm-smoke",), ("alarm-gas",)),
    ):
        looked = dict.fromkeys(points, "good")
        body = {"of": of, "points": looked, "not_tested": list(skipped), "note": ""}
        log.add(f"look at {of}", (3, 9, minute), "look", body)


def write_change(log: DemoLog) -> None:
    """Rewire the outlet behind the fridge, and begin to prove it."""
    body = {
        "what": "New receptacle behind the fridge; the old one was discoloured.",
        "why": "It was warm at the last long run of the fridge.",
        "parts": ["fridge"],
        "map": log.ids["map"],
        "wire": "14 AWG, the old run",
        "device": "15 A receptacle",
    }
    log.add("change", (2, 11, 0), "change", body)
    for minute, step, pair, value in (
        (20, "unplugged", None, None),
        (21, "source-dead", None, None),
        (22, "meter-before", None, None),
        (24, "no-volts", "h-n", "0.0"),
        (25, "no-volts", "h-g", "0.0"),
        (26, "no-volts", "n-g", "0.0"),
        (28, "meter-after", None, None),
        (33, "ground-continuous", None, "0.3"),
    ):
        _proof(log, (2, 11, minute), step, pair, value)


def _proof(log: DemoLog, when: When, step: str, pair: str | None, value: str | None) -> None:
    part = {"source-dead": "station", "no-volts": "fridge", "ground-continuous": "fridge"}.get(step)
    body = {
        "step": step,
        "part": part,
        "pair": pair,
        "outcome": "good",
        "value": value,
        "unit": {"no-volts": "V", "ground-continuous": "ohm"}.get(step),
        "record": None,
        "note": "",
    }
    log.add(f"proof {step} {pair}", when, "proof", body, subject=log.ids["change"])


def _part(log: DemoLog, part_id: str, kind: str, name: str, others: dict[str, Any]) -> dict[str, Any]:
    ids: dict[str, Any] = {
        member: log.ids[others[member]] for member in ("outlet", "device") if member in others
    }
    outlet: dict[str, Any] = {"outlet_type": "5-15", "amps": 15} if kind == "receptacle" else {}
    return {"id": part_id, "kind": kind, "name": name, **outlet, **others, **ids}


def _run(start: str, end: str, side: str, awg: int | None, feet: int | None) -> dict[str, Any]:
    return {"from": start, "to": end, "from_side": side, "awg": awg, "feet": feet}
