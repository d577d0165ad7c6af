"""The rig's skin after plugging in, from the cases that feed the phone as well."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog import rulebook
from fieldlog.engine.skin import Skin, skin_level

CASES = json.loads((Path(__file__).parents[1] / "cases" / "skin.json").read_text())["cases"]
NAMES = {"earth_proved": "is_earth_proved", "detected": "is_detected", "tingle": "is_tingle_felt"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_skin_is_judged(case: dict[str, Any]) -> None:
    skin = Skin(**{NAMES.get(name, name): value for name, value in case["skin"].items()})
    level = skin_level(skin, case["supply"], rulebook.load())

    assert (level.level, level.limit_volts, level.words) == (
        case["level"],
        case["limit_volts"],
        case["words"],
    )
    assert level.words in rulebook.load().raw["words"]["skin"]


@pytest.mark.parametrize("supply", ["utility", "generator", "inverter"])
@pytest.mark.parametrize("volts", [5.0, 9.9, 10.0, 118.0])
def test_no_supply_lets_volts_on_the_skin_pass_unread_by_a_low_impedance_meter(
    supply: str, volts: float
) -> None:
    level = skin_level(Skin(volts), supply, rulebook.load()).level

    assert level == ("stop" if volts >= 10 else "limit")
