"""What the age of a ground-fault device leaves open, in sentences."""

import json
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Final

from fieldlog.model.selftest import SelfTestDate, missing_self_test
from fieldlog.words.kinds import GUARDS

TABLE: Final = Path(__file__).resolve().parents[2] / "schemas" / "limits" / "ground-fault-dates.json"

_READ_IT: Final = {
    "gfci-receptacle": "Read its own face with a lamp or a meter while it is tripped: "
    "one wired backwards trips and leaves its face live.",
    "gfci-breaker": "Only the monthly press of TEST tells whether it still works; "
    "read an outlet behind it while it is tripped.",
    "cord-gfci": "Read its own outlet with a lamp or a meter while it is tripped.",
}


def self_test_sentence(device: Mapping[str, Any]) -> str:
    """Say of the body of a device what its age leaves open; nothing where it was made late enough."""
    kind, made = device["type"], device.get("made")
    required = missing_self_test(kind, made, self_test_dates())
    if required is None:
        return ""
    when = "When it was made is not noted" if made is None else f"Made {made}"
    since = f"before {required.since.isoformat()} a {GUARDS[kind]} may lack the self-test"
    return f"{when}: {since} ({required.source}). {_READ_IT[kind]}"


@cache
def self_test_dates() -> tuple[SelfTestDate, ...]:
    """Read from when devices have to test themselves."""
    entries = json.loads(TABLE.read_text(encoding="utf-8"))["entries"]
    return tuple(
        SelfTestDate(frozenset(entry["applies_to"]), date.fromisoformat(entry["date"]), entry["source"])
        for entry in entries
    )
