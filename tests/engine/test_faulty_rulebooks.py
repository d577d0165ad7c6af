"""Planted exceptions and damaged rulebooks: nothing that breaks on the way ever gives a verdict of use."""

import importlib
import inspect
import json
import pkgutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from types import FrameType, ModuleType
from typing import Any

import pytest
from click.testing import CliRunner

import fieldlog.engine
from fieldlog import rulebook
from fieldlog.cli import main
from fieldlog.engine import assess
from fieldlog.errors import RulebookDamaged
from tests.engine.test_rulebook import RAW, named_anew
from tests.node import ROOT, node_program

RIGHT: dict[str, Any] = {
    "outlet": "TT-30",
    "look": [],
    "hertz": 60.0,
    "breaker_amps": 30,
    "near": {"g": False},
    "volts": {"h-n": 121.3, "h-g": 121.0, "n-g": 0.4},
    "lamps": {"h-n": "lit", "h-g": "lit", "n-g": "dark"},
    "loaded": {"amps": 12.0, "volts": {"h-n": 118.9, "h-g": 120.1, "n-g": 1.5}},
    "trip": [{"by": "external", "tripped": True, "face_dead": True, "milliseconds": 20, "milliamps": 20}],
}
RIGHT_14_50: dict[str, Any] = {
    "outlet": "14-50",
    "look": [],
    "meter": {"input": "low-impedance"},
    "volts": {"x-y": 241.0, "x-n": 120.6, "y-n": 120.4, "x-g": 120.5, "y-g": 120.3, "n-g": 0.2},
    "more": [
        {"lamps": {"x-n": "lit", "x-g": "lit", "n-g": "dark"}},
        {"state": "unplugged", "volts": {"x-n": 120.5}},
    ],
    "continuity": {"g-frame": "closed"},
}
CHECKS = [RIGHT, RIGHT_14_50]


def test_the_checks_of_this_file_are_used_by_the_whole_rulebook() -> None:
    assert [assess(check, rulebook.load())["verdict"] for check in CHECKS] == ["use", "use"]


# Mistakes of ours


class Planted(Exception):
    """A mistake planted in one function."""


def engine_modules() -> list[ModuleType]:
    """Load every module of the engine."""
    path, prefix = fieldlog.engine.__path__, "fieldlog.engine."
    return [importlib.import_module(found.name) for found in pkgutil.walk_packages(path, prefix)]


def public_functions() -> dict[str, Callable[..., Any]]:
    """Give the public functions of the engine by their full names."""
    return {
        f"{module.__name__}.{name}": function
        for module in engine_modules()
        for name, function in vars(module).items()
        if inspect.isfunction(function)
        and function.__module__ == module.__name__
        and not name.startswith("_")
    }


@cache
def called() -> dict[str, int]:
    """Give the public functions that judging a check calls, each with the place of such a check."""
    codes = {function.__code__: name for name, function in public_functions().items()}
    found: dict[str, int] = {}

    for place, check in enumerate(CHECKS):

        def watch(frame: FrameType, event: str, _: Any, place: int = place) -> None:
            if event == "call" and frame.f_code in codes:
                found.setdefault(codes[frame.f_code], place)

        book = rulebook.read(rulebook.PATH)  # a fresh one, so that nothing is kept from before
        sys.setprofile(watch)
        try:
            assess(check, book)
        finally:
            sys.setprofile(None)
    return found


def plant(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Let a function raise wherever a module of the package holds it."""
    function = public_functions()[name]

    def raising(*_: Any, **__: Any) -> Any:
        raise Planted(name)

    held = [
        (module, own)
        for known, module in list(sys.modules.items())
        if known.startswith("fieldlog")
        for own, value in list(vars(module).items())
        if value is function
    ]
    for module, own in held:
        monkeypatch.setattr(module, own, raising)


def is_kept_of_a_book(name: str) -> bool:
    """Tell whether a function may not be called again for a rulebook that was asked before."""
    return "_of" in name


def test_judging_calls_functions_of_most_modules_of_the_engine() -> None:
    modules = {name.split(".")[2] for name in called()}

    assert len(called()) >= 30
    assert modules >= {
        "assess",
        "bands",
        "evidence",
        "explanations",
        "intake",
        "kernel",
        "likelihood",
        "limits",
    }
    assert modules >= {"next_test", "points", "reading_sets", "supply", "trip", "twins", "load_readings"}


@pytest.mark.parametrize("name", sorted(called()))
def test_a_mistake_in_any_function_on_the_way_gives_no_verdict(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    check, book = CHECKS[called()[name]], rulebook.load()
    plant(monkeypatch, name)

    with pytest.raises(Planted):
        fieldlog.engine.assess(check, rulebook.read(rulebook.PATH) if is_kept_of_a_book(name) else book)


@pytest.mark.parametrize("name", sorted(called()))
def test_the_command_answers_such_a_mistake_in_its_place_and_fails(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent = json.dumps(CHECKS[called()[name]])
    if is_kept_of_a_book(name):
        rulebook.load.cache_clear()
    plant(monkeypatch, name)

    result = CliRunner().invoke(main, ["assess", "-"], input=sent + "\n" + "{}")

    first, second = (json.loads(line) for line in result.stdout.splitlines())
    assert result.exit_code == 1
    assert first["error"]["line"] == 1
    assert "No verdict is given" in first["error"]["problems"][0]["problem"]
    assert second["error"]["line"] == 2
    assert name in result.stderr


# Damaged rulebooks

Damage = dict[str, Any]
FOR_PEOPLE_ALONE = {"source", "title", "note"}
"""What no judgement reads."""


def _taken_out(path: Sequence[str | int]) -> Iterator[Damage]:
    part: Any = RAW
    for step in path:
        part = part[step]
    for name in part:
        if name not in FOR_PEOPLE_ALONE:
            yield {"path": [*path, name], "named": True}


def limits_taken_out() -> Iterator[Damage]:
    """Take out each limit; the id fits. In Python test_rulebook does so."""
    yield from _taken_out(["limits"])


def members_taken_out() -> Iterator[Damage]:
    """Take out each member of a family and of one of each of its parts; the id fits."""
    for family, entry in RAW["families"].items():
        own = ["families", family]
        yield from _taken_out(own)
        yield from _taken_out([*own, "wirings", 0])
        yield from _taken_out([*own, "wirings", 0, "sets", 0])
        yield from _taken_out([*own, "meters"])
        yield from _taken_out([*own, "meters", "high-impedance", 0])
        yield from _taken_out([*own, "lamps"])
        yield from _taken_out([*own, "lamps", "lamps", 0])
        yield from _taken_out([*own, "loads"])
        yield from _taken_out([*own, "loads", entry["acrosses"][0], 0])
        yield from _taken_out([*own, "tests", 0])


def numbers_changed() -> Iterator[Damage]:
    """Make numbers negative or huge, and swap what may be used; the id no longer fits."""
    for family in RAW["families"]:
        own = ["families", family]
        for to in (-1, 1e300):
            yield {"path": [*own, "wirings", 0, "prior", "utility"], "to": to}
            yield {"path": [*own, "meters", "high-impedance", 0, "spreads", 0], "to": to}
            yield {"path": [*own, "meters", "high-impedance", 0, "columns", 0, 0], "to": to}
        yield {"path": [*own, "wirings", 3, "usable"], "to": {"utility": "always"}}
        yield {"path": [*own, "wirings", 3, "is_dangerous"], "to": False}
    for place, limit in enumerate(RAW["limits"]):
        yield {"path": ["limits", limit, "value"], "to": (-1, 1e300)[place % 2]}
    yield {"path": ["misread", "dark", 0], "to": -1}
    yield {"path": ["signs", 0, 1], "to": "note"}


def damaged(part: Any, path: Sequence[str | int], damage: Damage) -> Any:
    """Copy a part along a path, with the member at its end changed or taken out."""
    step, *rest = path
    copy: Any = list(part) if isinstance(part, list) else dict(part)
    if rest:
        copy[step] = damaged(part[step], rest, damage)
    elif "to" in damage:
        copy[step] = damage["to"]
    else:
        del copy[step]
    return copy


def verdicts_of_python(damage: Damage) -> list[str]:
    raw = damaged(RAW, damage["path"], damage)
    try:
        book = rulebook.checked(named_anew(raw) if damage.get("named") else raw)
        return [assess(check, book)["verdict"] for check in CHECKS]
    except RulebookDamaged:
        return ["none", "none"]


def verdicts_of_node(damages: Sequence[Damage]) -> list[list[str]]:
    done = subprocess.run(
        [node_program(), str(ROOT / "tests/js/damaged.mjs")],
        input=json.dumps({"checks": CHECKS, "damages": damages}),
        capture_output=True,
        text=True,
        check=True,
    )
    return [json.loads(line) for line in done.stdout.splitlines()]


def told(damage: Mapping[str, Any]) -> str:
    changed = f" made {damage['to']}" if "to" in damage else " taken out"
    return "/".join(map(str, damage["path"])) + changed


@pytest.mark.parametrize("damage", [*members_taken_out(), *numbers_changed()], ids=told)
def test_a_damaged_rulebook_is_refused_in_python(damage: Damage) -> None:
    assert verdicts_of_python(damage) == ["none", "none"]


def test_a_damaged_rulebook_never_gives_a_use_in_javascript() -> None:
    damages = [*limits_taken_out(), *members_taken_out(), *numbers_changed()]

    verdicts = verdicts_of_node([{"path": ["words"], "to": RAW["words"]}, *damages])

    assert verdicts[0] == ["use", "use", "use"], "the whole rulebook, to show that the rest can fail"
    given = {
        told(damage): found
        for damage, found in zip(damages, verdicts[1:], strict=True)
        if any(not each.startswith("none") for each in found)
    }
    assert given == {}


@pytest.mark.parametrize("word", ["NaN", "Infinity", "1e999", "null", '"104"'])
def test_what_is_no_number_in_place_of_one_judges_nothing(
    word: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = rulebook.PATH.read_text(encoding="utf-8")
    (tmp_path / "rulebook.json").write_text(text.replace('"value":104', f'"value":{word}'), encoding="utf-8")
    monkeypatch.setattr(rulebook, "PATH", tmp_path / "rulebook.json")
    rulebook.load.cache_clear()

    result = CliRunner().invoke(main, ["assess", "-"], input=json.dumps(RIGHT))

    rulebook.load.cache_clear()
    assert f'"value":{word}' in (tmp_path / "rulebook.json").read_text(encoding="utf-8")
    assert result.exit_code == 1
    assert result.stdout == ""


@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 0.75, 0.999999])
def test_a_file_cut_short_anywhere_is_refused(share: float, tmp_path: Path) -> None:
    whole = rulebook.PATH.read_bytes().rstrip()
    (tmp_path / "rulebook.json").write_bytes(whole[: int(len(whole) * share)])

    with pytest.raises(RulebookDamaged):
        rulebook.read(tmp_path / "rulebook.json")
