"""`fieldlog protect` and `fieldlog box` on the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from fieldlog import tables
from fieldlog.cli import main
from fieldlog.model.canonical import canonical

MAP: dict[str, Any] = {
    "parts": [{"id": "inlet", "kind": "inlet"}, {"id": "g1", "kind": "gfci-receptacle"}],
    "runs": [{"from": "inlet", "to": "g1"}],
}
BOX: dict[str, Any] = {"edition": 2023, "volume_in3": 10.3, "conductors": [{"awg": 14, "count": 4}]}

Run = Callable[..., Result]


@pytest.fixture
def run() -> Run:
    def invoke(*arguments: str, sent: str = "") -> Result:
        return CliRunner().invoke(main, arguments, input=sent)

    return invoke


def test_a_map_is_answered_by_one_line_of_canonical_json(run: Run) -> None:
    result = run("protect", "-", sent=json.dumps(MAP, indent=2))

    (line,) = result.stdout_bytes.splitlines()
    assert result.exit_code == 0
    assert json.loads(line)["protected_by"] == {"g1": ["g1"]}
    assert canonical(json.loads(line)) == line


def test_a_box_keeps_its_volume_unrounded(run: Run) -> None:
    answer = json.loads(run("box", sent=json.dumps(BOX)).stdout)

    assert (answer["needed_in3"], answer["volume_in3"], answer["fits"]) == (8, 10.3, True)


@pytest.mark.parametrize(("command", "good"), [("protect", MAP), ("box", BOX)])
@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ("{", "not JSON"),
        ("[]", "must be an object"),
        ('{"edition": NaN}', "not a JSON number"),
        ('{"parts": [], "parts": []}', "stands twice"),
        ('{"rooms": 3}', "not a field here"),
        ('{"parts": [{"id": "\\ud800", "kind": "inlet"}]}', "not whole Unicode"),
    ],
)
def test_a_bad_line_is_answered_in_its_place(
    run: Run, command: str, good: dict[str, Any], bad: str, words: str
) -> None:
    line = json.dumps(good)

    result = run(command, sent=f"{line}\n{bad}\n{line}\n")

    first, second, third = (json.loads(one) for one in result.stdout.splitlines())
    assert first == third
    assert "error" not in first
    assert second["error"]["line"] == 2
    assert words in second["error"]["problems"][0]["problem"]
    assert result.exit_code == 1


def test_a_problem_of_a_map_names_part_and_member(run: Run) -> None:
    sent = json.dumps(MAP | {"runs": [{"from": "inlet", "to": "g7"}]})

    (problem,) = json.loads(run("protect", sent=sent).stdout)["error"]["problems"]

    assert problem["at"] == "/runs/0/to"
    assert "“g7”" in problem["problem"]


@pytest.mark.parametrize("command", ["protect", "box"])
@pytest.mark.parametrize("spoilt", ["", "{}", '{"entries": [{"id": "x"}]}'])
def test_damaged_tables_judge_nothing(
    run: Run, command: str, spoilt: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in tables.FILES:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(spoilt, encoding="utf-8")
    monkeypatch.setattr(tables, "SCHEMAS", tmp_path)
    tables.load.cache_clear()

    result = run(command, sent=json.dumps(MAP if command == "protect" else BOX))

    tables.load.cache_clear()
    assert result.exit_code != 0
    assert result.stdout == ""
    assert "Nothing is judged" in result.stderr


def test_a_table_without_an_entry_gives_an_error_and_no_answer(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in tables.FILES:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text('{"entries": []}', encoding="utf-8")
    monkeypatch.setattr(tables, "SCHEMAS", tmp_path)
    tables.load.cache_clear()

    result = run("box", sent=json.dumps(BOX))

    tables.load.cache_clear()
    assert result.exit_code == 1
    assert "error" in json.loads(result.stdout)
