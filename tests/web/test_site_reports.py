"""/sites/reports/<check id>.pdf: what was measured, on one page, for the park's office."""

import re
import subprocess
from pathlib import Path

from fieldlog.model.check import MOST_SETS
from fieldlog.reports.site_report import END
from tests.builders import a_full_check, an_arrival_check, an_id, an_outlet_test
from tests.conftest import Person
from tests.repository import ROOT
from tests.web.rigs import note_a_rig


def text_and_pages(drawn: bytes, folder: Path) -> tuple[str, int]:
    """Give what poppler reads of a PDF, and how many pages it counts."""
    path = folder / "report.pdf"
    path.write_bytes(drawn)
    text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True)
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    return text.stdout, int(re.findall(r"Pages:\s+(\d+)", told)[0])


def test_the_fullest_check_is_one_page_of_readings_and_of_nobody(owner: Person, tmp_path: Path) -> None:
    assert owner.account is not None
    check = an_arrival_check(check=a_full_check(), verdict="do-not-use")
    owner.send(check)

    answer = owner.client.get(f"/sites/reports/{check['id']}.pdf")

    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    text, pages = text_and_pages(answer.data, tmp_path)
    assert pages == 1
    for told in ("Alder Bend, site 12", "121.3 V", "116.9 V", "60.0 Hz", "1.0 %"):
        assert told in text, told
    for left_out in (owner.account.name, check["made_by"], check["id"], "Do not use", "wiring"):
        assert left_out not in text, left_out


def test_a_place_without_a_name_and_long_names_stay_on_one_page(owner: Person, tmp_path: Path) -> None:
    bare, long = an_arrival_check(), an_arrival_check(park="W" * 80)
    bare["body"]["place"] = {"park": "", "site": ""}
    owner.send(bare, long)

    for check in (bare, long):
        drawn = owner.client.get(f"/sites/reports/{check['id']}.pdf").data
        assert text_and_pages(drawn, tmp_path)[1] == 1


def test_no_check_that_is_accepted_makes_more_than_a_few_pages(owner: Person, tmp_path: Path) -> None:
    """It is drawn while its reader waits, in a second: what the shape of a record lets in is all there is."""
    full = a_full_check()
    kept = {name: full[name] for name in ("volts", "lamps", "loaded", "meter")}
    more = [{"state": "unplugged", **kept} for _ in range(MOST_SETS)]
    largest = an_arrival_check(
        check={**full, "more": more, "trip": full["trip"][:1] * 4}, park="W" * 120, verdict="do-not-use"
    )
    over = an_arrival_check(check={**full, "more": [*more, more[0]]})

    assert [one["status"] for one in owner.send(largest, over)] == ["stored", "refused"]
    drawn = owner.client.get(f"/sites/reports/{largest['id']}.pdf").data
    assert text_and_pages(drawn, tmp_path)[1] <= 6 and len(drawn) < 100_000
    assert owner.client.get(f"/sites/reports/{over['id']}.pdf").status_code == 404


def test_it_is_for_its_owner_and_for_arrival_checks_alone(
    owner: Person, colleague: Person, stranger: Person
) -> None:
    noted = note_a_rig(owner)
    check, test = an_arrival_check(), an_outlet_test(noted.rig, noted.galley)
    owner.send(check, test)
    path = f"/sites/reports/{check['id']}.pdf"

    assert colleague.client.get(path).status_code == 404
    assert stranger.client.get(path).status_code == 303
    assert owner.client.post(path).status_code == 405
    assert owner.client.get(f"/sites/reports/{test['id']}.pdf").status_code == 404
    assert owner.client.get(f"/sites/reports/{an_id()}.pdf").status_code == 404


def test_the_phone_ends_its_text_with_the_same_words() -> None:
    script = (ROOT / "static/js/sites/report.js").read_text(encoding="utf-8")

    assert all(f'"{sentence}"' in script for sentence in END)
