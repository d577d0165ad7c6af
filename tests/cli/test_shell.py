"""fieldlog shell."""

from click.testing import CliRunner

from fieldlog.cli import main
from fieldlog.config import ROOT


def test_a_list_of_what_phones_keep_that_is_out_of_date_is_written_again() -> None:
    path = ROOT / "static" / "sw.js"
    before = path.read_text(encoding="utf-8")
    try:
        path.write_text(
            before.replace('"/static/joined/js/main.js"', '"/static/joined/gone.js"'), encoding="utf-8"
        )
        answer = CliRunner().invoke(main, ["shell"])
        after = path.read_text(encoding="utf-8")
    finally:
        path.write_text(before, encoding="utf-8")

    assert answer.exit_code == 0, answer.output
    assert "pages and files, version" in answer.output
    assert '"/static/joined/js/main.js"' in after and "gone.js" not in after
