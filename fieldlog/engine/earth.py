"""What readings to an earth are worth: they count once that earth was shown to carry what it must.

The same comparisons, in the same order, stand in static/js/engine/earth.js.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from fieldlog.engine.limits import OWN_CHOICE, Finding
from fieldlog.model.check import Check, ReadingSet
from fieldlog.model.rulebook import Rulebook

HOTS = ("h", "x", "y")
BOTH_HOTS, GROUND_TO_EARTH = "x-y", "g-e"
LOW_IMPEDANCE = "low-impedance"


def is_to_earth(pair: str) -> bool:
    """Tell whether a pair is a contact and an earth outside the outlet."""
    return pair.endswith("-e")


def is_earth_proved(one: ReadingSet, check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a set's own readings show that its earth carries what it must.

    Parameters
    ----------
    one : ReadingSet
        With readings between contacts and to the earth [V].
    check : Check
        For its supply: at a generator or inverter no earth can be proved.
    rulebook : Rulebook
        Thresholds.

    Returns
    -------
    bool
        False where nothing shows it.

    Notes
    -----
    Two contacts that lie 90 V or more apart show a supply. The earth is proved when some contact reads at
    least 0.9 of that supply's full volts against it; or when hot to earth and ground to earth make at least
    0.9 of hot to ground, so that the earth lies between the two. Between two hots half their volts count.

    Examples
    --------
    A clip on paint reads nothing anywhere; the same clip on a pipe reads the hot contact:

    >>> from fieldlog.rulebook import load
    >>> bare = {"h-n": 121.0, "h-g": 121.0, "n-g": 0.2}
    >>> clip, pipe = (ReadingSet(volts=bare | more) for more in ({"g-e": 0.0}, {"h-e": 119.0, "g-e": 1.0}))
    >>> [is_earth_proved(one, Check("TT-30"), load()) for one in (clip, pipe)]
    [False, True]
    """
    if check.supply != "utility":
        return False
    read = all_read(one)
    full = full_volts(read)
    if not full >= rulebook.limit("contacts-apart"):
        return False
    share = rulebook.limit("earth-proved-share")
    if any(is_to_earth(pair) and volts >= share * full for pair, volts in read.items()):
        return True
    return any(_lies_between(hot, read, share, rulebook.limit("contacts-apart")) for hot in HOTS)


def all_read(one: ReadingSet) -> dict[str, float]:
    """Give a set's readings [V]; what was read to an earth under load alone stands beside them."""
    read = dict(one.volts)
    if one.loaded is not None:
        for pair, volts in one.loaded.volts.items():
            if is_to_earth(pair) and pair not in read:
                read[pair] = volts
    return read


def full_volts(read: Mapping[str, float]) -> float:
    """Give the most volts between two contacts, half of them between two hots; 0 where none was read."""
    full = 0.0
    for pair, volts in read.items():
        own = volts / 2.0 if pair == BOTH_HOTS else volts
        if not is_to_earth(pair) and own > full:
            full = own
    return full


def _lies_between(hot: str, read: Mapping[str, float], share: float, apart: float) -> bool:
    to_earth, to_ground = f"{hot}-e", f"{hot}-g"
    if any(pair not in read for pair in (to_earth, to_ground, GROUND_TO_EARTH)):
        return False
    ground = read[to_ground]
    return ground >= apart and read[to_earth] + read[GROUND_TO_EARTH] >= share * ground


def counting(check: Check, rulebook: Rulebook) -> Check:
    """Leave out what was read to an earth and says nothing.

    Clean readings to one that was not proved; at a generator or inverter all, since nothing joins soil to it.
    """
    sets = tuple(replace(one, volts=_counting_volts(one, check, rulebook)) for one in check.sets)
    return replace(check, sets=sets)


def _counting_volts(one: ReadingSet, check: Check, rulebook: Rulebook) -> dict[str, float]:
    if not any(is_to_earth(pair) for pair in one.volts):
        return dict(one.volts)
    clean, is_proved = rulebook.limit("earth-clean-below"), is_earth_proved(one, check, rulebook)
    is_believed = check.supply == "utility"
    return {
        pair: volts
        for pair, volts in one.volts.items()
        if not is_to_earth(pair) or is_proved or (is_believed and volts >= clean)
    }


def is_ground_clean(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a proved earth reads the outlet's ground clean."""
    limit = rulebook.limit("ground-lifted-limit")
    return any(
        is_earth_proved(one, check, rulebook) and all_read(one).get(GROUND_TO_EARTH, limit) < limit
        for one in check.live_sets
    )


def earth_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Give what the readings to an earth say of that earth, and of the outlet's ground."""
    return [*_about_earth(check, rulebook), *_ground_lifted(check, rulebook)]


def _about_earth(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    clean, contacts = rulebook.limit("earth-clean-below"), rulebook.family_of(check.outlet).contacts
    for one in check.live_sets:
        read = {pair: volts for pair, volts in all_read(one).items() if is_to_earth(pair)}
        if is_earth_proved(one, check, rulebook) or not any(volts < clean for volts in read.values()):
            continue
        has_all = all(f"{contact}-e" in read for contact in contacts)
        is_dead = has_all and all(volts < clean for volts in read.values())
        yield Finding("earth-dead" if is_dead else "earth-not-proved", "note", OWN_CHOICE)
        return


def _ground_lifted(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    """Judge the ground against the soil; where the source may float only a low-impedance meter can."""
    drained = [one for one in check.live_sets if one.meter.input == LOW_IMPEDANCE]
    may_float = check.supply != "utility"
    sets = [one for one in drained if GROUND_TO_EARTH in all_read(one)] if may_float else check.live_sets
    most = _most(sets)
    if most is not None:
        for level in ("stop", "limit"):
            border = rulebook.limits[f"ground-lifted-{level}"]
            if most >= border.value:
                source = border.source
                yield Finding("ground-lifted", level, source, GROUND_TO_EARTH, most, None, border.value)
                return
    elif may_float:
        border, ghost = rulebook.limits["ground-lifted-stop"], _most(check.live_sets)
        if ghost is not None and ghost >= border.value:
            yield Finding("ground-lifted", "note", border.source, GROUND_TO_EARTH, ghost, None, border.value)


def _most(sets: tuple[ReadingSet, ...] | list[ReadingSet]) -> float | None:
    most: float | None = None
    for one in sets:
        own = [read[GROUND_TO_EARTH] for read in _reads(one) if GROUND_TO_EARTH in read]
        for volts in own:
            if most is None or volts > most:
                most = volts
    return most


def _reads(one: ReadingSet) -> tuple[Mapping[str, float], ...]:
    return (one.volts,) if one.loaded is None else (one.volts, one.loaded.volts)
