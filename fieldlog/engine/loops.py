"""Readings round a loop of contacts must close: which do not, and which pair to read again.

The same arithmetic, in the same order, stands in static/js/engine/loops.js.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from fieldlog.engine.earth import is_earth_proved
from fieldlog.engine.limits import OWN_CHOICE, Finding
from fieldlog.engine.reading_sets import of_set
from fieldlog.engine.twins import prior_of
from fieldlog.model.check import Check, Meter, ReadingSet
from fieldlog.model.rulebook import OutletFamily, Rulebook

BOTH_HOTS = "x-y"
EARTH = "e"


@dataclass(frozen=True)
class Doubt:
    """Readings of one set that cannot belong to one outlet.

    Parameters
    ----------
    place : int
        Of the set among the check's.
    quantity : str
        The pair that is most likely wrong.
    value : float
        Its reading [V].
    pairs : tuple of str
        What to read again, the likeliest first.
    loop : tuple of str
        Every pair of the loop that does not close and was not confirmed by a second reading.
    """

    place: int
    quantity: str
    value: float
    pairs: tuple[str, ...]
    loop: tuple[str, ...]


@dataclass(frozen=True)
class CheckAsCounted:
    """A check as it counts, what was replaced in it, and what is in doubt.

    Parameters
    ----------
    check : Check
        With later readings in the place of those that fitted nothing.
    replaced : tuple of (str, float)
        Pairs with their first readings [V].
    doubt : Doubt or None
        The first one that is left.
    """

    check: Check
    replaced: tuple[tuple[str, float], ...] = ()
    doubt: Doubt | None = None


def settled(check: Check, rulebook: Rulebook) -> CheckAsCounted:
    """Find readings that do not add up, and whether a second reading of a pair ends the doubt.

    Parameters
    ----------
    check : Check
        Sets of readings [V]; what was read to an earth that was not proved is left out before.
    rulebook : Rulebook
        Sample points and thresholds.

    Returns
    -------
    CheckAsCounted
        The check itself where everything adds up or a wiring explains it.

    Notes
    -----
    Between three contacts the largest reading is at most the sum of the other two, whatever their phases
    (Kirchhoff's voltage law, and the triangle inequality for magnitudes). It does not close where it is more
    than that by all three errors and 3 V, 6 V between two hots. An open contact may do so lawfully, because a
    meter loads each pair by itself: where any wiring fits the set nothing is said, nor of a low-impedance
    meter's readings beside a high-impedance one's, under which ghosts fall. Most likely wrong is the
    pair without which the rest is most likely, priors counted. A pair that was read again in a later set of
    the same state and kind of meter replaces the first where the loop then closes; where both agree it is
    confirmed and another pair is asked for; with every pair confirmed the doubt ends.

    Examples
    --------
    A decimal point missed at hot to neutral:

    >>> from fieldlog.rulebook import load
    >>> slip = ReadingSet(volts={"h-n": 12.1, "h-g": 121.0, "n-g": 0.4})
    >>> settled(Check("TT-30", sets=(slip,)), load()).doubt.pairs
    ('h-n',)
    >>> again = ReadingSet(volts={"h-n": 121.2})
    >>> found = settled(Check("TT-30", sets=(slip, again)), load())
    >>> found.doubt, found.replaced, found.check.sets[0].volts["h-n"]
    (None, (('h-n', 12.1),), 121.2)

    References
    ----------
    Kirchhoff's voltage law: any textbook on circuits.
    """
    replaced: list[tuple[str, float]] = []
    for place in range(len(check.sets)):
        one = check.sets[place]
        loop = _broken(one, check, rulebook) if _must_close(one, check) else None
        if loop is None:
            continue
        again = _read_again(place, one, check)
        mended = replace(one, volts={pair: again.get(pair, volts) for pair, volts in one.volts.items()})
        if again and _broken(mended, check, rulebook) is None:
            replaced += [(pair, volts) for pair, volts in one.volts.items() if pair in again]
            check = _with(check, place, mended, again)
            continue
        open_pairs = tuple(pair for pair in loop if not _is_confirmed(pair, place, check, rulebook))
        if open_pairs:
            return CheckAsCounted(check, tuple(replaced), _doubt(place, one, open_pairs, check, rulebook))
    return CheckAsCounted(check, tuple(replaced))


def _must_close(one: ReadingSet, check: Check) -> bool:
    """Tell whether a set is of a live outlet, and not taken to see what a low impedance pulls down."""
    if one.state == "breaker-off":
        return False
    is_low = one.meter.input == "low-impedance"
    return not is_low or not any(
        each.volts and each.state == one.state and each.meter.input == "high-impedance" for each in check.sets
    )


def loops_of(family: OutletFamily) -> Iterator[tuple[str, str, str]]:
    """Go through every three contacts, the earth among them, as the three pairs between them.

    Examples
    --------
    >>> from fieldlog.rulebook import load
    >>> next(loops_of(load().families["three-wire"]))
    ('h-n', 'h-g', 'n-g')
    """
    for one, two, three in combinations((*family.contacts, EARTH), 3):
        yield f"{one}-{two}", f"{one}-{three}", f"{two}-{three}"


def misses_by(
    loop: tuple[str, str, str], volts: Mapping[str, float], meter: Meter, rulebook: Rulebook
) -> float:
    """Give how far a loop fails to close beyond errors and margin [V]; 0 or less where it closes."""
    largest, total, errors = 0.0, 0.0, 0.0
    for pair in loop:
        value = volts[pair]
        largest = value if value > largest else largest
        total = total + value
        errors = errors + (value * meter.accuracy_percent / 100.0 + meter.accuracy_volts)
    margin = rulebook.limit("loop-misses-legs" if BOTH_HOTS in loop else "loop-misses")
    return largest - (total - largest) - errors - margin


def closes(loop: tuple[str, str, str], one: ReadingSet, rulebook: Rulebook) -> bool:
    """Tell whether three readings of a set were made and add up."""
    return (
        all(pair in one.volts for pair in loop) and not misses_by(loop, one.volts, one.meter, rulebook) > 0.0
    )


def _broken(one: ReadingSet, check: Check, rulebook: Rulebook) -> tuple[str, str, str] | None:
    """Give the loop that fails most, None where all close or a wiring explains it."""
    family = rulebook.family_of(check.outlet)
    worst: tuple[str, str, str] | None = None
    most = 0.0
    for loop in loops_of(family):
        if any(pair not in one.volts for pair in loop):
            continue
        if loop[2].endswith(f"-{EARTH}") and not is_earth_proved(one, check, rulebook):
            continue
        miss = misses_by(loop, one.volts, one.meter, rulebook)
        if miss > most:
            worst, most = loop, miss
    if worst is None:
        return None
    bests = of_set(_volts_alone(one, one.volts), family, rulebook)[1]
    return None if max(bests) >= rulebook.limit("loop-explained-from") else worst


def _volts_alone(one: ReadingSet, volts: Mapping[str, float]) -> ReadingSet:
    return ReadingSet(one.state, one.meter, volts)


def _read_again(place: int, one: ReadingSet, check: Check) -> dict[str, float]:
    """Give the newest reading of each pair of a set that was read again in a like one [V]."""
    again: dict[str, float] = {}
    for later in check.sets[place + 1 :]:
        if _is_like(one, later):
            again |= {pair: volts for pair, volts in later.volts.items() if pair in one.volts}
    return again


def _with(check: Check, place: int, mended: ReadingSet, again: Mapping[str, float]) -> Check:
    """Put the mended set in its place; what went into it counts no second time."""
    one = check.sets[place]
    sets = [
        replace(each, volts={pair: volts for pair, volts in each.volts.items() if pair not in again})
        if at > place and _is_like(one, each)
        else each
        for at, each in enumerate(check.sets)
    ]
    sets[place] = mended
    return replace(check, sets=tuple(sets))


def _is_confirmed(pair: str, place: int, check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a like set, before or after, has the same reading."""
    one = check.sets[place]
    others = [each for at, each in enumerate(check.sets) if at != place and _is_like(one, each)]
    return any(
        pair in each.volts and _agree(one.volts[pair], each.volts[pair], one, rulebook) for each in others
    )


def _is_like(one: ReadingSet, other: ReadingSet) -> bool:
    return other.state == one.state and other.meter.input == one.meter.input


def _agree(first: float, second: float, one: ReadingSet, rulebook: Rulebook) -> bool:
    apart = first - second if first > second else second - first
    error = (first + second) * one.meter.accuracy_percent / 100.0 + 2.0 * one.meter.accuracy_volts
    return not apart > error + rulebook.limit("loop-misses")


def _doubt(place: int, one: ReadingSet, loop: tuple[str, ...], check: Check, rulebook: Rulebook) -> Doubt:
    family = rulebook.family_of(check.outlet)
    told = [(pair, _rest_without(pair, one, check, family, rulebook)) for pair in loop]
    likeliest, most = told[0]
    for pair, likelihood in told:
        if likelihood > most:
            likeliest, most = pair, likelihood
    least = rulebook.limit("read-again-also") * most
    also = tuple(pair for pair, likelihood in told if likelihood >= least and pair != likeliest)
    return Doubt(place, likeliest, one.volts[likeliest], (likeliest, *also), loop)


def _rest_without(
    pair: str, one: ReadingSet, check: Check, family: OutletFamily, rulebook: Rulebook
) -> float:
    """Give how likely the other readings are, over all wirings with their priors."""
    rest = {other: volts for other, volts in one.volts.items() if other != pair}
    found = of_set(_volts_alone(one, rest), family, rulebook)[0]
    total = 0.0
    for way, likelihood in zip(family.ways, found, strict=True):
        total = total + likelihood * prior_of(way, family, check.supply)
    return total


def without_reading(check: Check, doubt: Doubt, pair: str) -> Check:
    """Give a check without one reading of the set in doubt."""
    sets = list(check.sets)
    one = sets[doubt.place]
    sets[doubt.place] = replace(one, volts={own: volts for own, volts in one.volts.items() if own != pair})
    return replace(check, sets=tuple(sets))


def loop_findings(found: CheckAsCounted) -> list[Finding]:
    """Say what is in doubt, and what was replaced."""
    findings = [
        Finding("reading-replaced", "note", OWN_CHOICE, pair, volts) for pair, volts in found.replaced
    ]
    if found.doubt is not None:
        findings.insert(
            0, Finding("readings-disagree", "note", OWN_CHOICE, found.doubt.quantity, found.doubt.value)
        )
    return findings
