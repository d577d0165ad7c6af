"""Joins the modules and the sheets of the pages, so that a phone fetches a few files and not a hundred.

static/joined/ holds what comes of it and is committed, so that no Node is needed where the program runs.
Its files go by the names of their sources. What several scripts share, and what a module imports later by
`import(…)`, becomes a file of its own, named by its content; so no module is there twice.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Final

from fieldlog.errors import JoiningFailed

FOLDER: Final = "joined"
# Under static/: what every page loads, and the folder of the scripts for one page more.
FIRST: Final = ("js/main.js", "css/main.css")
PAGES: Final = "js/pages"
PROGRAM: Final = "javascript/joined.mjs"
VERIFIER: Final = "javascript/verifier.mjs"


def join(static: Path, tools: Path) -> None:
    """Write the folder under static/ anew; tools holds the program and the node_modules."""
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / FOLDER
        run = [_node(), str(tools / PROGRAM), str(static), str(made), *_first(static)]
        done = subprocess.run(run, capture_output=True, text=True, check=False)
        if done.returncode or done.stderr:
            raise JoiningFailed(done.stderr.strip())
        shutil.rmtree(static / FOLDER, ignore_errors=True)
        shutil.copytree(made, static / FOLDER)


def one_file(root: Path) -> str:
    """Give the one file that verifies a signed record, made of the sources under a folder."""
    run = [_node(), str(root / "deploy" / VERIFIER), str(root)]
    done = subprocess.run(run, capture_output=True, text=True, check=False, encoding="utf-8")
    if done.returncode or done.stderr:
        raise JoiningFailed(done.stderr.strip())
    return done.stdout


def _first(static: Path) -> list[str]:
    found = (path.relative_to(static).as_posix() for path in (static / PAGES).glob("*.js"))
    return [*FIRST, *sorted(found)]


def _node() -> str:
    """Give the path of Node: the one beside this Python, which the tests bring, or the machine's."""
    beside = str(Path(sys.executable).parent)
    program = shutil.which("node", path=beside) or shutil.which("node")
    if program is None:
        raise JoiningFailed("There is no Node here.")
    return program
