"""The modules that every page needs, named at its head so that they are fetched at once, not one by one."""

import posixpath
import re
from pathlib import Path
from typing import Final

from flask import Flask

FIRST: Final = "main.js"
FROM: Final = re.compile(r'^(?:import|export)\b[^;]*?"(\.[^"]+)";', re.MULTILINE)


def add_modules(app: Flask) -> None:
    """Give the templates the list."""
    app.jinja_env.globals.update(modules=modules(Path(str(app.static_folder)) / "js"))


def modules(folder: Path) -> list[str]:
    """Give the modules that the first one brings in, itself left out, by their paths in the folder."""
    found, waiting = {FIRST}, [FIRST]
    while waiting:
        new = _imported(folder, waiting.pop()) - found
        found |= new
        waiting += sorted(new)
    return sorted(found - {FIRST})


def _imported(folder: Path, module: str) -> set[str]:
    text = (folder / module).read_text(encoding="utf-8")
    return {posixpath.normpath(posixpath.join(posixpath.dirname(module), way)) for way in FROM.findall(text)}
