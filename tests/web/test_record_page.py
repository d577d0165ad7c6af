"""The service record of a rig, as a page and as a PDF."""

import io
import re
import subprocess
from pathlib import Path

import pikepdf
import pypdf
import pytest
import zxingcpp
from flask import Flask
from PIL import Image

from fieldlog.bundle.integrity import fingerprint
from fieldlog.bundle.verifying import verified
from fieldlog.model.origin import Origin
from fieldlog.store.origins import add_origin
from fieldlog.store.session import Store
from tests.builders import NOON, a_full_check, a_trip_test, an_arrival_check, an_id, an_outlet_test
from tests.conftest import Person
from tests.web.rigs import note_a_rig


def test_the_page_says_what_was_tested_and_what_was_not(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(an_outlet_test(noted.rig, noted.galley), a_trip_test(noted.rig, noted.device))

    page = owner.client.get(f"{noted.page}/record").text

    assert "Entered by the owner. Not an inspection." in page
    assert "“Behind the fridge” was never tested." in page
    assert "next due 2026-12-25" in page


def test_a_correction_is_shown_with_its_reason_and_what_it_changed(owner: Person) -> None:
    noted = note_a_rig(owner)
    path = f"{noted.page}/outlets/{noted.galley}/guards/new"
    owner.submit(path, id=an_id(), guard="", reason="It stayed live.")

    page = owner.client.get(f"{noted.page}/record").text

    assert "It stayed live." in page
    assert "Guarded by, as noted: “GFCI in the galley” → not noted" in page


def test_the_record_says_where_nobody_camped(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(an_arrival_check(rig=noted.rig, park="Alder Bend"))

    page = owner.client.get(f"{noted.page}/record").text

    assert "1 noted with this rig." in page
    assert "Alder Bend" not in page


def test_a_difference_noticed_by_the_server_is_shown(owner: Person) -> None:
    noted = note_a_rig(owner)
    check = an_outlet_test(noted.rig, noted.galley)
    check["body"]["judgement"]["verdict"] = "do-not-use"
    owner.send(check)

    page = owner.client.get(f"{noted.page}/record").text
    assert "The phone said “Do not use”; judged here it is “Use”." in page


def test_all_readings_of_a_test_and_their_ohms_stand_in_the_record(owner: Person) -> None:
    """Ohm's law by hand: (121.3 - 116.9) V / 12.0 A in the loop, (2.2 - 0.4) V / 12.0 A in the neutral."""
    noted = note_a_rig(owner)
    owner.send(an_outlet_test(noted.rig, noted.galley, a_full_check(where="rig")))

    page = owner.client.get(f"{noted.page}/record").text
    drawn = pypdf.PdfReader(io.BytesIO(owner.client.get(f"{noted.page}/record.pdf").data))

    for text in (page, " ".join(" ".join(leaf.extract_text() for leaf in drawn.pages).split())):
        for said in (
            "Load across hot–neutral: 12.0 A",
            "Hot–earth: 121.2 V",
            "There and back, hot–neutral: 0.37 Ω",
        ):
            assert said in text
        assert "Of it the neutral: 0.15 Ω" in text


def test_the_pdf_is_sent_as_one(owner: Person) -> None:
    noted = note_a_rig(owner)

    answer = owner.client.get(f"{noted.page}/record.pdf")

    assert answer.status_code == 200
    assert answer.mimetype == "application/pdf"
    assert answer.headers["Content-Disposition"] == 'inline; filename="service-record-Wren.pdf"'
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(answer.data)).pages)
    assert "Entered by the owner. Not an inspection." in text


def test_the_same_record_at_the_same_time_is_the_same_pdf(owner: Person) -> None:
    path = f"{note_a_rig(owner).page}/record.pdf"

    assert owner.client.get(path).data == owner.client.get(path).data


def test_the_pdf_carries_the_signed_record_and_says_so(owner: Person) -> None:
    """Read by pikepdf, which knows nothing of ours, and by poppler's pdftotext."""
    noted = note_a_rig(owner)
    owner.send(an_arrival_check(rig=noted.rig, park="Owners Rest"))
    content = owner.client.get(f"{noted.page}/record.pdf").data
    with pikepdf.open(io.BytesIO(content)) as found:
        carried = found.attachments["signed-record.json"].get_file().read_bytes()
        problems, variant = found.check_pdf_syntax(), found.open_metadata().pdfa_status
        marked = bool(found.Root.MarkInfo.Marked)
    held = verified(carried)
    text = subprocess.run(
        ["pdftotext", "-", "-"], input=content, capture_output=True, check=True
    ).stdout.decode()

    assert (problems, variant, marked) == ([], "3U", True)
    assert held.subject["rig"] == {"id": noted.rig, "name": "Wren"}
    assert [entry["kind"] for entry in held.subject["outlined"]] == ["arrival-check"]
    assert "Owners Rest" not in text and "Owners Rest" not in carried.decode()
    assert "This file carries the signed record" in text and "certified" not in text.lower()


def test_the_code_leads_to_what_the_owner_shares(owner: Person, tmp_path: Path) -> None:
    noted = note_a_rig(owner)
    (tmp_path / "record.pdf").write_bytes(owner.client.get(f"{noted.page}/record.pdf").data)
    command = ["pdftoppm", "-r", "150", "-l", "1", "-png", "-singlefile", "record.pdf", "page"]
    subprocess.run(command, cwd=tmp_path, check=True)

    codes = zxingcpp.read_barcodes(Image.open(tmp_path / "page.png"))

    (address,) = re.findall(
        r">(http://localhost/shared#[^<]{43})<", owner.client.get(f"{noted.page}/record").text
    )
    assert [code.text for code in codes] == [address]
    assert owner.client.get(codes[0].text.removeprefix("http://localhost")).status_code == 200


def test_a_paper_that_is_not_made_is_a_problem(owner: Person) -> None:
    answer = owner.client.get(f"{note_a_rig(owner).page}/record.pdf?paper=bark")

    assert answer.status_code == 400
    assert "There is no paper “bark” here; ask for letter or A4." in answer.text


@pytest.mark.parametrize("leaf", ["record", "record.pdf"])
def test_only_the_owner_gets_the_record(
    owner: Person, colleague: Person, stranger: Person, leaf: str
) -> None:
    path = f"{note_a_rig(owner).page}/{leaf}"

    assert colleague.client.get(path).status_code == 404
    assert stranger.client.get(path).status_code == 303
    assert owner.client.post(path).status_code == 405
    assert owner.client.get(path).headers["Cache-Control"] == "no-store"


def test_an_address_that_is_not_ours_gets_no_record(owner: Person, app: Flask) -> None:
    noted = note_a_rig(owner)
    app.config["TRUSTED_HOSTS"] = ["localhost"]

    answer = owner.client.get(f"{noted.page}/record.pdf", headers={"Host": "elsewhere.example"})

    assert answer.status_code == 400
    assert answer.mimetype != "application/pdf"


def test_hostile_names_do_nothing_on_the_page(owner: Person) -> None:
    noted = note_a_rig(owner)
    name = '<script>alert(1)</script><link rel=attachment href="file:///etc/passwd">'
    owner.submit(f"{noted.page}/outlets/new", id=an_id(), name=name, outlet="5-15", guard="", note=name)

    page = owner.client.get(f"{noted.page}/record").text
    drawn = pypdf.PdfReader(io.BytesIO(owner.client.get(f"{noted.page}/record.pdf").data))

    assert "<script>alert" not in page
    assert 'rel=attachment href="' not in page
    assert set(drawn.attachments) == {"signed-record.json"}


def test_where_a_log_was_taken_over_from_stands_in_its_record(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    assert owner.account is not None
    key = "did:key:z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
    with store.writing() as tx:
        add_origin(tx, owner.account.id, noted.rig, Origin(NOON, NOON, key, 3, "ab" * 32))

    page = owner.client.get(f"{noted.page}/record").text

    assert "On 2026-11-25 entries 1 to 3 were taken over, with their hashes" in page
    assert f"whose key {fingerprint(key)} signed them on 2026-11-25" in page
