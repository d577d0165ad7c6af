"""Which ways of which explanations the readings at hand cannot tell apart.

The same comparisons, in the same order, stand in static/js/engine/twins.js.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from fieldlog.model.check import Check, ReadingSet
from fieldlog.model.rulebook import OutletFamily, Variant, Way

TWINS_BY = "high-impedance"
"""Which meter's classes settle who is a twin of whom, own choice: the less telling one."""


class SetShape(NamedTuple):
    """Which readings a set holds, their values left out: what twins depend on."""

    read: tuple[str, ...]
    lit: tuple[str, ...]
    across: str
    loaded: tuple[str, ...]


def _shape(one: ReadingSet) -> SetShape:
    if one.loaded is None:
        return SetShape(tuple(one.volts), tuple(one.lamps), "", ())
    return SetShape(tuple(one.volts), tuple(one.lamps), one.loaded.across, tuple(one.loaded.volts))


class Twins(NamedTuple):
    """Each way's group of twins, and its share of the priors in it."""

    keys: tuple[str, ...]
    shares: tuple[float, ...]


def twins_of(check: Check, family: OutletFamily) -> Twins:
    """Give each way's group of twins under the readings at hand, and its share of the priors in it."""
    shapes = tuple(_shape(one) for one in check.live_sets)
    return _twins_of(family, check.supply, check.where, tuple(check.continuity), shapes)


@lru_cache(maxsize=512)
def _twins_of(
    family: OutletFamily,
    supply: str,
    where: str,
    continuity: tuple[str, ...],
    shapes: tuple[SetShape, ...],
) -> Twins:
    keys = tuple(_twin_key(way, family, where, continuity, shapes) for way in family.ways)
    priors = [prior_of(way, family, supply) for way in family.ways]
    sums: dict[str, float] = {}
    for key, way, prior in zip(keys, family.ways, priors, strict=True):
        if family.wirings[way.wiring].is_named:
            sums[key] = sums.get(key, 0.0) + prior
    shares = tuple(
        prior / sums[key] if family.wirings[way.wiring].is_named else prior
        for key, way, prior in zip(keys, family.ways, priors, strict=True)
    )
    return Twins(keys, shares)


def prior_of(way: Way, family: OutletFamily, supply: str) -> float:
    """Divide an explanation's prior evenly between its ways."""
    wiring = family.wirings[way.wiring]
    sides = 2.0 if family.mirror else 1.0
    return wiring.prior[supply] / (len(wiring.variants) * sides)


def _twin_key(
    way: Way, family: OutletFamily, where: str, continuity: Sequence[str], shapes: Sequence[SetShape]
) -> str:
    variant = family.wirings[way.wiring].variants[way.variant]
    mirror = family.mirror if way.is_mirrored else dict[str, str]()
    parts = [_set_key(shape, variant, family, mirror) for shape in shapes]
    parts += [variant.continuity[where][pair] for pair in continuity]
    return "|".join(parts)


def _set_key(shape: SetShape, variant: Variant, family: OutletFamily, mirror: Mapping[str, str]) -> str:
    """Give the letters of what was read, each from the pair that it is in the mirror."""
    volts = family.meters[TWINS_BY][variant.sets[TWINS_BY]].classes
    lamps = family.lamps["lamps"][variant.sets["lamps"]].classes
    key = "".join(volts[family.pairs.index(mirror.get(pair, pair))] for pair in shape.read)
    key += "/" + "".join(lamps[family.lamp_pairs.index(mirror.get(pair, pair))] for pair in shape.lit)
    if not shape.across:
        return key
    across = mirror.get(shape.across, shape.across)
    load = family.loads[across][variant.sets[f"load {across}"]]
    loaded = [mirror.get(pair, pair) for pair in shape.loaded if not pair.endswith("-e")]
    letters = "".join(load.classes[family.pairs.index(pair)] for pair in loaded)
    return f"{key}/{letters}"


@lru_cache(maxsize=8)
def bare_pairs(family: OutletFamily) -> tuple[str, ...]:
    """Give the pairs between contacts, those to an earth left out; they come first."""
    return tuple(pair for pair in family.pairs if not pair.endswith("-e"))
