"""An invented rig with a month of invented records, judged by the real assessment."""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from typing import Any, Final

from fieldlog.engine import assess
from fieldlog.engine.skin import Skin, skin_level
from fieldlog.model.account import DEMO_NAME
from fieldlog.model.contacts import SPLIT_PHASE, THREE_WIRE
from fieldlog.model.identity import uuid7
from fieldlog.model.measured import check_input, measured
from fieldlog.model.record import observed_text
from fieldlog.model.rulebook import Rulebook
from fieldlog.rulebook import load
from fieldlog.sync.demo_map import write_change, write_looks, write_map

RIG_NAME: Final = "Robin’s Rolling Bread Bin (invented)"
NOTE: Final = (
    "This rig, its campgrounds, its people and all its readings are invented, to show how a log looks."
)

_ZONE: Final = timezone(timedelta(hours=-6))
_ACCURACY: Final = {"input": "high-impedance", "accuracy_percent": "1.0 %", "accuracy_volts": "0.3 V"}
_CATEGORY: Final = "CAT III 300 V"
_BY_METER: Final = {"dry": True, "meter_proved": True, "category": _CATEGORY}
_BY_LAMPS: Final = {"dry": True, "meter_proved": False, "category": None}

_THREE_WIRE: Final = THREE_WIRE.usual
_SPLIT_PHASE: Final = SPLIT_PHASE.usual

When = tuple[int, int, int]  # days before now, hour, minute


def demo_records(now: datetime) -> list[dict[str, Any]]:
    """Give the records of the demo rig, in the order of the log; the same time gives the same records."""
    log = _Log(now, load())
    steps = (_instruments, _rig, write_map, _first_round, _stays, write_looks, _second_round, write_change)
    for write in steps:
        write(log)
    return log.records


@dataclass
class _Log:
    """Records under way, and the ids of the things that later ones speak of."""

    now: datetime
    rulebook: Rulebook
    records: list[dict[str, Any]] = field(default_factory=list)
    ids: dict[str, str] = field(default_factory=dict)

    def add(self, key: str, when: When, kind: str, body: Mapping[str, Any], **others: str | None) -> None:
        """Add a record; the key is what later records call it by."""
        days, hour, minute = when
        day = self.now.astimezone(_ZONE) - timedelta(days=days)
        at = day.replace(hour=hour, minute=minute, second=0, microsecond=0)
        self.ids[key] = _identity(at, key)
        record = {
            "id": self.ids[key],
            "kind": kind,
            "rig": self.ids.get("rig"),
            "subject": None,
            "observed_at": observed_text(at),
            "made_by": DEMO_NAME,
            "instrument": None,
            "body": dict(body),
            "corrects": None,
            "reason": None,
        }
        self.records.append(record | others)

    def judged(self, check: Mapping[str, Any], not_tested: Sequence[str]) -> dict[str, Any]:
        """Give the body of a check, judged."""
        answer = assess(check_input(check), self.rulebook)
        first = answer["faults"][0]["id"] if answer["faults"] else None
        return {
            "check": dict(check),
            "ready": _BY_METER if "volts" in check else _BY_LAMPS,
            "not_tested": list(not_tested),
            "judgement": {"verdict": answer["verdict"], "rulebook": self.rulebook.id, "first": first},
        }


def _instruments(log: _Log) -> None:
    meter = {"type": "meter", "name": "Pocket meter", **_ACCURACY, "category": _CATEGORY}
    log.add("meter", (36, 17, 0), "instrument", meter)
    lamps = [("by the cord", "h-g"), ("in the middle", "h-n"), ("far end", "n-g")]
    called = [{"called": words, "pair": pair} for words, pair in lamps]
    tester = {"type": "lamp-tester", "name": "Tester with three lamps", "lamps": called}
    log.add("lamps", (36, 17, 4), "instrument", tester)


def _rig(log: _Log) -> None:
    log.add("rig", (36, 17, 10), "rig", {"name": RIG_NAME, "outlet": "TT-30", "note": NOTE})
    for minute, key, name, made, installed in (
        (12, "galley gfci", "GFCI in the galley", "2021-02", "2021-05"),
        (13, "bunk gfci", "GFCI by the bunk", None, None),
    ):
        months = {"made": made, "installed": installed}
        body = {"name": name, "type": "gfci-receptacle", **months, "note": ""}
        log.add(key, (36, 17, minute), "device", body)
    for minute, key, name, guard in (
        (15, "galley", "Galley, left of the sink", "galley gfci"),
        (16, "table", "Under the table", "galley gfci"),
        (17, "bunk", "Above the bunk", "bunk gfci"),
        (18, "outside", "Outside, door side", None),
        (19, "fridge", "Behind the fridge", None),
    ):
        body = {"name": name, "outlet": "5-15", "guard": log.ids.get(guard or ""), "note": ""}
        log.add(key, (36, 17, minute), "outlet", body)


def _first_round(log: _Log) -> None:
    _trip(log, "galley gfci", (35, 10, 0), dead=("galley", "table"), live=("bunk", "fridge"))
    # Nobody held a lamp in its face, and the outlets were not looked at either.
    _trip(log, "bunk gfci", (35, 10, 10), face_dead=None)
    _outlet_test(log, "galley", (35, 10, 30), ("119.6 V", "119.2 V", "0.5 V"))


def _stays(log: _Log) -> None:
    mill = _place("Mill Hollow Park (invented)", "12")
    _arrive(log, "mill", (29, 15, 20), mill, _tt30(volts=("121.3 V", "121.0 V", "0.4 V")))
    _plug_in(log, "mill", (29, 15, 31), skin="0.3 V", inside="120.4 V")

    gravel = _place("Gravel Bar Camp (invented)", "7")
    _arrive(log, "gravel", (21, 18, 5), gravel, _tt30(volts=("107.4 V", "107.0 V", "14.0 V")))
    reason = "Decimal point forgotten: the meter showed 1.4 V between neutral and ground."
    corrected = _tt30(volts=("107.4 V", "107.0 V", "1.4 V"))
    _arrive(log, "gravel again", (21, 18, 5), gravel, corrected, corrects=log.ids["gravel"], reason=reason)
    _plug_in(log, "gravel", (21, 18, 20), skin="0.6 V", inside="105.9 V")

    own = _place("Ridge Road Meadow (invented)", "own generator")
    _arrive(log, "generator", (17, 8, 50), own, _generator())

    thistle = "Thistle Flat Campground (invented)"
    no_ground = _tt30(volts=("120.8 V", "46.2 V", "71.5 V"))
    _arrive(log, "thistle 3", (13, 16, 40), _place(thistle, "3"), no_ground)
    next_site = _tt30(volts=("120.1 V", "119.7 V", "0.6 V"))
    _arrive(log, "thistle 5", (13, 17, 15), _place(thistle, "5"), next_site)
    _plug_in(log, "thistle 5", (13, 17, 24), skin="0.2 V", inside="119.3 V")

    copper = _place("Copper Ford Park (invented)", "31")
    _arrive(log, "copper", (8, 16, 12), copper, _14_50_under_load())

    by_lamps = {"lamps": {"h-n": "lit", "h-g": "lit", "n-g": "dark"}, "look": []}
    check = {"outlet": "TT-30", "supply": "utility", "where": "pedestal", "breaker_amps": "30 A", **by_lamps}
    _arrive(log, "sand", (4, 19, 2), _place("Sand Lane Sites (invented)", "22"), check, instrument="lamps")


def _second_round(log: _Log) -> None:
    # The outside outlet was noted on the line side of that device.
    _trip(log, "galley gfci", (3, 9, 30), dead=("galley", "table", "outside"), live=("bunk", "fridge"))
    _outlet_test(log, "galley", (3, 9, 45), ("118.9 V", "118.4 V", "0.6 V"))
    _outlet_test(log, "table", (3, 9, 52), ("118.7 V", "118.1 V", "0.7 V"), not_tested=("look",))
    _outlet_test(log, "bunk", (3, 10, 1), ("118.8 V", "0.4 V", "118.3 V"))


def _trip(
    log: _Log,
    device: str,
    when: When,
    *,
    face_dead: bool | None = True,
    dead: Sequence[str] = (),
    live: Sequence[str] = (),
) -> None:
    skipped = {"face_dead": face_dead is None, "outlets": not dead and not live}
    body = {
        "by": "button",
        "tripped": True,
        "face_dead": face_dead,
        "reset": True,
        "dead": [log.ids[outlet] for outlet in dead],
        "live": [log.ids[outlet] for outlet in live],
        "not_tested": [name for name, is_skipped in skipped.items() if is_skipped],
    }
    log.add(f"{device} trip {when}", when, "trip-test", body, subject=log.ids[device])


def _outlet_test(
    log: _Log, outlet: str, when: When, volts: tuple[str, str, str], not_tested: Sequence[str] = ()
) -> None:
    looked: dict[str, Any] = {} if "look" in not_tested else {"look": []}
    check = {"outlet": "5-15", "supply": "utility", "where": "rig", **_read(volts), **looked}
    ids = {"subject": log.ids[outlet], "instrument": log.ids["meter"]}
    log.add(f"{outlet} test {when}", when, "outlet-test", log.judged(check, not_tested), **ids)


def _arrive(
    log: _Log,
    key: str,
    when: When,
    place: Mapping[str, str],
    check: Mapping[str, Any],
    *,
    instrument: str = "meter",
    corrects: str | None = None,
    reason: str | None = None,
) -> None:
    body = {"place": dict(place), **log.judged(check, ())}
    ids = {"instrument": log.ids[instrument], "corrects": corrects, "reason": reason}
    log.add(key, when, "arrival-check", body, **ids)


def _plug_in(log: _Log, arrival: str, when: When, *, skin: str, inside: str) -> None:
    judged = skin_level(Skin(measured(skin, "V"), is_earth_proved=True), "utility", log.rulebook)
    body = {
        "skin": {"by": "meter", "volts": skin, "earth_proved": True},
        "inside": inside,
        "tingle": False,
        "not_tested": [],
        "judgement": {"level": judged.level, "rulebook": log.rulebook.id},
    }
    ids = {"subject": log.ids[arrival], "instrument": log.ids["meter"]}
    log.add(f"{arrival} plugged in", when, "plug-in", body, **ids)


def _tt30(volts: tuple[str, str, str]) -> dict[str, Any]:
    read = {"breaker_amps": "30 A", **_read(volts), "look": []}
    return {"outlet": "TT-30", "supply": "utility", "where": "pedestal", **read}


def _generator() -> dict[str, Any]:
    """Give a generator whose neutral floats, read at its own outlet with both kinds of meter."""
    floating = dict(zip(_THREE_WIRE, ("121.4 V", "58.9 V", "62.7 V"), strict=True))
    drawn_down = dict(zip(_THREE_WIRE, ("121.1 V", "1.2 V", "1.1 V"), strict=True))
    low_impedance = {"input": "low-impedance", "accuracy_percent": "1.5 %", "accuracy_volts": "0.5 V"}
    return {
        "outlet": "TT-30",
        "supply": "generator",
        "where": "pedestal",
        "breaker_amps": "30 A",
        "hertz": "61.3 Hz",
        "meter": dict(_ACCURACY),
        "volts": floating,
        "more": [{"state": "as-found", "meter": low_impedance, "volts": drawn_down}],
        "continuity": {"n-g": "open", "g-frame": "closed"},
        "near": {"g": False},
        "look": [],
    }


def _14_50_under_load() -> dict[str, Any]:
    """Give a 14-50 whose first leg carries a heater of 1500 W."""
    volts = ("243.4 V", "122.0 V", "121.4 V", "121.7 V", "121.1 V", "0.5 V")
    lamps = ("lit", "lit", "lit", "lit", "lit", "dark")
    loaded = {"x-y": "240.7 V", "x-n": "117.2 V", "y-n": "123.5 V", "n-g": "2.6 V"}
    return {
        "outlet": "14-50",
        "supply": "utility",
        "where": "pedestal",
        "breaker_amps": "50 A",
        "meter": dict(_ACCURACY),
        "volts": dict(zip(_SPLIT_PHASE, volts, strict=True)),
        "lamps": dict(zip(_SPLIT_PHASE, lamps, strict=True)),
        "loaded": {"across": "x-n", "amps": "12.2 A", "amps_percent": "5 %", "volts": loaded},
        "look": [],
    }


def _read(volts: tuple[str, str, str]) -> dict[str, Any]:
    return {"meter": dict(_ACCURACY), "volts": dict(zip(_THREE_WIRE, volts, strict=True))}


def _place(park: str, site: str) -> dict[str, str]:
    return {"park": park, "site": site}


def _identity(at: datetime, key: str) -> str:
    digest = int.from_bytes(hashlib.sha256(f"demo {key}".encode()).digest())
    return uuid7(int(at.timestamp() * 1000), digest & 0xFFF, digest >> 12 & (1 << 62) - 1)
