"""What every page loads: the joined script and sheet or, where none were joined, all of their sources."""

import posixpath
import re
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple

from flask import Flask
from markupsafe import Markup

JOINED: Final = "joined"
PRELOAD: Final = Markup('<link rel="modulepreload" href="/static/{}">')
RUN: Final = Markup('<script type="module" src="/static/{}"></script>')
# What a module needs before it runs; what it imports later stands in brackets.
NEEDED: Final = re.compile(r"""\b(?:from|import)\s*"(\.[^"]+\.js)"\s*(?:;|$)""", re.MULTILINE)
SHEETS: Final = re.compile(r"""^@import "\./([^"]+)";""", re.MULTILINE)


class Loads(NamedTuple):
    """Names under static/ of what a page loads."""

    script: str
    modules: tuple[str, ...]
    sheets: tuple[str, ...]


def add_loads(app: Flask) -> None:
    """Give it to the templates, and the way to the script of one page."""
    static = Path(str(app.static_folder))
    found = loads(static)
    page_script = cache(lambda name: _page_script(static, name, set(found.modules)))
    app.jinja_env.globals.update(loads=found, page_script=page_script)


def loads(static: Path) -> Loads:
    """Say what pages load; the modules are fetched at once, not one after the other."""
    script = _script(static, "main.js")
    sheets = [f"{JOINED}/css/main.css"] if script.startswith(JOINED) else _sheets(static)
    return Loads(script, tuple(modules(static, script)), tuple(sheets))


def _page_script(static: Path, name: str, are_there: set[str]) -> Markup:
    """Give the tags of the script of one page, and of what it needs besides the modules of every page."""
    script = _script(static, name)
    needed = [PRELOAD.format(module) for module in modules(static, script) if module not in are_there]
    return Markup("\n  ").join([*needed, RUN.format(script)])


def _script(static: Path, name: str) -> str:
    """Give the name under static/ of a script of static/js/."""
    return f"{JOINED}/js/{name}" if (static / JOINED).is_dir() else f"js/{name}"


def modules(static: Path, first: str) -> list[str]:
    """Give the modules that the first one brings in, itself left out."""
    found, waiting = {first}, [first]
    while waiting:
        new = _needed(static, waiting.pop()) - found
        found |= new
        waiting += sorted(new)
    return sorted(found - {first})


def _needed(static: Path, module: str) -> set[str]:
    text = (static / module).read_text(encoding="utf-8")
    return {
        posixpath.normpath(posixpath.join(posixpath.dirname(module), way)) for way in NEEDED.findall(text)
    }


def _sheets(static: Path) -> list[str]:
    text = (static / "css/main.css").read_text(encoding="utf-8")
    return [f"css/{name}" for name in SHEETS.findall(text)]
