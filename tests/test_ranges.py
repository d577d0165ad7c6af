"""What a number may be stands once, in the book: looked for in scripts, modules, kinds and templates."""

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldlog.model.spans import SPANS
from tests.repository import ROOT

MADE = "not edited by hand"
BOUNDS = {(span.unit, span.most) for span in SPANS.values() if span.most > 1}
BOUNDED = ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum")


def written_by_hand(folder: str, pattern: str) -> list[Path]:
    """Files of a folder that no command makes."""
    files = [file for file in sorted((ROOT / folder).rglob(pattern)) if "joined" not in file.parts]
    return [file for file in files if MADE not in file.read_text(encoding="utf-8")[:200]]


def constants(node: ast.AST) -> set[object]:
    """What stands in a call or a list by itself, numbers and texts."""
    return {child.value for child in ast.iter_child_nodes(node) if isinstance(child, ast.Constant)}


def bounds_in_python(text: str) -> Iterator[str]:
    """Calls and lists that hold a unit and what a number of that unit may be at most."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call | ast.Tuple | ast.List):
            beside = constants(node)
            if any(unit in beside and most in beside for unit, most in BOUNDS):
                yield ast.unparse(node)


def bounds_in_script(text: str) -> list[str]:
    """Objects that hold a unit and a most in figures."""
    return [
        found for found in re.findall(r"\{[^{}]*\}", text) if re.search(r"\bunit:[^}]*\bmost: *[0-9]", found)
    ]


def bounds_in_kind(value: object) -> Iterator[str]:
    """Members that bound a number of the book; whole numbers count things and are no quantities."""
    if isinstance(value, dict):
        if "number" in [
            *[value.get("type")],
            *(value["type"] if isinstance(value.get("type"), list) else ()),
        ]:
            yield from (name for name in BOUNDED if name in value)
        for inner in value.values():
            yield from bounds_in_kind(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from bounds_in_kind(inner)


def test_no_module_has_a_range_of_its_own() -> None:
    found = {
        f"{file.relative_to(ROOT)}: {one}"
        for file in written_by_hand("fieldlog", "*.py")
        for one in bounds_in_python(file.read_text(encoding="utf-8"))
    }
    assert found == set()


def test_no_script_has_a_range_of_its_own() -> None:
    scripts = written_by_hand("static/js", "*.js")
    found = {
        str(file.relative_to(ROOT)): bounds_in_script(file.read_text(encoding="utf-8")) for file in scripts
    }
    assert {file: ones for file, ones in found.items() if ones} == {}


def test_no_kind_has_a_range_of_its_own() -> None:
    kinds = sorted((ROOT / "schemas/book/kinds").glob("*.json"))
    found = {file.name: [*bounds_in_kind(json.loads(file.read_text(encoding="utf-8")))] for file in kinds}
    assert {file: ones for file, ones in found.items() if ones} == {}


def test_no_template_bounds_what_is_typed() -> None:
    pages = written_by_hand("fieldlog/web", "*.html")
    numbers = re.compile(r"<input[^>]*\b(min|max|step|data-most|data-least)=\"?[0-9]")
    assert [file.name for file in pages if numbers.search(file.read_text(encoding="utf-8"))] == []


@pytest.mark.parametrize(
    ("text", "count"),
    [('SPAN = ("V", 0, 600)', 1), ('fields.number(plan, "volts", 300, "V")', 1), ('put("V", 12)', 0)],
)
def test_a_range_in_a_module_is_seen(text: str, count: int) -> None:
    assert len([*bounds_in_python(text)]) == count


def test_a_range_in_a_script_or_a_kind_is_seen() -> None:
    assert bounds_in_script('const VOLTS = { unit: "V", least: 0, most: 600 };')
    assert [*bounds_in_kind({"properties": {"feet": {"type": ["number", "null"], "maximum": 1000}}})] == [
        "maximum"
    ]


def test_each_range_of_the_book_is_used() -> None:
    """By an id in a module or a kind, or by a field of the book that people type into."""
    book = json.loads((ROOT / "schemas/book/ranges.json").read_text(encoding="utf-8"))
    fields = json.dumps(book["fields"])
    texts = [file.read_text(encoding="utf-8") for file in written_by_hand("fieldlog", "*.py")]
    texts += [file.read_text(encoding="utf-8") for file in (ROOT / "schemas/book/kinds").glob("*.json")]
    unused = [
        entry["id"]
        for entry in book["entries"]
        if f'"of": "{entry["id"]}"' not in fields and not any(f'"{entry["id"]}"' in text for text in texts)
    ]
    assert unused == []
