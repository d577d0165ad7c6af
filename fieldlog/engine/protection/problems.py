"""What makes a map impossible to read as wiring, each said in a sentence that names the part."""

from collections.abc import Iterator, Mapping

from fieldlog.model.part_kinds import TRIPPING
from fieldlog.model.problem import Problem
from fieldlog.model.rig_map import RigMap


def find_problems(rig_map: RigMap) -> list[Problem]:
    """Give every problem of a map, in order of parts, runs, trips, then of loops by mode.

    Parameters
    ----------
    rig_map : RigMap
        As noted.

    Returns
    -------
    list of Problem
        Empty for a map that can be judged. Loops are looked for once every name is known; two feeds of one
        part are none, since wiring can be so: that is judged.
    """
    problems = [*_parts(rig_map), *_runs(rig_map), *_trips(rig_map)]
    if not problems:
        problems = list(dict.fromkeys(_loops(rig_map)))
    return problems


def _parts(rig_map: RigMap) -> Iterator[Problem]:
    if not rig_map.parts:
        yield Problem("/parts", "holds no part; note at least where the power comes in.")
    first: dict[str, int] = {}
    for place, part in enumerate(rig_map.parts):
        if first.setdefault(part.id, place) != place:
            words = f"“{part.id}” is the id of part {first[part.id]} as well; give one of the two another id."
            yield Problem(f"/parts/{place}/id", words)
    yield from _neutrals(rig_map)


def _neutrals(rig_map: RigMap) -> Iterator[Problem]:
    kinds = {part.id: part.kind for part in rig_map.parts}
    for place, part in enumerate(rig_map.parts):
        other = part.shares_neutral
        if other is not None and (kinds.get(other) != "breaker" or other == part.id):
            words = f"“{other}” is no other breaker of the map; name the breaker whose neutral it shares."
            yield Problem(f"/parts/{place}/shares_neutral", words)
        for member in ("leg", "shares_neutral", "tied"):
            if getattr(part, member) is not None and part.kind != "breaker":
                yield Problem(f"/parts/{place}/{member}", f"“{part.id}” is no breaker; leave this out.")
        if part.watts is not None and part.kind != "appliance":
            yield Problem(f"/parts/{place}/watts", f"“{part.id}” is no appliance; leave this out.")


def _runs(rig_map: RigMap) -> Iterator[Problem]:
    known = {part.id for part in rig_map.parts}
    for place, run in enumerate(rig_map.runs):
        for name, part in (("from", run.start), ("to", run.end)):
            if part not in known:
                words = f"“{part}” is not among the parts; note that part, or mend the run."
                yield Problem(f"/runs/{place}/{name}", words)
        if run.start == run.end and run.start in known:
            yield Problem(f"/runs/{place}", f"“{run.end}” cannot feed itself; mend where the run comes from.")


def _trips(rig_map: RigMap) -> Iterator[Problem]:
    kinds = {part.id: part.kind for part in rig_map.parts}
    for place, trip in enumerate(rig_map.trips):
        at = f"/trips/{place}"
        if trip.device not in kinds:
            yield Problem(
                f"{at}/device", f"“{trip.device}” is not among the parts; name a device of the map."
            )
        elif kinds[trip.device] not in TRIPPING:
            words = f"“{trip.device}” is a {kinds[trip.device]} and cannot trip; name a breaker or a GFCI."
            yield Problem(f"{at}/device", words)
        for name, parts in (("dead", trip.dead), ("live", trip.live)):
            for number, part in enumerate(parts):
                if part not in kinds:
                    yield Problem(f"{at}/{name}/{number}", f"“{part}” is not among the parts; mend its name.")
                elif name == "live" and part in trip.dead:
                    words = f"“{part}” stands among the dead parts of this trip as well; keep one of the two."
                    yield Problem(f"{at}/live/{number}", words)
        if trip.mode is not None and trip.mode not in rig_map.modes:
            yield Problem(f"{at}/mode", f"“{trip.mode}” is not among the modes; mend its name.")


def _loops(rig_map: RigMap) -> Iterator[Problem]:
    kinds = {part.id: part.kind for part in rig_map.parts}
    for mode, without in rig_map.standings.items():
        feeds: dict[str, dict[str, int]] = {}
        for place, run in enumerate(rig_map.runs):
            if (
                place not in without and kinds[run.start] != "inverter"
            ):  # a source of its own goes round in none
                feeds.setdefault(run.end, {}).setdefault(run.start, place)
        done: set[str] = set()
        for part in rig_map.parts:
            round_trip = _walk_up(part.id, feeds, done)
            if round_trip:
                way = " → ".join(f"“{one}”" for one in [*reversed(round_trip), round_trip[-1]])
                steps = zip(round_trip, [*round_trip[1:], round_trip[0]], strict=True)
                place = min(feeds[end][start] for end, start in steps)
                yield Problem(
                    f"/runs/{place}", f"The runs go round in a loop{_in(mode)}: {way}; mend one of them."
                )


def _walk_up(first: str, feeds: Mapping[str, Mapping[str, int]], done: set[str]) -> list[str]:
    """Give a loop that a walk towards the sources runs into, empty where there is none or it is known."""
    way: list[str] = []
    waiting = [iter([first])]
    while waiting:
        part = next(waiting[-1], None)
        if part is None:
            waiting.pop()
            done.update(way[-1:])
            del way[-1:]
        elif part in way:
            done.update(way)
            return way[way.index(part) :]
        elif part not in done:
            way.append(part)
            waiting.append(iter(feeds.get(part, {})))
    return []


def _in(mode: str) -> str:
    return f" in mode “{mode}”" if mode else ""
