"""Pictures in the service record, where its owner chose them: on its page and in its PDF."""

import io
from pathlib import Path
from typing import Any

import pikepdf
import pypdf
import pytest
from flask import Flask

from fieldlog.config import Config
from fieldlog.reports.pictures import MOST_PICTURES
from fieldlog.rulebook import load
from fieldlog.store.blobs import Blobs, open_blobs
from fieldlog.store.session import Store
from fieldlog.sync.record_pictures import PRINT_SIDE
from fieldlog.sync.service_record import service_record_pdf
from fieldlog.words.wording import NO_PICTURE_NOTED, NOT_ARRIVED, NOT_READABLE, SIGNED_RECORD_FILE
from tests.builders import NOON, a_change, a_photo, an_arrival_check, an_incident
from tests.conftest import Person
from tests.pictures import GPS_MARK, a_picture, exif, written
from tests.web.rigs import Noted, note_a_rig
from tests.web.test_photos_sending import sent

CAMERA = written(a_picture(1600, 1200), exif=exif(1))
PLACES = (b"Exif", b"GPS", GPS_MARK.encode(), b"Invented")


def keep(person: Person, about: dict[str, Any], content: bytes, what: str, *, sends: bool = True) -> None:
    """Hand in a record, a photo of it, and its bytes."""
    photo = a_photo(about["id"], content, rig=about["rig"], what=what)
    assert {receipt["status"] for receipt in person.send(about, photo)} <= {"stored", "known"}
    assert not sends or sent(person, content).status_code == 200


def noted_with_pictures(person: Person) -> Noted:
    """Hand in a rig with an incident, a change, a check on arrival, and a photo of each."""
    noted = note_a_rig(person)
    change = a_change(noted.rig)
    keep(person, an_incident(noted.rig), CAMERA, "The burned plug")
    keep(person, change, written(a_picture(60, 80)), "Before, with <b>tape</b>")
    keep(person, change, written(a_picture(80, 60)), "After")
    keep(
        person, an_arrival_check(rig=noted.rig, park="Alder Bend"), written(a_picture(40, 40)), "The pedestal"
    )
    return noted


def pdf_of(person: Person, noted: Noted, **chosen: str) -> bytes:
    answer = person.client.get(f"{noted.page}/record.pdf", query_string=chosen)
    assert answer.mimetype == "application/pdf", answer.text
    return bytes(answer.data)


def jpegs(drawn: bytes) -> list[Any]:
    with pikepdf.open(io.BytesIO(drawn)) as pdf:
        return [(image.read_raw_bytes(), int(image.Width)) for image in pdf.objects if is_jpeg(image)]


def is_jpeg(found: Any) -> bool:
    return isinstance(found, pikepdf.Stream) and found.get("/Filter") == "/DCTDecode"


def text_of(drawn: bytes) -> str:
    return " ".join(
        " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(drawn)).pages).split()
    )


def test_a_page_shows_pictures_only_where_they_were_chosen(owner: Person) -> None:
    noted = noted_with_pictures(owner)

    bare = owner.client.get(f"{noted.page}/record").text
    page = owner.client.get(f"{noted.page}/record?pictures=1").text

    assert "<h2>Pictures</h2>" not in bare and "/api/photos/" not in bare
    assert page.count('src="/api/photos/') == 3
    assert page.index('The burned plug" ') < page.index('tape&lt;/b&gt;" ') < page.index(': After" ')
    assert NO_PICTURE_NOTED in page, "none belongs to the rig itself, where its plate would be"
    assert 'name="pictures" value="1" checked' in page and 'value="1" checked' not in bare


def test_what_a_pedestal_looks_like_is_in_no_record_and_that_is_said(owner: Person) -> None:
    noted = noted_with_pictures(owner)

    page = owner.client.get(f"{noted.page}/record?pictures=1").text

    assert 'alt="Photo, arrival check' not in page
    assert "the photos of entries 11, noted with checks on arrival." in page


# The drawing library leaves the file of its colour profile open.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_a_pdf_shows_them_small_told_in_words_and_without_the_place(
    app: Flask, owner: Person, paper: str
) -> None:
    noted = noted_with_pictures(owner)

    drawn = pdf_of(owner, noted, paper=paper, pictures="1")

    assert any(mark in CAMERA for mark in PLACES)
    shown = jpegs(drawn)
    assert sorted(width for _, width in shown) == [60, 80, PRINT_SIDE]
    assert not any(mark in content for content, _ in shown for mark in PLACES)
    with pikepdf.open(io.BytesIO(drawn)) as pdf:
        told = [
            str(each["/Alt"])
            for each in pdf.objects
            if isinstance(each, pikepdf.Dictionary) and "/Alt" in each
        ]
        signed = pdf.attachments[SIGNED_RECORD_FILE].get_file().read_bytes()
    assert sum(each.startswith("Photo, ") for each in told) == 3
    assert b"The burned plug" in signed, "what is shown on paper is shown to machines as well"
    assert "The burned plug" in text_of(drawn)
    assert not jpegs(pdf_of(owner, noted, paper=paper))


def test_a_picture_that_is_lacking_is_said_to_be(app: Flask, owner: Person, config: Config) -> None:
    noted = note_a_rig(owner)
    keep(owner, an_incident(noted.rig), written(a_picture(50, 40)), "Damaged later")
    keep(owner, an_incident(noted.rig), written(a_picture(70, 40)), "Still on the phone", sends=False)
    keep(owner, an_incident(noted.rig), written(a_picture(90, 40)), "Whole")
    damaged = min(Path(config.photos_address).glob("*/*.jpg"), key=lambda path: path.stat().st_mtime_ns)
    damaged.write_bytes(damaged.read_bytes()[:-9])

    page = owner.client.get(f"{noted.page}/record?pictures=1").text
    drawn = pdf_of(owner, noted, pictures="1")

    assert page.count('src="/api/photos/') == 1 and len(jpegs(drawn)) == 1
    for told in (NOT_ARRIVED, NOT_READABLE, "Damaged later", "Still on the phone"):
        assert told in page and told in text_of(drawn)


def test_beyond_the_most_pictures_the_entries_of_the_others_are_told(owner: Person) -> None:
    noted = note_a_rig(owner)
    incident = an_incident(noted.rig)
    for number in range(MOST_PICTURES + 2):
        keep(owner, incident, b"photo %d" % number, f"No {number}.", sends=False)

    page = owner.client.get(f"{noted.page}/record?pictures=1").text

    first = 5 + 1  # four entries of the rig, the incident, and then its photos
    assert page.count('<p class="picture-lacking">') == MOST_PICTURES
    assert f"the photos of entries {first + MOST_PICTURES}, {first + MOST_PICTURES + 1}." in page


def test_the_same_record_is_drawn_with_the_same_bytes(owner: Person, store: Store, config: Config) -> None:
    noted = noted_with_pictures(owner)

    def drawn(blobs: Blobs | None) -> bytes:
        return service_record_pdf(
            store, load(), noted.rig, made_at=NOON, address=lambda *_: "http://log.example", blobs=blobs
        )

    blobs = open_blobs(config.photos_address)
    assert drawn(blobs) == drawn(blobs)
    assert (len(jpegs(drawn(blobs))), len(jpegs(drawn(None)))) == (3, 0)
