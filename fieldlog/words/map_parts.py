"""The parts and runs of a rig's map, in words."""

from collections.abc import Mapping, Sequence
from typing import Any

from fieldlog.model.part_kinds import TWO_SIDED
from fieldlog.words.kinds import device_kind, kind_name
from fieldlog.words.part_choices import CORDS, LEGS, PLACES
from fieldlog.words.wording import begun


def name_of(body: Mapping[str, Any], part_id: str) -> str:
    """Give a part's name in quotes, its id where the map does not have it."""
    return f"“{next((part['name'] for part in body['parts'] if part['id'] == part_id), part_id)}”"


def names_of(body: Mapping[str, Any], part_ids: Sequence[str]) -> str:
    """Give the names of parts, one after the other."""
    return ", ".join(name_of(body, part) for part in part_ids)


def part_words(part: Mapping[str, Any]) -> str:
    """Say what a part is: kind, rating, place."""
    kind = device_kind(part["kind"], bool(part.get("gfci")))
    rating = part.get("outlet_type") or (f"{part['amps']:g} A" if part.get("amps") else None)
    words = [begun(kind_name(kind)), rating]
    words += [PLACES[place] for place in part.get("where", ())]
    words += ["neutral and ground joined"] if part.get("bonded") else []
    words += [f"{part['watts']:g} W"] if part.get("watts") else []
    words += ["runs for hours"] if part.get("continuous") else []
    words += [LEGS[part["leg"]]] if part.get("leg") else []
    words += ["shares a neutral"] if part.get("shares_neutral") else []
    words += ["tied" if part["tied"] else "not tied"] if part.get("tied") is not None else []
    return ", ".join(word for word in words if word)


def wire_words(run: Mapping[str, Any]) -> str:
    """Say what wire a run is."""
    gauge = f"{run['awg']} AWG" if run.get("awg") else "gauge not noted"
    feet = None if run.get("feet") is None else f"{run['feet']:g} ft"
    return ", ".join(word for word in (gauge, feet, CORDS.get(run.get("cord") or "")) if word)


def side_words(body: Mapping[str, Any], run: Mapping[str, Any]) -> str:
    """Say from which side a run leaves a device, nothing where a part has but one."""
    has_sides = any(part["id"] == run["from"] and part["kind"] in TWO_SIDED for part in body["parts"])
    return f"{run.get('from_side') or 'line'} side" if has_sides else ""


def run_words(body: Mapping[str, Any], run: Mapping[str, Any]) -> str:
    """Name a run by its ends."""
    return f"the run from {name_of(body, run['from'])} to {name_of(body, run['to'])}"
