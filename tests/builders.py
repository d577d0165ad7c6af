"""One short function for each thing that tests need."""

import hashlib
import itertools
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from fieldlog.model.identity import uuid7

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
RULEBOOK_ID = "sha256:" + "0" * 64
_counter = itertools.count(1)
_made_at = NOON


def make_records_at(moment: datetime) -> None:
    """Let what follows be made at a moment; a browser's clock is the real one, so there it is now."""
    global _made_at  # builders are plain functions
    _made_at = moment


def an_id() -> str:
    """Give an id that no other test record has."""
    return uuid7(int(_made_at.timestamp() * 1000), 0xABC, next(_counter))


def _observed_at() -> str:
    """Give a time a while before, as a phone an hour east of Greenwich writes it."""
    seen = _made_at - timedelta(hours=2, minutes=28, seconds=52.877)
    return seen.astimezone(timezone(timedelta(hours=1))).isoformat(timespec="milliseconds")


def a_record(kind: str, body: dict[str, Any], **members: Any) -> dict[str, Any]:
    """Give a record with every member present."""
    record: dict[str, Any] = {
        "id": an_id(),
        "kind": kind,
        "rig": None,
        "subject": None,
        "observed_at": _observed_at(),
        "made_by": "Kim",
        "instrument": None,
        "body": body,
        "corrects": None,
        "reason": None,
    }
    return record | members


def a_check(**members: Any) -> dict[str, Any]:
    """Give the readings of a TT-30 with right wiring, by meter."""
    check: dict[str, Any] = {
        "outlet": "TT-30",
        "supply": "utility",
        "where": "pedestal",
        "breaker_amps": "30 A",
        "meter": {"input": "high-impedance", "accuracy_percent": "1.0 %", "accuracy_volts": "0.3 V"},
        "volts": {"h-n": "121.3 V", "h-g": "121.0 V", "n-g": "0.4 V"},
        "look": [],
    }
    return check | members


def a_14_50_check(**members: Any) -> dict[str, Any]:
    """Give the readings of a 14-50 with right wiring, by meter and lamps, with a heater on one leg."""
    volts = {
        "x-y": "243.4 V",
        "x-n": "122.0 V",
        "y-n": "121.4 V",
        "x-g": "121.7 V",
        "y-g": "121.1 V",
        "n-g": "0.5 V",
    }
    check: dict[str, Any] = {
        "outlet": "14-50",
        "supply": "utility",
        "where": "pedestal",
        "breaker_amps": "50 A",
        "meter": {"input": "high-impedance", "accuracy_percent": "1.0 %", "accuracy_volts": "0.3 V"},
        "volts": volts,
        "lamps": {"x-y": "lit", "x-n": "lit", "y-n": "lit", "x-g": "lit", "y-g": "lit", "n-g": "dark"},
        "loaded": {
            "across": "x-n",
            "amps": "12.2 A",
            "amps_percent": "5 %",
            "volts": {"x-y": "240.7 V", "x-n": "117.2 V", "y-n": "123.5 V", "n-g": "2.6 V"},
        },
        "look": [],
    }
    return check | members


def a_floating_generator(**members: Any) -> dict[str, Any]:
    """Give the readings at the own outlet of a generator whose neutral is joined to nothing."""
    return a_check(
        supply="generator",
        hertz="61.3 Hz",
        volts={"h-n": "121.4 V", "h-g": "58.9 V", "n-g": "62.7 V"},
        continuity={"n-g": "open", "g-frame": "closed"},
        **members,
    )


def a_full_check(**members: Any) -> dict[str, Any]:
    """Give a check of a three-wire outlet in which everything was read that can be."""
    low_impedance = {"input": "low-impedance", "accuracy_percent": "1.5 %", "accuracy_volts": "0.5 V"}
    return a_check(
        hertz="60.0 Hz",
        volts={"h-n": "121.3 V", "h-g": "121.0 V", "n-g": "0.4 V", "h-e": "121.2 V"},
        lamps={"h-n": "lit", "h-g": "dim", "n-g": "dark"},
        loaded={
            "across": "h-n",
            "amps": "12.0 A",
            "amps_percent": "5 %",
            "volts": {"h-n": "116.9 V", "h-g": "119.2 V", "n-g": "2.2 V"},
        },
        more=[
            {"state": "unplugged", "volts": {"h-n": "121.6 V"}, "lamps": {"h-n": "lit"}},
            {"meter": low_impedance, "volts": {"h-n": "120.7 V"}, "loaded": {"amps": "3.1 A"}},
            {"state": "breaker-off", "lamps": {"h-n": "dark"}},
        ],
        continuity={"n-g": "open", "g-frame": "closed"},
        near={"h": True, "n": False, "g": False, "skin": False},
        trip=[
            {
                "by": "external",
                "device": "this",
                "tripped": True,
                "face_dead": True,
                "reset": True,
                "milliseconds": "24 ms",
                "milliamps": "7 mA",
            },
            {"by": "button", "device": "upstream", "tripped": True, "reset": True},
        ],
        look=["loose"],
        **members,
    )


def a_judgement(verdict: str = "use", rulebook: str = RULEBOOK_ID) -> dict[str, Any]:
    """Give what a phone said."""
    return {"verdict": verdict, "rulebook": rulebook, "first": "correct"}


def _checked(check: dict[str, Any] | None, where: str, verdict: str) -> dict[str, Any]:
    return {
        "check": check or a_check(where=where),
        "ready": {"dry": True, "meter_proved": True, "category": "CAT III 600 V"},
        "not_tested": [] if check and "trip" in check else ["trip"],
        "judgement": a_judgement(verdict),
    }


def an_arrival_check(
    check: dict[str, Any] | None = None, *, park: str = "Alder Bend", verdict: str = "use", **members: Any
) -> dict[str, Any]:
    """Give an arrival check at an invented park."""
    body = {"place": {"park": park, "site": "12"}, **_checked(check, "pedestal", verdict)}
    return a_record("arrival-check", body, **members)


def an_outlet_test(
    rig: str, outlet: str, check: dict[str, Any] | None = None, **members: Any
) -> dict[str, Any]:
    """Give a test of an outlet of the rig."""
    return a_record("outlet-test", _checked(check, "rig", "use"), rig=rig, subject=outlet, **members)


def a_plug_in(arrival_check: str, **members: Any) -> dict[str, Any]:
    """Give what was seen after plugging in."""
    body = {
        "skin": {"by": "meter", "volts": "0.4 V"},
        "inside": "119.8 V",
        "tingle": False,
        "not_tested": [],
        "judgement": {"level": "none", "rulebook": RULEBOOK_ID},
    }
    return a_record("plug-in", body, subject=arrival_check, **members)


def a_rig(name: str = "Wren", **members: Any) -> dict[str, Any]:
    """Give a rig's first record."""
    identity = members.pop("id", None) or an_id()
    body = {"name": name, "outlet": "TT-30", "note": ""}
    return a_record("rig", body, **({"id": identity, "rig": identity} | members))


def an_outlet(rig: str, name: str = "Galley", guard: str | None = None, **members: Any) -> dict[str, Any]:
    """Give an outlet's first record."""
    body = {"name": name, "outlet": "5-15", "guard": guard, "note": ""}
    return a_record("outlet", body, rig=rig, **members)


def a_device(
    rig: str, name: str = "Galley receptacle", made: str | None = None, **members: Any
) -> dict[str, Any]:
    """Give a ground-fault device's first record; nothing is said of when it was made unless it is known."""
    body = {"name": name, "type": "gfci-receptacle", "installed": "2021-05", "note": ""}
    return a_record("device", body | ({} if made is None else {"made": made}), rig=rig, **members)


def a_cord_set(rig: str, number: str = "3", **members: Any) -> dict[str, Any]:
    """Give the first record of an extension cord with a number marked on it."""
    body: dict[str, Any] = {
        "name": f"Extension cord {number}",
        "type": "extension",
        "installed": None,
        "note": "",
    }
    body |= {"number": number, "hots": 1, "fixed": False}
    return a_record("device", body, rig=rig, **members)


def a_set_test(rig: str, cord_set: str, **members: Any) -> dict[str, Any]:
    """Give the test of a cord set that shows every conductor good."""
    points = dict.fromkeys(("set-ground", "set-ground-attached", "set-neutral", "set-hot"), "good")
    body = {"of": "set", "points": points, "not_tested": [], "note": "", "ohms": "0.2 ohm"}
    return a_record("look", body, rig=rig, subject=cord_set, **members)


def a_rig_map(rig: str, **members: Any) -> dict[str, Any]:
    """Give a map of an inlet with one outlet on the load side of a GFCI."""
    parts = [
        {"id": "inlet", "kind": "inlet", "name": "Inlet", "amps": 30, "bonded": False, "note": ""},
        {
            "id": "g",
            "kind": "gfci-receptacle",
            "name": "Galley",
            "outlet_type": "5-15",
            "where": ["near-water"],
        },
        {"id": "r", "kind": "receptacle", "name": "Bunk", "outlet": None, "device": None, "gfci": False},
    ]
    runs = [
        {"from": "inlet", "to": "g", "awg": 14, "feet": 10.5},
        {"from": "g", "to": "r", "from_side": "load", "awg": None, "feet": None},
    ]
    body = {"parts": parts, "runs": runs, "modes": {"dry": {"without": [1]}}}
    return a_record("rig-map", body, rig=rig, **members)


def a_change(rig: str, *parts: str, shown: str | None = None, **members: Any) -> dict[str, Any]:
    """Give a change of a rig's wiring; "inlet" is a part of every rig that nobody drew yet."""
    body = {"what": "New wire", "why": "Worn", "parts": list(parts or ("inlet",)), "map": shown}
    return a_record("change", body | {"wire": "14-2", "device": ""}, rig=rig, **members)


def a_proof(rig: str, change: str | None = None, **members: Any) -> dict[str, Any]:
    """Give the absence of volts between hot and neutral of an outlet."""
    body = {"step": "no-volts", "part": "r", "pair": "h-n", "outcome": "good", "value": "0.2", "unit": "V"}
    return a_record("proof", body | {"record": None, "note": ""}, rig=rig, subject=change, **members)


def a_look(rig: str, **members: Any) -> dict[str, Any]:
    """Give a look at the cord."""
    body = {"of": "cord", "points": {"cord-jacket": "good"}, "not_tested": ["cord-blades"], "note": ""}
    return a_record("look", body, rig=rig, **members)


def an_incident(rig: str, subject: str | None = None, what: str = "shock", **members: Any) -> dict[str, Any]:
    """Give what went wrong: at an outlet or device, or where nobody knows."""
    body = {"what": what, "at": "rig" if subject is None else "thing", "note": ""}
    return a_record("incident", body, rig=rig, subject=subject, **members)


def a_hand_over(rig: str, **members: Any) -> dict[str, Any]:
    """Give that a rig was handed over, with four entries before."""
    body = members.pop("body", {"count": 4, "head": "ab" * 32})
    return a_record("hand-over", body, rig=rig, **members)


def a_site_note(note: str = "Breaker is stiff", **members: Any) -> dict[str, Any]:
    """Give a note of a site at an invented park."""
    return a_record("site-note", {"place": {"park": "Alder Bend", "site": "12"}, "note": note}, **members)


def a_plan(rig: str, **members: Any) -> dict[str, Any]:
    """Give a plan of a kettle, with what was read of it later."""
    body = {
        "supply": "utility",
        "open": "120 V",
        "is_read": True,
        "loop_ohms": 0.2,
        "loop_spread": 0.05,
        "cords": [{"awg": 10, "feet": 25}],
        "cord_ohms": 0.082,
        "loads": [{"name": "Kettle", "watts": 1500}],
        "off": ["Heater"],
        "planned": {
            "volts": "116.7 V",
            "least": "116.1 V",
            "most": "117.3 V",
            "amps": "12.2 A",
            "fits": True,
        },
        "read": {"volts": "113.4 V", "amps": "11.8 A", "outlet": None},
        "note": "",
    }
    return a_record("plan", body | members.pop("body", {}), rig=rig, **members)


def a_plan_on_both_legs(rig: str, **members: Any) -> dict[str, Any]:
    """Give a plan on both hots, both read later: X sank by 4 V more than planned, and Y rose by 4."""
    body = {
        "loads": [
            {"name": "Kettle", "watts": 1500, "leg": "x"},
            {"name": "Lights", "watts": 200, "leg": "y"},
            {"name": "Dryer", "watts": 2400, "leg": "both"},
        ],
        "open": "120 V",
        "planned": {
            "volts": "115.5 V",
            "least": "114.7 V",
            "most": "116.3 V",
            "amps": "21.6 A",
            "fits": True,
        },
        "read": {"volts": "111.5 V", "amps": "21.6 A", "outlet": None},
        "second": {
            "open": "119 V",
            "between": "239 V",
            "planned": {
                "volts": "118.9 V",
                "least": "118.8 V",
                "most": "118.9 V",
                "amps": "11.3 A",
                "neutral": "10.3 A",
            },
            "read": {"volts": "122.8 V", "amps": "11.3 A", "outlet": None},
        },
    }
    return a_plan(rig, body=body | members.pop("body", {}), **members)


def a_round(rig: str, device: str, trip: str | None, **members: Any) -> dict[str, Any]:
    """Give a round of one device, skipped where no trip test shows it."""
    step = {
        "what": "device",
        "subject": device,
        "of": None,
        "record": trip,
        "skipped": trip is None,
        "why": "",
    }
    body = {"started_at": "2026-11-25T09:00:00+01:00", "steps": [step]}
    return a_record("round", body, rig=rig, **members)


def a_trip_test(rig: str, device: str, **members: Any) -> dict[str, Any]:
    """Give a press of TEST that went well."""
    body = {
        "by": "button",
        "tripped": True,
        "face_dead": True,
        "reset": True,
        "dead": [],
        "live": [],
        "not_tested": ["outlets"],
    }
    return a_record("trip-test", body, rig=rig, subject=device, **members)


def a_meter(**members: Any) -> dict[str, Any]:
    """Give a meter of someone's own."""
    body = {
        "type": "meter",
        "name": "The yellow one",
        "input": "high-impedance",
        "accuracy_percent": "1.0 %",
        "accuracy_volts": "0.3 V",
        "category": None,
    }
    return a_record("instrument", body, **members)


def a_lamp_tester(**members: Any) -> dict[str, Any]:
    """Give a lamp tester of someone's own."""
    lamps = [
        {"called": called, "pair": pair}
        for called, pair in (("left", "h-n"), ("middle", "h-g"), ("right", "n-g"))
    ]
    return a_record(
        "instrument", {"type": "lamp-tester", "name": "The stubby one", "lamps": lamps}, **members
    )


def a_photo(
    subject: str, content: bytes = b"a photo", *, media: str = "image/jpeg", what: str = "", **members: Any
) -> dict[str, Any]:
    """Give what is noted of a photo with this content."""
    body = {
        "hash": hashlib.sha256(content).hexdigest(),
        "bytes": len(content),
        "type": media,
        "width": 1600,
        "height": 1200,
        "what": what,
    }
    return a_record("photo", body, subject=subject, **members)
