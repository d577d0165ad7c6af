"""The rulebook: compiled from tables, named by its hash, refused when it is not whole."""

import gzip
import json
import re
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from fieldlog import rulebook
from fieldlog.errors import RulebookDamaged
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.check import SIGNS
from tests.repository import under

RAW: dict[str, Any] = json.loads(rulebook.PATH.read_text(encoding="utf-8"))


def named_anew(raw: dict[str, Any]) -> dict[str, Any]:
    body = {key: value for key, value in raw.items() if key != "id"}
    return {"id": "sha256:" + sha256_hex(body), **body}


def test_compiling_again_gives_the_same_bytes() -> None:
    assert rulebook.compiled_bytes() == rulebook.PATH.read_bytes()


def test_it_is_small_enough_for_a_phone() -> None:
    assert len(gzip.compress(rulebook.PATH.read_bytes(), mtime=0)) <= 90_000


@pytest.mark.parametrize("limit", sorted(RAW["limits"]))
def test_without_a_limit_nothing_is_judged(limit: str) -> None:
    limits = {name: entry for name, entry in RAW["limits"].items() if name != limit}

    with pytest.raises(RulebookDamaged, match="limits are missing"):
        rulebook.checked(named_anew(RAW | {"limits": limits}))


def _without_wirings(raw: dict[str, Any]) -> None:
    del raw["families"]["three-wire"]["wirings"]


def _with_a_point_too_many(raw: dict[str, Any]) -> None:
    raw["families"]["three-wire"]["meters"]["high-impedance"][1]["columns"][0].append(0)


def _of_another_format(raw: dict[str, Any]) -> None:
    raw["format"] = 3


def _without_a_family(raw: dict[str, Any]) -> None:
    del raw["families"]["split-phase"]


def _without_misreadings(raw: dict[str, Any]) -> None:
    del raw["misread"]["dim"]


@pytest.mark.parametrize(
    "damage",
    [
        _without_wirings,
        _with_a_point_too_many,
        _of_another_format,
        _without_a_family,
        _without_misreadings,
    ],
)
def test_a_rulebook_that_is_not_whole_is_refused(damage: Callable[[dict[str, Any]], None]) -> None:
    damaged = deepcopy(RAW)
    damage(damaged)

    with pytest.raises(RulebookDamaged):
        rulebook.checked(named_anew(damaged))


def test_a_changed_number_is_refused() -> None:
    damaged = deepcopy(RAW)
    damaged["limits"]["high-stop"]["value"] = 232

    with pytest.raises(RulebookDamaged, match="does not match its id"):
        rulebook.checked(damaged)


def test_a_file_cut_short_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "rulebook.json"
    path.write_bytes(rulebook.PATH.read_bytes()[:-100])

    with pytest.raises(RulebookDamaged, match="cannot be read"):
        rulebook.read(path)


@pytest.mark.parametrize("family", ["three-wire", "split-phase"])
@pytest.mark.parametrize("supply", ["utility", "generator", "inverter"])
def test_the_priors_are_those_of_the_plausible_world(family: str, supply: str) -> None:
    prior = {wiring["id"]: wiring["prior"][supply] for wiring in RAW["families"][family]["wirings"]}
    hidden = ("neutral-ground-reversed", "neutral-ground-bonded", "reversed-with-bonded-ground")

    assert sum(prior.values()) == pytest.approx(1.0, abs=0.06)
    if supply == "utility":
        assert prior["correct"] >= 0.9
        assert sum(prior.get(name, 0.0) for name in hidden) <= 0.004 * prior["correct"]
        assert prior["floating-supply"] <= 0.0001
    else:
        assert min(prior["correct"], prior["floating-supply"]) >= 0.4
        assert prior["open-ground"] + prior.get("open-ground-and-reversed", 0.0) <= 0.001


def test_every_named_wiring_has_its_words() -> None:
    families = RAW["families"].values()
    named = {one["id"] for family in families for one in family["wirings"] if one["is_named"]} | {"other"}

    assert named == set(RAW["words"]["explanations"])
    for words in RAW["words"]["explanations"].values():
        assert all(words[part] for part in ("name", "sentence", "people", "appliances", "do_now"))


def test_every_test_and_sign_has_its_words() -> None:
    tests = {test["id"] for family in RAW["families"].values() for test in family["tests"]}
    signs = [sign for sign, _ in RAW["signs"]]

    assert tests == set(RAW["words"]["tests"])
    assert signs == list(SIGNS)
    assert set(SIGNS) == set(RAW["words"]["look"])
    assert set(SIGNS) <= set(RAW["words"]["findings"])
    assert {level for _, level in RAW["signs"]} == {"stop", "limit"}


@pytest.mark.parametrize(("folder", "suffix"), [("fieldlog/engine", ".py"), ("static/js/engine", ".js")])
def test_each_limit_that_is_read_is_one_of_the_tables_and_each_of_them_is_read(
    folder: str, suffix: str
) -> None:
    files = [path for path in under(folder, suffix) if path.name != "needed.js"]
    code = "\n".join(path.read_text(encoding="utf-8") for path in files)
    read = set(re.findall(r'\blimits\["([a-z0-9-]+)"\]', code))
    read -= {"low", "high", "above"}  # of what is typed, which is held to limits as well
    # The three levels of a drop are read by their names put together.
    put_together = {name for name in RAW["limits"] if name.startswith("loop-drop-")}

    assert len(read) > 20
    assert read <= set(RAW["limits"])
    assert [name for name in set(RAW["limits"]) - put_together if f'"{name}"' not in code] == []
