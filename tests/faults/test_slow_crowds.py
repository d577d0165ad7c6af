"""Five hundred slow connections of each kind: how much longer the others wait meanwhile."""

import json
import time
from collections.abc import Iterator
from statistics import median

import pytest

from fieldlog.clock import new_id
from tests.builders import an_arrival_check
from tests.serving.crowd import BODIES, KINDS, SILENT, WITHOUT_ACCOUNT, Crowd, Slow, spread
from tests.serving.proxied import proxied
from tests.serving.served import UNHURRIED, Served, serving

SLOW = 500
ADDRESSES = 250
REQUESTS = 90
ROUNDS = 3
MOST_TIMES = 1.5
AGAIN_S = 20.0  # who is refused by the head is back after this long

CROWDS = [
    *((kind, ADDRESSES) for kind in KINDS),
    (BODIES, 1),
    (WITHOUT_ACCOUNT, ADDRESSES),
    (SILENT, ADDRESSES),
]


@pytest.fixture(scope="module", params=["http", "https", "proxy"])
def served(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The program as it is shipped, but with no deadline near, so that all are there until the end."""
    data = tmp_path_factory.mktemp("served")
    if request.param == "proxy":
        with proxied(data, UNHURRIED) as through:
            yield through
    else:
        with serving(data, UNHURRIED, is_at_home=request.param == "https") as direct:
            yield direct


def p95_ms(served: Served) -> float:
    """Ask for a page, who is signed in, and to keep a record, each on a connection of its own."""
    took = []
    for number in range(REQUESTS):
        batch = json.dumps({"records": [an_arrival_check(id=new_id())]}).encode()
        began = time.perf_counter()
        if number % 3:
            status, _ = served.ask(("/arrive", "/api/session")[number % 3 - 1])
        else:
            status, _ = served.ask("/api/records", "POST", batch, Content_Type="application/json")
        took.append((time.perf_counter() - began) * 1000)
        assert status == 200
    return sorted(took)[int(len(took) * 0.95)]


@pytest.mark.faults
@pytest.mark.parametrize(("kind", "addresses"), CROWDS, ids=[f"{kind.name}, {n}" for kind, n in CROWDS])
def test_five_hundred_slow_connections_keep_the_others_hardly_longer(
    served: Served, kind: Slow, addresses: int
) -> None:
    p95_ms(served)
    quiet, meanwhile, told = [p95_ms(served)], [], []
    for _ in range(ROUNDS):
        sources = spread(addresses) if addresses > 1 else ("127.0.0.2",)
        held = Crowd(served.port, kind, SLOW, served.host, sources, served.root)
        held.again_s = AGAIN_S if kind is WITHOUT_ACCOUNT else None
        held.is_shaking = kind is not SILENT
        with held:
            meanwhile.append(p95_ms(served))
            told.append(held.open)
        quiet.append(p95_ms(served))
    times = median(meanwhile) / median(quiet)
    print(
        f"{SLOW} x {kind.name} from {addresses} addresses, no seed: p95 {median(quiet):.0f} ms otherwise, "
        f"{median(meanwhile):.0f} ms meanwhile, {times:.2f} times; open at the end {told}, "
        f"{served.resident_mb()} MB; all rounds {[round(each) for each in quiet]}, "
        f"{[round(each) for each in meanwhile]}"
    )

    assert times <= MOST_TIMES
