"""A kind of record is its schema, its file and its page: nothing else lists the kinds."""

import ast
import json
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest

import fieldlog.kinds
from fieldlog.book import FOLDER, record_kinds
from fieldlog.kinds import kinds
from tests.node import node_program
from tests.repository import ROOT, under

HERE = Path(__file__).parent
SHARED = {"cord_sets", "__init__", "kind", "forms", "rules", "checks", "telling", "paper"}
MOST_NAMED, MOST_ASKED = 3, 2
"""What one place may know of kinds: two tests and what they follow, or a check and what follows it."""
OF_OTHER_THINGS = {"outlet", "device"}
"""Parts, tests and sorts of step are called so as well."""
PAGES_OF_THE_RIG = {"fieldlog/sync/demo.py", "fieldlog/model/rig.py"}
"""The demo makes records of each kind; a rig is gathered from those that build it and those that test it."""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program with one kind more: a schema and a file are added, and what follows is made."""
    root = tmp_path_factory.mktemp("kind")
    for folder in ("fieldlog", "schemas", "static", "deploy/javascript"):
        shutil.copytree(ROOT / folder, root / folder, ignore=shutil.ignore_patterns("__pycache__"))
    for linked in ("tests", "pyproject.toml", ".biome.jsonc", "deploy/node_modules"):
        (root / linked).symlink_to((ROOT / linked).resolve())
    shutil.copy(HERE / "remark.json", root / "schemas/book/kinds")
    shutil.copy(HERE / "remark.py", root / "fieldlog/kinds")
    subprocess.run([node_program(), str(root / "deploy/javascript/kinds.mjs")], check=True)
    return root


def test_a_kind_needs_its_schema_and_its_file_and_nothing_else(copy: Path) -> None:
    asked = [sys.executable, "-m", "pytest", "-q", "-p", "no:xdist", "tests/kinds/asked_remark.py"]

    done = subprocess.run(asked, cwd=copy, env={"PYTHONPATH": str(copy)}, capture_output=True, text=True)

    assert done.returncode == 0, done.stdout
    assert "3 passed" in done.stdout


def test_each_kind_of_the_book_has_its_file_and_each_file_its_kind() -> None:
    files = {path.stem for path in Path(fieldlog.kinds.__file__).parent.glob("*.py")}

    assert files - SHARED == {kind.id.replace("-", "_") for kind in record_kinds()}
    assert {path.stem for path in FOLDER.glob("*.json")} == set(kinds())


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.json")), ids=lambda path: path.stem)
def test_each_kind_of_the_book_has_a_name_a_source_and_a_date(path: Path) -> None:
    entry = json.loads(path.read_text(encoding="utf-8"))

    assert [key for key in ("name", "source", "known", "valid_from") if not entry.get(key)] == []
    assert entry["id"] == path.stem


def _words(node: ast.AST) -> Iterator[str]:
    """Give the texts that a list, a set or the keys of a dictionary names."""
    members = node.keys if isinstance(node, ast.Dict) else getattr(node, "elts", [])
    yield from (one.value for one in members if isinstance(one, ast.Constant) and isinstance(one.value, str))


def _compared(node: ast.AST) -> Iterator[str]:
    """Give the texts that something is asked to be."""
    if isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        yield from (
            one.value for one in sides if isinstance(one, ast.Constant) and isinstance(one.value, str)
        )
    if isinstance(node, ast.MatchValue) and isinstance(node.value, ast.Constant):
        yield str(node.value.value)


def test_nothing_else_lists_the_kinds_or_asks_one_after_the_other() -> None:
    names = set(kinds()) - OF_OTHER_THINGS
    lists, ladders = [], Counter[str]()
    for path in under("fieldlog", ".py"):
        name = str(path.relative_to(ROOT))
        if name.startswith("fieldlog/kinds/") or name in PAGES_OF_THE_RIG:
            continue
        nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
        lists += [f"{name}:{node.lineno}" for node in nodes if len(names & set(_words(node))) > MOST_NAMED]  # type: ignore[attr-defined]  # a display has a line
        ladders[name] = len(names & set(chain.from_iterable(_compared(node) for node in nodes)))

    assert lists == []
    assert [name for name, count in ladders.items() if count > MOST_ASKED] == []


def test_no_kind_asks_of_which_kind_its_own_record_is() -> None:
    ladder = re.compile(r"\brecord\.kind (?:==|!=|in|not in) [\"'(\[{A-Z]")
    found = [path.name for path in under("fieldlog/kinds", ".py") if ladder.search(path.read_text("utf-8"))]

    assert found == []
