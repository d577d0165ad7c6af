"""How large the house is, by wing: python -m tests.sizes [COMMIT]; without one, as the files stand.

A function is one with a name: a def; in scripts a function, a method or an arrow that a name is given to. A
module is a .py, .js or .mjs file. Written twice are the lines of runs of six or more that stand in the same
order somewhere else in the wing; blank lines, comments, imports and lone brackets do not count. What a
command makes is left out, and shown by itself.
"""

import ast
import io
import re
import subprocess
import sys
import tarfile
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.repository import ROOT

WINGS: Final[Mapping[str, tuple[str, tuple[str, ...]]]] = {
    "Python": ("fieldlog", (".py", ".html", ".css")),
    "JavaScript": ("static/js", (".js",)),
    "tests": ("tests", (".py", ".js", ".mjs")),
    "schemas": ("schemas", (".json",)),
}
RUN: Final = 6
MADE: Final = "not edited by hand"
MADE_FILES: Final = ("schemas/rulebook.json", "schemas/record.schema.json", "fieldlog/web/verify/verify.html")
_FUNCTION: Final = re.compile(
    r"\bfunction\b *\*? *\w|"
    r"^ +(?:(?:async|static|get|set) )*[*#]?(?!(?:if|for|while|switch|catch|return)\b)\w+\([^;]*\) \{$|"
    r"\bconst \w+ = (?:async )?(?:\([^;]*\)|\w+) =>",
    re.MULTILINE,
)
_NOT_COUNTED: Final = re.compile(r'^(?:$|#|//|/?\*|import\b|from\b|""".*|[\])}({\[;,"]+$)')


@dataclass(frozen=True)
class Size:
    """Of one wing."""

    functions: int
    modules: int
    files: int
    lines: int
    twice: int
    made: int


def size_of(folder: Path, endings: Sequence[str]) -> Size:
    """Measure a wing."""
    texts = {
        file: file.read_text(encoding="utf-8")
        for file in sorted(folder.rglob("*"))
        if file.is_file() and file.suffix in endings and "__pycache__" not in file.parts
    }
    made = {file for file, text in texts.items() if is_made(file, text)}
    own = {file: text for file, text in texts.items() if file not in made}
    return Size(
        functions=sum(functions_in(file, text) for file, text in own.items()),
        modules=sum(file.suffix in (".py", ".js", ".mjs") for file in own),
        files=len(own),
        lines=sum(len(text.splitlines()) for text in own.values()),
        twice=lines_twice(text for file, text in own.items() if file.suffix != ".json"),
        made=sum(len(texts[file].splitlines()) for file in made),
    )


def is_made(file: Path, text: str) -> bool:
    """Say whether a command writes a file."""
    return file.as_posix().endswith(MADE_FILES) or MADE in text[:250]


def functions_in(file: Path, text: str) -> int:
    """Count the functions that have a name."""
    if file.suffix == ".py":
        return sum(
            isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) for node in ast.walk(ast.parse(text))
        )
    return len(_FUNCTION.findall(text)) if file.suffix in (".js", ".mjs") else 0


def lines_twice(texts: Iterable[str]) -> int:
    """Count the lines of runs that stand more than once."""
    files = [[line for each in text.splitlines() if counts(line := each.strip())] for text in texts]
    places: dict[tuple[str, ...], list[tuple[int, int]]] = defaultdict(list)
    for number, lines in enumerate(files):
        for start in range(len(lines) - RUN + 1):
            places[tuple(lines[start : start + RUN])].append((number, start))
    doubled = {
        (number, start + step)
        for found in places.values()
        if len(found) > 1
        for number, start in found
        for step in range(RUN)
    }
    return len(doubled)


def counts(line: str) -> bool:
    """Say whether a line is one of code."""
    return _NOT_COUNTED.match(line) is None


@contextmanager
def tree_of(commit: str | None) -> Iterator[Path]:
    """Give the files of a commit, or as they stand."""
    if commit is None:
        yield ROOT
        return
    packed = subprocess.run(["git", "archive", commit], cwd=ROOT, capture_output=True, check=True).stdout
    with tempfile.TemporaryDirectory() as folder, tarfile.open(fileobj=io.BytesIO(packed)) as tar:
        tar.extractall(folder, filter="data")
        yield Path(folder)


def main(commit: str | None) -> None:
    """Print the table."""
    print("| wing | functions | modules | files | lines | written twice | made |")
    print("|---|---|---|---|---|---|---|")
    with tree_of(commit) as root:
        for wing, (folder, endings) in WINGS.items():
            size = size_of(root / folder, endings)
            figures = (size.functions, size.modules, size.files, size.lines, size.twice, size.made)
            print(f"| {wing} | {' | '.join(f'{figure:,}' for figure in figures)} |")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else None)
