"""Labels with QR codes: /rigs/<rig id>/labels and the PDF that it asks for."""

import io
import subprocess
import sys
from pathlib import Path
from typing import Any
from urllib.parse import urlencode, urlsplit

import pypdf
import pytest
import zxingcpp
from flask import Flask
from PIL import Image

from fieldlog.store.session import Store
from tests.builders import a_device, a_rig, an_id, an_outlet
from tests.conftest import Person
from tests.web.rigs import Noted, log_of, note_a_rig

DOTS = 200


def address(noted: Noted, **asked: Any) -> str:
    """Give the address of a sheet with one label, on the sheet with eight of them."""
    return f"{noted.page}/labels.pdf?" + urlencode(
        {"sheet": "a4-8", "free": "0", "of": [noted.galley], **asked}, doseq=True
    )


def codes_of(drawn: bytes, folder: Path) -> list[zxingcpp.Barcode]:
    """Read every code off the picture of the first page."""
    (folder / "labels.pdf").write_bytes(drawn)
    command = ["pdftoppm", "-r", str(DOTS), "-l", "1", "-png", "-singlefile", "labels.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True)
    return zxingcpp.read_barcodes(Image.open(folder / "page.png"))


def words_of(drawn: bytes) -> str:
    """Give the text of a PDF."""
    return " ".join(
        " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(drawn)).pages).split()
    )


def test_a_label_read_off_the_page_opens_the_outlet(owner: Person, stranger: Person, tmp_path: Path) -> None:
    noted = note_a_rig(owner)
    answer = owner.client.get(address(noted))
    (code,) = codes_of(answer.data, tmp_path)

    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    assert answer.headers["Content-Disposition"] == 'inline; filename="labels-Wren.pdf"'
    assert code.text == f"http://localhost/outlets/{noted.galley}"
    assert "Galley Scan: its story and test" in words_of(answer.data)
    for person in (owner, stranger):
        opened = person.client.get(urlsplit(code.text).path)
        assert opened.status_code == 200
        assert "Galley" not in opened.text and "Wren" not in opened.text


def test_the_label_of_a_device_opens_its_test_in_the_round(
    owner: Person, stranger: Person, tmp_path: Path
) -> None:
    noted = note_a_rig(owner)
    (code,) = codes_of(owner.client.get(address(noted, of=[noted.device], sheet="letter-30")).data, tmp_path)

    assert code.text == f"http://localhost/round#rig={noted.rig}&device={noted.device}"
    assert stranger.client.get(urlsplit(code.text).path).status_code == 200


def test_the_address_is_the_one_by_which_the_page_was_asked_for(owner: Person, tmp_path: Path) -> None:
    noted = note_a_rig(owner)
    cookie = owner.client.get_cookie("fieldlog")
    assert cookie is not None
    owner.client.set_cookie("__Host-fieldlog", cookie.decoded_value, domain="log.example", secure=True)
    drawn = owner.client.get(address(noted), base_url="https://log.example:8443").data

    assert codes_of(drawn, tmp_path)[0].text == f"https://log.example:8443/outlets/{noted.galley}"


def test_the_page_offers_each_sheet_and_ticks_each_thing_of_the_rig(owner: Person) -> None:
    noted = note_a_rig(owner)
    other = a_rig("Robin")
    owner.send(other, an_outlet(other["id"], "Somewhere else"))

    page = owner.client.get(f"{noted.page}/labels").text

    for identity in (noted.galley, noted.fridge, noted.device):
        assert _is_ticked(page, identity)
    for sheet in ("letter-30", "letter-10", "letter-20", "a4-21", "a4-24", "a4-8"):
        assert f'value="{sheet}"' in page and not _is_ticked(page, sheet)
    assert "Somewhere else" not in page
    assert "Print on plain paper first" in page
    assert "http://localhost/" in page


def test_where_only_this_machine_reaches_the_page_it_says_so_before_anything_is_printed(
    owner: Person,
) -> None:
    path = f"{note_a_rig(owner).page}/labels"
    cookie = owner.client.get_cookie("fieldlog")
    assert cookie is not None
    owner.client.set_cookie("__Host-fieldlog", cookie.decoded_value, domain="log.example", secure=True)

    here, there = owner.client.get(path), owner.client.get(path, base_url="https://log.example")

    assert here.status_code == there.status_code == 200
    assert "Do not print yet" in here.text and "deploy/start --home" in here.text
    assert "Do not print yet" not in there.text and "https://log.example/" in there.text


def test_a_begun_sheet_is_gone_on_with(owner: Person, tmp_path: Path) -> None:
    """By hand from the sheet's sizes: after 7 of 2 x 4 comes the last, from 106.25 and 216.2 mm."""
    (code,) = codes_of(owner.client.get(address(note_a_rig(owner), free="7")).data, tmp_path)

    x, y = code.position.top_left.x * 25.4 / DOTS, code.position.top_left.y * 25.4 / DOTS
    assert 106.25 < x < 106.25 + 99.1 and 216.2 < y < 216.2 + 67.7


def test_only_what_is_ticked_gets_a_label(owner: Person, tmp_path: Path) -> None:
    noted = note_a_rig(owner)
    codes = codes_of(owner.client.get(address(noted, of=[noted.fridge, noted.galley])).data, tmp_path)

    assert {code.text.rsplit("/", 1)[1] for code in codes} == {noted.fridge, noted.galley}


def test_a_rig_without_outlets_says_so_and_offers_no_sheet(owner: Person) -> None:
    rig = a_rig()
    owner.send(rig)

    page = owner.client.get(f"/rigs/{rig['id']}/labels").text

    assert "No outlet or device of this rig is noted yet." in page
    assert 'name="sheet"' not in page


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"sheet": ""}, "Choose the sheet."),
        ({"sheet": "bark"}, "none of the sheets"),
        ({"free": "8"}, "This sheet has 8 labels: write 0 to 7"),
        ({"free": "-1"}, "how many labels are used"),
        ({"free": "two"}, "how many labels are used"),
        ({"free": "1.5"}, "how many labels are used"),
        ({"free": "٣"}, "how many labels are used"),
        ({"free": "9" * 5000}, "how many labels are used"),
        ({"of": []}, "Tick at least one"),
        ({"of": ["nobody"]}, "no outlet or device of this rig"),
        ({"of": [an_id()]}, "no outlet or device of this rig"),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(
    owner: Person, wrong: dict[str, Any], sentence: str
) -> None:
    noted = note_a_rig(owner)
    asked = {"free": "3", "of": [noted.galley], **wrong}

    answer = owner.client.get(address(noted, **asked))

    assert answer.status_code == 400
    assert answer.mimetype == "text/html"
    assert sentence in answer.text
    assert f'value="{asked["free"]}"' in answer.text
    assert _is_ticked(answer.text, noted.galley) == (noted.galley in asked["of"])
    assert not _is_ticked(answer.text, noted.fridge)
    assert _is_ticked(answer.text, "a4-8") == ("sheet" not in wrong)


def test_the_bare_address_of_the_sheet_leads_to_the_page_that_asks(owner: Person) -> None:
    noted = note_a_rig(owner)

    answer = owner.client.get(f"{noted.page}/labels.pdf")

    assert (answer.status_code, answer.location) == (303, f"{noted.page}/labels")


@pytest.mark.parametrize("leaf", ["labels", "labels.pdf"])
def test_only_the_owner_gets_labels_and_only_by_asking(
    owner: Person, colleague: Person, stranger: Person, leaf: str
) -> None:
    noted = note_a_rig(owner)
    path = address(noted).replace("labels.pdf", leaf)

    assert colleague.client.get(path).status_code == 404
    assert stranger.client.get(path).status_code == 303
    assert [owner.client.open(path, method=m).status_code for m in ("POST", "PUT", "DELETE")] == [405] * 3
    assert owner.client.get(path).headers["Cache-Control"] == "no-store"


def test_a_thing_of_another_rig_gets_no_label(owner: Person) -> None:
    noted = note_a_rig(owner)
    other = a_rig("Robin")
    theirs = a_device(other["id"], "In the bath")
    owner.send(other, theirs)

    answer = owner.client.get(address(noted, of=[noted.galley, theirs["id"]]))

    assert answer.status_code == 400
    assert "In the bath" not in answer.text


def test_printing_labels_changes_nothing(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    before = log_of(store, owner)
    owner.client.get(address(noted))

    assert log_of(store, owner) == before


def test_an_address_that_is_not_ours_gets_no_label(owner: Person, app: Flask) -> None:
    noted = note_a_rig(owner)
    app.config["TRUSTED_HOSTS"] = ["localhost"]

    answer = owner.client.get(address(noted), headers={"Host": "elsewhere.example"})

    assert answer.status_code == 400
    assert answer.mimetype != "application/pdf"


def test_hostile_names_do_nothing(owner: Person) -> None:
    name = '<script>alert(1)</script><link rel=attachment href="file:///etc/passwd">'[:80]
    rig = a_rig(name)
    outlet = an_outlet(rig["id"], name)
    owner.send(rig, outlet)
    noted = Noted(rig["id"], "", outlet["id"], "")

    answer = owner.client.get(address(noted))

    assert "<script>alert" not in owner.client.get(f"{noted.page}/labels").text
    assert dict(pypdf.PdfReader(io.BytesIO(answer.data)).attachments) == {}
    assert set(answer.headers["Content-Disposition"]) & set("<>(\r\n") == set()


def test_without_the_drawing_libraries_a_sentence_says_what_is_missing(
    owner: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    noted = note_a_rig(owner)

    class Missing:
        """Stands where the library would be, and fails as it does where the system lacks a part of it."""

        def find_spec(self, name: str, *_: object) -> None:
            if name == "weasyprint":
                raise OSError("cannot load library 'libpango-1.0-0'")

    for known in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, known)
    monkeypatch.delitem(sys.modules, "fieldlog.reports.pdf", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Missing(), *sys.meta_path])
    answer = owner.client.get(address(noted))

    assert answer.status_code == 503
    assert "This machine cannot make a PDF" in answer.text


def _is_ticked(page: str, value: str) -> bool:
    tag = page.split(f'value="{value}"', 1)[0].rsplit("<", 1)[1]
    return "checked" in tag.split()
