"""`fieldlog assess`, `rulebook` and `compile` on the command line."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from fieldlog import rulebook
from fieldlog.cli import main
from fieldlog.model.canonical import canonical, sha256_hex

RIGHT = '{"outlet": "TT-30", "look": [], "volts": {"h-n": 121.3, "h-g": 121.0, "n-g": 0.4}}'
SWAPPED = '{"outlet": "5-15", "look": [], "volts": {"h-n": 120, "h-g": 0.3, "n-g": 120}}'

Run = Callable[..., Result]


@pytest.fixture
def run() -> Run:
    def invoke(*arguments: str, sent: str | bytes = "") -> Result:
        return CliRunner().invoke(main, arguments, input=sent)

    return invoke


def verdicts(result: Result) -> list[str]:
    return [json.loads(line).get("verdict", "error") for line in result.stdout.splitlines()]


def test_each_line_is_answered_by_a_line_in_its_order(run: Run) -> None:
    result = run("assess", "-", sent=f"{RIGHT}\n{SWAPPED}\n")

    assert result.exit_code == 0
    assert verdicts(result) == ["use", "do-not-use"]


def test_an_answer_is_canonical_json(run: Run) -> None:
    line = run("assess", sent=RIGHT).stdout_bytes.rstrip(b"\n")

    assert canonical(json.loads(line)) == line


def test_one_object_over_many_lines_is_one_input(run: Run) -> None:
    result = run("assess", sent=json.dumps(json.loads(RIGHT), indent=2))

    assert verdicts(result) == ["use"]


def test_a_file_is_read_as_well(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "checks.jsonl"
    path.write_text(RIGHT + "\n" + SWAPPED, encoding="utf-8")

    assert verdicts(run("assess", str(path))) == ["use", "do-not-use"]


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ("{", "not JSON"),
        ('{"outlet": "TT-30", "outlet": "5-15", "look": []}', "stands twice"),
        ('{"outlet": "TT-30", "hertz": NaN, "look": []}', "not a JSON number"),
        ('{"outlet": "TT-30", "hertz": 1e999, "look": []}', "too large"),
        ('{"outlet": "TT-30", "volts": {"h-n": "121"}}', "must be a number"),
        ('{"outlet": "TT-30", "watts": 5, "look": []}', "not a field here"),
        ("[]", "must be an object"),
    ],
)
def test_a_bad_line_is_answered_in_its_place_and_the_others_still_are(run: Run, bad: str, words: str) -> None:
    result = run("assess", sent=f"{RIGHT}\n{bad}\n{SWAPPED}\n")

    first, second, third = (json.loads(line) for line in result.stdout.splitlines())
    assert (first["verdict"], third["verdict"]) == ("use", "do-not-use")
    assert second["error"]["line"] == 2
    assert words in second["error"]["problems"][0]["problem"]
    assert result.exit_code == 1


def test_an_empty_input_has_no_answer(run: Run) -> None:
    assert run("assess", sent="\n\n").stdout == ""


def test_the_rulebook_is_printed_with_the_hash_of_all_the_rest(run: Run) -> None:
    printed = json.loads(run("rulebook").stdout)
    body = {key: value for key, value in printed.items() if key != "id"}

    assert printed["id"] == "sha256:" + sha256_hex(body)


def test_a_damaged_rulebook_judges_nothing(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    damaged = tmp_path / "rulebook.json"
    damaged.write_bytes(rulebook.PATH.read_bytes().replace(b'"value":104', b'"value":14'))
    monkeypatch.setattr(rulebook, "PATH", damaged)
    rulebook.load.cache_clear()

    result = run("assess", sent=RIGHT)

    rulebook.load.cache_clear()
    assert result.exit_code != 0
    assert "verdict" not in result.stdout
    assert "No verdict is given" in result.stderr
