"""The engine as a library: a plain script judges with it, and nothing of the web comes along."""

import doctest
import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from fieldlog.engine import (
    assess,
    circuit,
    instruments,
    kernel,
    likelihood,
    load_readings,
    supply,
    trip,
    world,
)
from tests.repository import ROOT

SCRIPT = """
import json
import sys

from fieldlog.engine import assess
from fieldlog.rulebook import load

check = {"outlet": "TT-30", "look": [], "volts": {"h-n": 121.3, "h-g": 121.0, "n-g": 0.4}}
answer = assess(check, load())
print(json.dumps([answer["verdict"], answer["faults"][0]["id"], sorted(sys.modules)]))
"""
ELSEWHERE = {"flask", "werkzeug", "sqlalchemy", "alembic", "click", "gunicorn", "weasyprint", "pysqlite3"}
ORDER = ["Parameters", "Returns", "Raises", "Notes", "Examples", "References"]


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> list[object]:
    """What the script prints, run in a folder of its own."""
    path = tmp_path_factory.mktemp("script") / "judge.py"
    path.write_text(SCRIPT, encoding="utf-8")
    done = subprocess.run([sys.executable, path], cwd=path.parent, capture_output=True, text=True, check=True)
    found: list[object] = json.loads(done.stdout)
    return found


def test_a_plain_script_judges_an_outlet(printed: list[object]) -> None:
    assert printed[:2] == ["use", "correct"]


def test_judging_loads_no_web_database_or_command_line(printed: list[object]) -> None:
    loaded = printed[2]
    assert isinstance(loaded, list)

    assert {name.partition(".")[0] for name in loaded} & ELSEWHERE == set()
    assert {"fieldlog.config", "fieldlog.clock", "fieldlog.web"} & set(loaded) == set()


def test_the_example_of_the_engine_s_page_runs() -> None:
    page = (ROOT / "fieldlog/engine/README.md").read_text(encoding="utf-8")
    lines = [
        line.removeprefix("    ") for line in page.splitlines() if re.match(r"    (from|answer)\b", line)
    ]
    names: dict[str, object] = {}

    exec("\n".join(lines), names)

    assert lines[0] == "from fieldlog.engine import assess"
    assert isinstance(names["answer"], dict)
    assert names["answer"]["verdict"] == "use"


def test_judging_is_documented_in_every_section_of_the_template() -> None:
    text = assess.__doc__ or ""
    sections = re.findall(r"^ {4}(\w+)\n {4}-{3,}$", text, flags=re.MULTILINE)

    assert sections == ORDER
    assert re.search(r"\[V\b", text)


@pytest.mark.parametrize(
    "function",
    [
        assess,
        circuit.node_volts,
        circuit.capacitor,
        instruments.readings_at,
        instruments.lamp_volts,
        kernel.reading_error,
        kernel.change_error,
        likelihood.volts_likelihoods,
        likelihood.fall,
        supply.supply_of,
        trip.is_quick_enough,
        load_readings.each_way,
        world.unit_sequence,
        world.between_by_ratio,
    ],
    ids=lambda function: function.__name__,
)
def test_a_law_has_an_example_that_can_be_redone_by_hand(function: object) -> None:
    """The examples themselves run as doctests, by the test below."""
    found = doctest.DocTestFinder(recurse=False).find(function, module=False)

    assert any(test.examples for test in found)


def test_the_examples_of_engine_and_model_run_with_the_tests() -> None:
    table = tomllib.loads(Path(ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["pytest"]
    step = re.search(
        r"^step_tests\(\) \{\n.*\n *tests_of (.*)\|\|",
        (ROOT / "deploy/check").read_text(),
        flags=re.MULTILINE,
    )

    assert "--doctest-modules" in table["ini_options"]["addopts"]
    assert {"fieldlog/engine", "fieldlog/model"} <= set(table["ini_options"]["testpaths"])
    assert step is not None
    # Without a folder of its own, the step runs every folder of testpaths.
    assert re.findall(r"(?<![=/\w])(?:tests|fieldlog)/", step[1]) == []
