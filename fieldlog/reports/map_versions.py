"""What changed from one version of a rig's map to the next, in words."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from fieldlog.words.map_parts import name_of, part_words, run_words, side_words, wire_words
from fieldlog.words.part_choices import PLACES

Body = Mapping[str, Any]
_MORE: Final = ("watts", "continuous", "leg", "shares_neutral", "tied")
_RATING: Final = ("amps", "outlet_type")


def differences(before: Body, after: Body) -> list[str]:
    """Say what changed, part after part, then in the modes; empty where nothing did."""
    return [
        *_taken_out(before, after),
        *_added(before, after),
        *(words for old, new in _kept(before, after) for words in _of_part(old, new)),
        *_runs(before, after),
        *_modes(before, after),
    ]


def _kept(before: Body, after: Body) -> Iterator[tuple[Body, Body]]:
    old = {part["id"]: part for part in before["parts"]}
    return ((old[part["id"]], part) for part in after["parts"] if part["id"] in old)


def _taken_out(before: Body, after: Body) -> Iterator[str]:
    ids = {part["id"] for part in after["parts"]}
    return (f"“{part['name']}” was taken out." for part in before["parts"] if part["id"] not in ids)


def _added(before: Body, after: Body) -> Iterator[str]:
    ids = {part["id"] for part in before["parts"]}
    for part in after["parts"]:
        if part["id"] not in ids:
            yield f"“{part['name']}” was added: {part_words(part)}."


def _of_part(old: Body, new: Body) -> Iterator[str]:
    name = f"“{new['name']}”"
    if old["name"] != new["name"]:
        yield f"“{old['name']}” is now called {name}."
    if (old["kind"], bool(old.get("gfci"))) != (new["kind"], bool(new.get("gfci"))):
        yield f"{name} is now noted as {part_words(new)}, before as {part_words(old)}."
    elif any(old.get(member) != new.get(member) for member in _RATING):
        yield f"{name}: rating {_rating(new)}, before {_rating(old)}."
    if set(old.get("where") or ()) != set(new.get("where") or ()):
        yield f"{name}: {_where(new)}, before {_where(old)}."
    if bool(old.get("bonded")) != bool(new.get("bonded")):
        now = "are joined there now" if new.get("bonded") else "are no longer joined there"
        yield f"{name}: neutral and ground {now}."
    if any(old.get(member) != new.get(member) for member in _MORE):
        yield f"{name} is now noted as {part_words(new)}, before as {part_words(old)}."
    if (old.get("note") or "") != (new.get("note") or ""):
        yield f"{name}: another note."


def _rating(part: Body) -> str:
    amps = f"{part['amps']:g} A" if part.get("amps") else None
    return ", ".join(word for word in (part.get("outlet_type"), amps) if word) or "not noted"


def _where(part: Body) -> str:
    return (
        " and ".join(PLACES[place] for place in part.get("where") or ()) or "neither outside nor near water"
    )


def _by_ends(body: Body) -> dict[tuple[str, str], Body]:
    return {(run["from"], run["to"]): run for run in body["runs"]}


def _runs(before: Body, after: Body) -> Iterator[str]:
    old, new = _by_ends(before), _by_ends(after)
    gone = [run for ends, run in old.items() if ends not in new]
    for ends, run in new.items():
        moved = next((one for one in gone if one["to"] == run["to"]), None)
        if ends in old:
            yield from _of_run(after, old[ends], run)
        elif moved is not None:
            gone.remove(moved)
            yield f"{_fed(after, run)}, not from {name_of(before, moved['from'])} any more."
        else:
            yield f"{_fed(after, run)}."
    left = {part["id"] for part in after["parts"]}
    yield from (_begun(f"{run_words(before, run)} was taken out.") for run in gone if run["to"] in left)


def _fed(body: Body, run: Body) -> str:
    side = side_words(body, run)
    start = f"the {side} of {name_of(body, run['from'])}" if side else name_of(body, run["from"])
    return f"{name_of(body, run['to'])} is fed from {start} ({wire_words(run)})"


def _of_run(body: Body, old: Body, new: Body) -> Iterator[str]:
    sides = side_words(body, old), side_words(body, new)
    if sides[0] != sides[1]:
        start, end = name_of(body, new["from"]), name_of(body, new["to"])
        yield f"{end} is fed from the {sides[1]} of {start}, before from its {sides[0]}."
    if wire_words(old) != wire_words(new):
        yield f"{_begun(run_words(body, new))}: {wire_words(new)}, before {wire_words(old)}."


def _modes(before: Body, after: Body) -> Iterator[str]:
    old, new = _left_out(before), _left_out(after)
    for mode in old:
        if mode not in new:
            yield f"The mode “{mode}” was taken out."
    for mode, runs in new.items():
        if mode not in old:
            yield f"The mode “{mode}” was added."
        for ends, run in runs.items():
            if ends not in old.get(mode, {}):
                yield f"In mode “{mode}” {run_words(after, run)} is not there."
        for ends, run in old.get(mode, {}).items():
            if ends not in runs and ends in _by_ends(after):
                yield f"In mode “{mode}” {run_words(after, run)} is there again."


def _left_out(body: Body) -> dict[str, dict[tuple[str, str], Body]]:
    runs = body["runs"]
    return {
        mode: {(runs[at]["from"], runs[at]["to"]): runs[at] for at in said["without"] if at < len(runs)}
        for mode, said in body["modes"].items()
    }


def _begun(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
