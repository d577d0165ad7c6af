"""static/sw.js: what it lists is what there is, and it stays small."""

import re
from pathlib import Path

from fieldlog import shell
from fieldlog.app import create_app
from fieldlog.config import Config
from fieldlog.web.offline.contents import shell_contents
from fieldlog.web.use_cases import kept_pages
from tests.repository import ROOT


def test_the_worker_lists_what_phones_keep_and_its_version(tmp_path: Path) -> None:
    """Stale? Run .venv/bin/fieldlog shell."""
    app = create_app(Config(data=tmp_path, database_url=f"sqlite:///{tmp_path / 'log.sqlite3'}"))
    contents = shell_contents(app)
    app.extensions["fieldlog"].store.close()
    worker = (ROOT / "static/sw.js").read_text(encoding="utf-8")

    assert worker == shell.with_list(worker, contents, kept_pages())


def test_the_worker_fits_on_two_screens_and_knows_nothing_of_the_trade() -> None:
    before, _, rest = (ROOT / "static/sw.js").read_text(encoding="utf-8").partition(shell.BEGIN)
    code = before + rest.partition(shell.END)[2]

    lines = re.sub(r"^\s*(/\*\*|\*|//).*\n", "", code, flags=re.MULTILINE).splitlines()

    assert 80 < len([line for line in lines if line.strip()]) <= 115
    assert re.findall(r"outlet|check|verdict|reading|volt|rig\b|breaker|rulebook|account", code) == []
