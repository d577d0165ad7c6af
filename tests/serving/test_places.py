"""Who gives way to whom, and what an address counts as."""

from dataclasses import dataclass, field

import pytest

from fieldlog.server.places import Places, counted_as, forwarded_for


@dataclass(eq=False)
class Guest:
    """Somebody with a place."""

    name: str
    places: "Places[Guest]"
    waits_since_s: float | None = 0.0
    is_spare: bool = False
    gone: list[str] = field(default_factory=list)

    def give_way(self) -> None:
        """Leave."""
        self.gone.append(self.name)
        self.places.leave(self)


def guests(places: "Places[Guest]", *waiting: float | None, address: str | None = None) -> list[Guest]:
    """Let guests in who have waited since these moments."""
    found = [Guest(str(at), places, since) for at, since in enumerate(waiting)]
    assert all(places.enter(each, address) for each in found)
    return found


def test_who_has_waited_longest_gives_way_to_who_comes() -> None:
    places = Places[Guest](3, 3)
    first, second, third = guests(places, 5.0, 2.0, 9.0)

    assert places.enter(Guest("new", places, 10.0), None)
    assert (first.gone, second.gone, third.gone) == ([], ["1"], [])
    assert len(places) == 3


def test_before_all_others_one_gives_way_with_which_nothing_is_lost() -> None:
    places = Places[Guest](2, 2)
    waiting, spare = guests(places, 1.0, 8.0)
    spare.is_spare = True

    assert places.enter(Guest("new", places, 10.0), None)
    assert (waiting.gone, spare.gone) == ([], ["1"])


def test_where_the_app_works_for_all_there_is_no_place() -> None:
    places = Places[Guest](2, 2)
    working = guests(places, None, None)

    assert not places.enter(Guest("new", places, 10.0), None)
    assert len(places) == 2 and not any(each.gone for each in working)


def test_an_address_pushes_out_only_itself() -> None:
    places = Places[Guest](10, 2)
    (other,) = guests(places, 0.0, address="b")
    first, second = guests(places, 1.0, 2.0, address="a")

    assert places.enter(Guest("new", places, 3.0), "a")
    assert (other.gone, first.gone, second.gone) == ([], ["0"], [])


def test_an_address_for_which_the_app_works_has_no_further_place() -> None:
    places = Places[Guest](10, 2)
    guests(places, None, None, address="a")

    assert not places.enter(Guest("new", places, 3.0), "a")
    assert len(places) == 2
    assert places.enter(Guest("new", places, 3.0), "b")


def test_an_address_learned_later_counts_from_then_on() -> None:
    places = Places[Guest](10, 1)
    (known,) = guests(places, 1.0, address="a")
    (unknown,) = guests(places, 2.0)

    assert places.name(unknown, "a")
    assert known.gone == ["0"]
    assert places.name(unknown, None)
    assert guests(places, 3.0, address="a") and not unknown.gone


@pytest.mark.parametrize(
    ("address", "counted"),
    [
        ("192.168.1.20", "192.168.1.20"),
        ("::ffff:192.168.1.20", "192.168.1.20"),
        ("2001:db8:1:2:3:4:5:6", "2001:0db8:0001:0002::/64"),
        ("2001:db8:1:2::9", "2001:0db8:0001:0002::/64"),
        ("fe80::1%eth0", "fe80:0000:0000:0000::/64"),
        ("no address", "no address"),
    ],
)
def test_a_customer_of_a_network_counts_as_one(address: str, counted: str) -> None:
    assert counted_as(address) == counted


@pytest.mark.parametrize(
    ("values", "hops", "address"),
    [
        (["1.1.1.1"], 1, "1.1.1.1"),
        (["9.9.9.9, 1.1.1.1"], 1, "1.1.1.1"),
        (["9.9.9.9", "2.2.2.2 , 1.1.1.1"], 2, "2.2.2.2"),
        (["1.1.1.1"], 2, None),
        ([], 1, None),
    ],
)
def test_only_what_the_named_proxies_say_of_an_address_counts(
    values: list[str], hops: int, address: str | None
) -> None:
    assert forwarded_for(values, hops) == address
