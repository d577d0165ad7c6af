"""What a trace redoes in plain Python is what the engine's arrays gave."""

import random
from collections.abc import Iterator

import pytest

from fieldlog.engine.intake import read_check
from fieldlog.engine.reading_sets import of_set
from fieldlog.engine.trace.way import way_set
from fieldlog.model.check import ReadingSet
from fieldlog.rulebook import load
from tests import simulated

KINDS = ("meter", "low-meter", "meter+earth", "meter+lamps", "meter+load", "lamps", "meter+unplugged")
FAMILIES = {"three-wire": [*simulated.THREE_WIRE], "split-phase": [*simulated.SPLIT_PHASE]}


def simulated_sets(seed: int, family: str) -> Iterator[tuple[str, ReadingSet]]:
    """Read one outlet of a family with each kind of instrument."""
    rng = random.Random(f"{seed} {family}")
    for kind in KINDS:
        site = simulated.drawn_site(rng, rng.choice(FAMILIES[family]), family=family)
        check = read_check(simulated.drawn_check(rng, site, kind), load())
        yield from ((kind, one) for one in check.sets)


@pytest.mark.parametrize("family", FAMILIES)
def test_points_redone_one_by_one_give_the_engine_s_likelihood(family: str) -> None:
    seed = 41
    print(f"seed {seed}")
    entry = load().families[family]
    for kind, one in simulated_sets(seed, family):
        found, bests = of_set(one, entry, load())
        for way, likelihood, best in zip(entry.ways, found, bests, strict=True):
            redone = way_set(way, one, entry, load())
            assert redone.likelihood == pytest.approx(likelihood, rel=1e-12, abs=0.0), (kind, way)
            assert redone.best == pytest.approx(best, rel=1e-12, abs=0.0), (kind, way)
