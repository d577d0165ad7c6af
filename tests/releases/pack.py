"""Packs what this tree serves to phones, as a release that later ones are tried against.

.venv/bin/python -m tests.releases.pack, at each release; it goes by the version of what phones keep.
"""

import json
import tempfile
import zipfile
from pathlib import Path
from typing import Final, NamedTuple

from flask import Flask

from fieldlog.app import create_app
from fieldlog.config import ROOT, Config
from fieldlog.web.offline.contents import shell_contents

FOLDER: Final = ROOT / "tests/releases"
WORKER: Final = "/sw.js"
TYPES: Final = "types.json"
# So that the same contents give the same file.
BEGINNING: Final = (1980, 1, 1, 0, 0, 0)


class Kept(NamedTuple):
    """One answer of a release."""

    content: bytes
    mimetype: str


def pack() -> Path:
    """Write the release of this tree and give its place."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Config(data=Path(folder), database_url=f"sqlite:///{folder}/fieldlog.sqlite3"))
        answers = {address: _answer(app, address) for address in [WORKER, *sorted(shell_contents(app))]}
        app.extensions["fieldlog"].store.close()
    version = answers[WORKER].content.decode().split('const VERSION = "', 1)[1].split('"', 1)[0]
    path = FOLDER / f"{version}.zip"
    _write(path, answers)
    return path


def unpack(path: Path) -> dict[str, Kept]:
    """Give what a release answered, by address."""
    with zipfile.ZipFile(path) as packed:
        types = json.loads(packed.read(TYPES))
        return {address: Kept(packed.read(_name(address)), types[address]) for address in types}


def releases() -> list[Path]:
    """Name the releases that were packed."""
    return sorted(FOLDER.glob("*.zip"))


def _write(path: Path, answers: dict[str, Kept]) -> None:
    types = {address: kept.mimetype for address, kept in answers.items()}
    contents = {_name(address): kept.content for address, kept in answers.items()}
    contents[TYPES] = json.dumps(types, indent=1).encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed:
        for name, content in contents.items():
            packed.writestr(zipfile.ZipInfo(name, BEGINNING), content, zipfile.ZIP_DEFLATED, 9)


def _name(address: str) -> str:
    return f"answers{address}" if address != "/" else "answers/home"


def _answer(app: Flask, address: str) -> Kept:
    with app.test_client().get(address) as answer:
        return Kept(answer.data, str(answer.mimetype))


if __name__ == "__main__":
    made = pack()
    print(f"{made}: {made.stat().st_size} bytes")
