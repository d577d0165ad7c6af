"""Which hole is which, where a page shows an outlet to somebody with a meter in the hand."""

import re
from typing import Any

import pytest


@pytest.mark.parametrize("pair", ["h-n", "h-g", "n-g", "x-y", "x-n", "y-n", "x-g", "y-g"])
def test_every_screen_of_a_reading_has_a_place_for_the_face_with_its_two_contacts(
    client: Any, pair: str
) -> None:
    """Script draws the faces from where the contacts lie (ANSI/NEMA WD 6): tests/js/faces.test.js."""
    step = client.get("/arrive").text.split(f'data-step="volts.{pair}"', 1)[1].split("</form>", 1)[0]

    assert re.findall(r'data-facing="([^"]+)"', step) == [pair]


def test_the_plain_form_says_in_words_which_hole_is_which(client: Any) -> None:
    """Facing it: common practice, as of a 5-15 with the ground hole down and a TT-30 with it up."""
    page = client.get("/arrive/plain").text

    assert "ground hole down, hot is right and neutral left" in page
    assert "ground hole up, hot is lower left and neutral lower right" in page
    assert "neutral lies opposite the ground hole, the two hots left and right" in page
