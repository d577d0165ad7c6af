"""What holds of the tests themselves."""

import ast
import re
from collections import Counter, defaultdict
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


def test_every_account_of_the_shared_site_is_made_once() -> None:
    """Two tests with one name fail each other when one worker runs both."""
    names = Counter(account for path in (ROOT / "tests/browser").glob("*.py") for account in accounts(path))

    assert len(names) > 20
    assert {account: count for account, count in names.items() if count > 1} == {}


def accounts(path: Path) -> Iterator[str]:
    """Give the names that stand beside the site in a call, or are given to its way to make an account."""
    for call in (node for node in ast.walk(tree(path)) if isinstance(node, ast.Call)):
        makes = isinstance(call.func, ast.Attribute) and ast.unparse(call.func) == "site.account"
        if makes or any(ast.unparse(given) == "site" for given in call.args):
            texts = (given.value for given in call.args if isinstance(given, ast.Constant))
            yield from (text for text in texts if isinstance(text, str) and text.istitle())


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
