"""What may happen in the lives that are drawn, and what people write in them."""

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st

from tests.builders import a_device, a_rig, a_trip_test, an_arrival_check
from tests.sync.network import FATES
from tests.sync.phones import NOON_MS, Phone, spoken

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS
YEAR_MS = 365 * 24 * HOUR_MS
LONGEST_WAIT_MS = 2 * HOUR_MS
PHONES = st.integers(0, 2)
PICKS = st.integers(0, 99)
# Some requests arrive, then things happen to some, then all arrive.
TROUBLES = st.builds(
    lambda before, befalls: ["delivered"] * before + befalls,
    st.integers(0, 3),
    st.lists(st.sampled_from(sorted(set(FATES) - {"delivered"})), min_size=1, max_size=3),
)
DEATHS = st.one_of(st.none(), st.integers(0, 4))
DATES = st.sampled_from([0, NOON_MS - HOUR_MS, NOON_MS, NOON_MS + HOUR_MS, NOON_MS + 10 * YEAR_MS])


def drafted(phone: Phone, known: Sequence[dict[str, Any]], kind: str, pick: int) -> dict[str, Any]:
    """Write a record; where the phone knows no thing that it could be of, write one of a rig."""
    firsts = [record for record in known if record["corrects"] is None]
    rigs = [record for record in firsts if record["kind"] == "rig"]
    devices = [record for record in firsts if record["kind"] == "device"]
    members: dict[str, Any] = {"id": phone.new_id(), "observed_at": spoken(phone.date_ms)}
    if kind == "arrival-check":
        return an_arrival_check(**members)
    if kind == "trip-test" and devices:
        device = devices[pick % len(devices)]
        return a_trip_test(device["rig"], device["id"], **members)
    if kind == "device" and rigs:
        return a_device(rigs[pick % len(rigs)]["id"], **members)
    return a_rig(**members)


def correction(phone: Phone, record: dict[str, Any]) -> dict[str, Any]:
    """Write a correction."""
    return record | {
        "id": phone.new_id(),
        "observed_at": spoken(phone.date_ms),
        "corrects": record["id"],
        "reason": "Read again.",
        "made_by": phone.name,
    }
