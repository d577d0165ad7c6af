"""How the contacts of an outlet lie, where a picture shows it."""

import re
from typing import Any

import pytest

PIN = re.compile(r'<rect x="(-?\d+)" y="(-?\d+)"[^>]*/><text[^>]*>(\w+)</text>')


@pytest.mark.parametrize("pair", ["h-n", "h-g", "n-g"])
def test_a_5_15_is_drawn_as_it_is_seen_with_the_ground_hole_down(client: Any, pair: str) -> None:
    """Facing it, hot (short slot) is right and neutral (long slot) left: ANSI/NEMA WD 6, from memory."""
    step = client.get("/arrive").text.split(f'data-step="volts.{pair}"', 1)[1]
    picture = step.split('<svg class="contacts"', 1)[1].split("</svg>", 1)[0]
    place = {name: (int(x), int(y)) for x, y, name in PIN.findall(picture)}

    assert place["neutral"][0] < place["ground"][0] < place["hot"][0]
    assert place["ground"][1] > place["hot"][1] == place["neutral"][1]


def test_of_other_outlets_the_picture_says_that_it_shows_roles_and_not_places(client: Any) -> None:
    """W marks neutral, X and Y the hots of a plug: common practice."""
    page = client.get("/arrive").text

    for condition in ("outlet=TT-30", "outlet=14-50"):
        assert re.search(f'class="hint" data-when="{condition}">Drawn by role, not by place', page), condition
