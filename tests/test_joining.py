"""static/joined/: what every page needs, joined into few files that are committed."""

import shutil
from pathlib import Path

import pytest

from fieldlog.errors import JoiningFailed
from fieldlog.joining import join
from fieldlog.web.layout.modules import loads
from tests.repository import ROOT

TOOLS = ROOT / "deploy"


def contents(folder: Path) -> dict[str, bytes]:
    files = [path for path in folder.rglob("*") if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


@pytest.fixture
def static(tmp_path: Path) -> Path:
    """A copy of static/."""
    return Path(shutil.copytree(ROOT / "static", tmp_path / "static"))


def test_the_joined_files_are_those_of_their_sources(static: Path) -> None:
    """Stale? Run .venv/bin/fieldlog shell."""
    join(static, TOOLS)

    assert contents(static / "joined") == contents(ROOT / "static/joined")


def test_what_is_imported_later_becomes_a_file_of_its_own_named_by_its_content(static: Path) -> None:
    main = static / "js/main.js"
    main.write_text(main.read_text() + "globalThis.later = () => import('./later.js');\n")
    names = []
    for text in ("one", "two"):
        (static / "js/later.js").write_text(f"export const text = 'said {text}';\n")
        join(static, TOOLS)
        shared = (static / "joined/js").glob("*.js")
        (name,) = (path.name for path in shared if f"said {text}" in path.read_text())
        names.append(name)
        assert name in (static / "joined/js/main.js").read_text()

    assert names[0] != names[1]


def test_the_script_of_one_page_shares_its_modules_with_the_first(static: Path) -> None:
    (static / "js/pages/some.js").write_text(
        "import { get } from '../outbox/db.js';\nget('kept', 'account');\n"
    )
    join(static, TOOLS)
    alone = (static / "joined/js/pages/some.js").read_text()
    found = loads(static)

    assert "indexedDB" not in alone
    assert [name for name in found.modules if "indexedDB.open" in (static / name).read_text()]
    assert found.script == "joined/js/main.js"


def test_a_module_that_cannot_be_read_stops_the_joining_and_leaves_what_was_joined(static: Path) -> None:
    before = contents(static / "joined")
    (static / "js/main.js").write_text("import './nowhere.js';\n")

    with pytest.raises(JoiningFailed, match=r"nowhere\.js"):
        join(static, TOOLS)
    assert contents(static / "joined") == before


def test_without_its_tools_the_error_says_what_brings_it(static: Path, tmp_path: Path) -> None:
    with pytest.raises(JoiningFailed, match="deploy/check"):
        join(static, tmp_path)
