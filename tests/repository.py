"""The repository's own files, as the rules of the house look at them."""

import ast
import re
import subprocess
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


@cache
def tracked() -> tuple[Path, ...]:
    """Every file that is, or would be, in the repository."""
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return tuple(path for name in sorted(listed.stdout.splitlines()) if (path := ROOT / name).is_file())


def files(*patterns: str) -> list[Path]:
    return [path for path in tracked() if any(path.relative_to(ROOT).match(pattern) for pattern in patterns)]


def under(folder: str, suffixes: str) -> list[Path]:
    wanted = suffixes.split()
    return [path for path in tracked() if path.is_relative_to(ROOT / folder) and path.suffix in wanted]


def name(path: Path) -> str:
    return str(path.relative_to(ROOT))


def lines_that(pattern: re.Pattern[str], paths: list[Path]) -> list[str]:
    """Give "file:line text" for each line in which the pattern is found."""
    return [
        f"{name(path)}:{number} {line.strip()}"
        for path in paths
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line)
    ]


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    return (node for node in ast.walk(tree(path)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef))


def imported(path: Path) -> set[str]:
    """Give the top names of all that a module imports."""
    found = set[str]()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, node.module.partition(".")[0]}
    return found


class Inline(HTMLParser):
    """Collects what a strict content security policy would refuse."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "style" or "style" in given:
            self.found.append(f"style in <{tag}>")
        if tag == "script" and "src" not in given and given.get("type") != "application/json":
            self.found.append("a <script> without src")
        self.found += [f"{key} in <{tag}>" for key in given if re.fullmatch(r"on[a-z]+", key)]
