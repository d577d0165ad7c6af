"""What holds of the tests themselves."""

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

from tests.conftest import LONGEST
from tests.repository import ROOT, functions, name, tree, under

SHORTEST = 40
SCRIPT = re.compile(r"[={};]")
# Where a sentence of JavaScript stands in an assert, as a text or a pattern.
OF_JAVASCRIPT = re.compile(r"""assert\.\w+\((?:[^;]|;(?!\n))*;\n""")
TEXTS = re.compile(r'"((?:[^"\\\n]|\\.)*)"|/((?:[^/\\\n]|\\.)+)/')


def test_every_test_that_begins_first_is_there() -> None:
    for path, _, begins in (each.partition("::") for each in LONGEST):
        assert any(function.name.startswith(begins) for function in functions(ROOT / path)), begins


def test_no_sentence_is_asserted_in_two_files() -> None:
    """One file asserts the words; another asserts that they are there by the first few, or the element."""
    where = defaultdict[str, set[str]](set)
    for path in under("tests", ".py .js"):
        for text in asserted(path):
            where[text].add(name(path))
    twice = [(one, other) for one in where for other in where if one in other]

    assert len(where) > 100
    assert {
        one: where[one] | where[other] for one, other in twice if len(where[one] | where[other]) > 1
    } == {}


def asserted(path: Path) -> Iterator[str]:
    """Give the sentences, or large parts of one, that a file asserts."""
    texts = of_python(path) if path.suffix == ".py" else of_javascript(path.read_text(encoding="utf-8"))
    for text in texts:
        if len(text) > SHORTEST and text.count(" ") >= 4 and not SCRIPT.search(text):
            yield text.strip()


def of_python(path: Path) -> Iterator[str]:
    for node in ast.walk(tree(path)):
        is_call = isinstance(node, ast.Expr) and isinstance(node.value, ast.Call)
        if isinstance(node, ast.Assert) or is_call:
            for part in ast.walk(node.test if isinstance(node, ast.Assert) else node):
                if isinstance(part, ast.Constant) and isinstance(part.value, str):
                    yield part.value


def of_javascript(source: str) -> Iterator[str]:
    for found in OF_JAVASCRIPT.finditer(source):
        for text, pattern in TEXTS.findall(found[0]):
            yield text or pattern.replace("\\", "")
