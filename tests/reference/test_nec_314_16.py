"""Box fill.

Source: NEC 314.16(B) and Table 314.16(B)(1). BF1 to BF5 are published worked examples, confirmed on public
pages; BF2b and the sum of BF6 are derived from the clauses; the rule of BF6 (2020) is confirmed. Terminal
blocks (2023) are from memory in part.
"""

from typing import Any

import pytest

from fieldlog.engine.box import box_fill
from fieldlog.tables import load


def wires(*pairs: tuple[int, int]) -> list[dict[str, int]]:
    return [{"awg": awg, "count": count} for awg, count in pairs]


def filled(volume_in3: float, edition: int = 2017, **members: Any) -> dict[str, Any]:
    return box_fill({"edition": edition, "volume_in3": volume_in3, **members}, load())


def parts(found: dict[str, Any]) -> dict[str, float]:
    return {one["what"]: one["in3"] for one in found["parts"]}


DUPLEX_ON_12 = [{"awg": 12, "gangs": 1}]
BF2: dict[str, Any] = {
    "conductors": wires((14, 4), (12, 2)),
    "grounds": wires((14, 2), (12, 1)),
    "clamps": True,
}


def test_bf1_two_cables_of_12_awg_and_a_duplex_fill_18_cubic_inches() -> None:
    """NEC 314.16(B), published example."""
    found = filled(18.0, conductors=wires((12, 4)), grounds=wires((12, 2)), clamps=True, devices=DUPLEX_ON_12)

    assert (found["needed_in3"], found["fits"]) == (18.0, True)
    assert parts(found) == {"wires": 9.0, "clamps": 2.25, "grounds": 2.25, "devices": 4.5}


def test_bf2_three_cables_do_not_fit_a_box_of_21() -> None:
    """NEC 314.16(B), published example."""
    found = filled(21.0, **BF2, devices=DUPLEX_ON_12)

    assert (found["needed_in3"], found["volume_in3"], found["fits"]) == (21.5, 21.0, False)
    assert parts(found) == {"wires": 12.5, "clamps": 2.25, "grounds": 2.25, "devices": 4.5}


def test_bf2b_the_same_with_the_duplex_on_14_awg_alone_fits() -> None:
    """NEC 314.16(B)(4): the largest wire connected to the device counts; derived."""
    found = filled(21.0, **BF2, devices=[{"awg": 14, "gangs": 1}])

    assert (found["needed_in3"], found["fits"]) == (21.0, True)


def test_bf3_a_box_of_a_raceway_with_an_isolated_ground_takes_30() -> None:
    """NEC 314.16(B), published example."""
    found = filled(
        30.3,
        conductors=wires((12, 4), (10, 2), (12, 3)),
        grounds=wires((10, 1)),
        isolated_grounds=wires((12, 1)),
        devices=DUPLEX_ON_12,
    )

    assert (found["needed_in3"], found["fits"]) == (30.0, True)


def test_bf4_nine_wires_of_12_awg_fit_a_square_box() -> None:
    """NEC Table 314.16(A), published count of nine."""
    box = load().entries["metal-box-square-4x1.5"].value

    assert filled(box, conductors=wires((12, 9)))["needed_in3"] == 20.25
    assert filled(box, conductors=wires((12, 9)))["fits"]
    assert not filled(box, conductors=wires((12, 10)))["fits"]


@pytest.mark.parametrize(("further", "fits"), [(8, True), (9, False)])
def test_bf5_eight_more_wires_of_12_awg_fit_and_a_ninth_does_not(further: int, fits: bool) -> None:
    """NEC 314.16(B), published example."""
    found = filled(
        42.0,
        conductors=wires((12, 4 + further)),
        grounds=wires((12, 2)),
        clamps=True,
        devices=DUPLEX_ON_12 * 2,
    )

    assert found["needed_in3"] == 22.5 + further * 2.25
    assert found["fits"] is fits


@pytest.mark.parametrize(("edition", "in3"), [(2014, 2.5), (2017, 2.5), (2020, 3.125), (2023, 3.125)])
def test_bf6_five_grounds_count_a_quarter_more_from_2020_on(edition: int, in3: float) -> None:
    """NEC 314.16(B)(5), 2020; the sum is derived."""
    found = filled(20.0, edition, conductors=[], grounds=wires((10, 1), (12, 4)))

    assert parts(found) == {"grounds": in3}


def test_four_grounds_count_as_one_in_every_edition() -> None:
    """NEC 314.16(B)(5)."""
    in3 = {
        filled(20.0, edition, conductors=[], grounds=wires((12, 4)))["needed_in3"] for edition in (2017, 2020)
    }

    assert in3 == {2.25}


@pytest.mark.parametrize(("edition", "in3"), [(2020, 0.0), (2023, 4.5)])
def test_terminal_blocks_count_from_2023_on(edition: int, in3: float) -> None:
    """NEC 314.16(B)(6), 2023, in part from memory."""
    found = filled(20.0, edition, conductors=[], terminal_blocks=[{"awg": 12}, {"awg": 12}])

    assert found["needed_in3"] == in3
    assert ("from memory" in found["source"]) == (edition == 2023)


def test_clamps_and_studs_take_the_largest_wire_grounds_included() -> None:
    """NEC 314.16(B)(2) and (B)(3)."""
    found = parts(filled(40.0, conductors=wires((14, 2)), grounds=wires((10, 1)), clamps=True, supports=2))

    assert (found["clamps"], found["studs and hickeys"]) == (2.5, 5.0)


def test_a_wide_device_counts_twice_for_each_gang() -> None:
    """NEC 314.16(B)(4)."""
    assert filled(40.0, conductors=[], devices=[{"awg": 10, "gangs": 2}])["needed_in3"] == 10.0


VOLUMES = {18: 1.5, 16: 1.75, 14: 2.0, 12: 2.25, 10: 2.5, 8: 3.0, 6: 5.0}


@pytest.mark.parametrize(("awg", "in3"), VOLUMES.items())
def test_the_rows_of_table_314_16_b_1(awg: int, in3: float) -> None:
    """NEC Table 314.16(B)(1)."""
    assert filled(40.0, conductors=wires((awg, 1)))["needed_in3"] == in3


METAL_BOXES = {
    "device-4x2.125x1.5": 10.3,
    "square-4x2.125": 30.3,
    "round-4x1.5": 15.5,
    "device-3x2x3.5": 18.0,
}


@pytest.mark.parametrize(("box", "in3"), METAL_BOXES.items())
def test_rows_of_table_314_16_a(box: str, in3: float) -> None:
    """NEC Table 314.16(A); a chart in circulation prints 10.5 for the first, which is wrong."""
    assert load().value(f"metal-box-{box}") == in3
