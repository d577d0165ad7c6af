"""Each kind of PDF that is made, as pikepdf and poppler read it, which know nothing of ours."""

import io
import subprocess
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import pikepdf
import pytest

from fieldlog.model.record import Record
from fieldlog.reports.labels import render_labels as labels_of
from fieldlog.reports.map_tree import BARE, TreePart
from fieldlog.reports.render import render_pdf
from fieldlog.reports.site_report import END, render_site_report, site_report
from fieldlog.reports.trends import trends_of
from fieldlog.rulebook import load
from fieldlog.words.wording import HEADLINE, SIGNED_RECORD_FILE
from tests.builders import a_full_check, an_arrival_check
from tests.bundle.records import document, text_of
from tests.reports.contents_made_up import small_contents
from tests.reports.test_labels import SHEETS, label
from tests.reports.test_trends import RIG_WITH_TRENDS

A4, LETTER = (595.3, 841.9), (612.0, 792.0)
"""ISO 216, 210 by 297 mm; ANSI/ASME Y14.1, 8.5 by 11 in; in points of 1/72 in."""
SIGNED = text_of(document())
TREE = (TreePart("Inlet", "Inlet, 30 A", "", "", "", is_again=False),)
BRANCH = TreePart("Bunk", "Outlet", "14 AWG", "Guarded by nothing, as the map says.", BARE, is_again=False)


def a_record(paper: str, signed: bytes | None = None) -> bytes:
    trends = tuple(trends_of(RIG_WITH_TRENDS, load()))
    return render_pdf(small_contents(tree=(*TREE, BRANCH), trends=trends), paper, signed=signed)


def a_report() -> bytes:
    check = an_arrival_check(a_full_check(), park="Alder Bend")
    return render_site_report(site_report(Record.from_json(check)), "letter")


Made = tuple[Callable[[], bytes], tuple[float, float], str, str, list[str]]
KINDS: dict[str, Made] = {
    "record, letter": (lambda: a_record("letter"), LETTER, "Service record", HEADLINE, []),
    "record, A4": (lambda: a_record("A4"), A4, "Service record", "Guarded by nothing, as the map says.", []),
    "record, signed": (
        *(lambda: a_record("letter", SIGNED), LETTER, "Service record", "By the door: Volts"),
        [SIGNED_RECORD_FILE],
    ),
    "labels": (
        lambda: labels_of([label(1)], SHEETS["letter-30"]),
        LETTER,
        "Labels",
        "Scan: story and test",
        [],
    ),
    "site report": (a_report, LETTER, "Readings at a campground pedestal", END[0], []),
}
PICTURES = {"record, letter": 2, "record, A4": 2, "record, signed": 2, "labels": 1, "site report": 0}
"""The code, and the chart of a record; the code of a label."""
each_kind = pytest.mark.parametrize("kind", KINDS)


@cache
def drawn(kind: str) -> bytes:
    return KINDS[kind][0]()


def dictionaries(found: pikepdf.Pdf) -> Iterator[Any]:
    """Give every dictionary in a file, those within others included."""
    waiting: list[Any] = list(found.objects)
    while waiting:
        one = waiting.pop()
        if isinstance(one, pikepdf.Dictionary | pikepdf.Stream):
            yield one
            waiting += [each for _, each in one.items() if not getattr(each, "is_indirect", False)]
        elif isinstance(one, pikepdf.Array):
            waiting += [each for each in one if not getattr(each, "is_indirect", False)]


@each_kind
def test_it_is_whole_tagged_named_and_of_its_size(kind: str) -> None:
    _, size, title, *_ = KINDS[kind]
    with pikepdf.open(io.BytesIO(drawn(kind))) as found:
        assert found.check_pdf_syntax() == []
        assert bool(found.Root.MarkInfo.Marked) and "/StructTreeRoot" in found.Root
        assert str(found.Root.Lang) == "en" and bool(found.Root.ViewerPreferences.DisplayDocTitle)
        assert str(found.docinfo["/Title"]).startswith(title)
        for page in found.pages:
            assert [round(float(each), 1) for each in page.mediabox[2:]] == pytest.approx(size, abs=0.1)


@each_kind
def test_it_leads_nowhere_and_carries_what_it_says_and_no_more(kind: str) -> None:
    attached = KINDS[kind][-1]
    with pikepdf.open(io.BytesIO(drawn(kind))) as found:
        names = list(found.attachments)
        acting = [
            (name, str(each.get("/S")))
            for each in dictionaries(found)
            for name in ("/URI", "/JS", "/Launch", "/OpenAction", "/AA", "/GoToR")
            if name in each
        ]
        files = [each for each in dictionaries(found) if each.get("/Type") == "/Filespec"]
        held = [found.attachments[name].get_file().read_bytes() for name in names]

    assert (names, acting, len(files)) == (attached, [], len(attached))
    assert held == [SIGNED] * len(attached)


@each_kind
def test_every_picture_in_it_has_words_and_every_font_lies_within(kind: str) -> None:
    with pikepdf.open(io.BytesIO(drawn(kind))) as found:
        all_of_it = list(dictionaries(found))
    pictures = [each for each in all_of_it if each.get("/S") == "/Figure" and "/P" in each]
    fonts = [each for each in all_of_it if each.get("/Type") == "/FontDescriptor"]

    assert len(pictures) == PICTURES[kind]
    assert all(str(each.get("/Alt", "")).strip() for each in pictures)
    assert fonts and all("/FontFile2" in each or "/FontFile3" in each for each in fonts)


@each_kind
def test_its_text_can_be_taken_out_of_it(kind: str) -> None:
    sentence = KINDS[kind][3]
    told = subprocess.run(
        ["pdftotext", "-", "-"], input=drawn(kind), capture_output=True, check=True
    ).stdout.decode()

    assert sentence in " ".join(told.split())
    assert not {"certified", "safe"} & set(told.lower().split())


@pytest.mark.parametrize("kind", ["record, letter", "record, A4", "record, signed"])
def test_every_page_of_a_record_says_that_its_owner_entered_it(kind: str) -> None:
    told = subprocess.run(
        ["pdftotext", "-", "-"], input=drawn(kind), capture_output=True, check=True
    ).stdout.decode()
    pages = told.split("\f")[:-1]

    assert len(pages) > 1
    assert all("Entered by the owner. Not an inspection." in " ".join(page.split()) for page in pages)
