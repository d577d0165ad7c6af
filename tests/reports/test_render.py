"""The service record laid out: what it says, that it is the same each time, and that no text in it acts."""

import io
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
import zxingcpp
from PIL import Image

from fieldlog.reports.contents import Contents, LogEnd
from fieldlog.reports.paper import Draft
from fieldlog.reports.pdf import draw
from fieldlog.reports.render import PAPERS, render_body, render_pdf
from fieldlog.words import wording
from tests.reports.contents_made_up import (
    ADDRESS,
    HEAD,
    a_device_line,
    an_outlet_line,
    long_contents,
    small_contents,
)


@pytest.fixture(scope="module")
def small_pdf() -> bytes:
    """A small record, drawn."""
    return render_pdf(small_contents())


@pytest.fixture(scope="module")
def long_pdf() -> bytes:
    """A long record, drawn."""
    return render_pdf(long_contents())


def text_of(drawn: bytes) -> str:
    """Give the text of a PDF, its lines joined."""
    pages = pypdf.PdfReader(io.BytesIO(drawn)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def first_page(drawn: bytes, folder: Path) -> Image.Image:
    """Give the picture of a PDF's first page at 150 dots per inch."""
    (folder / "record.pdf").write_bytes(drawn)
    command = ["pdftoppm", "-r", "150", "-f", "1", "-l", "1", "-png", "-singlefile", "record.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True)
    return Image.open(folder / "page.png")


def test_the_record_says_that_nobody_inspected_anything(small_pdf: bytes) -> None:
    assert wording.HEADLINE == "Entered by the owner. Not an inspection."
    assert wording.CAUTION == (
        "Everything here was noted by the person who used the rig, with the instruments at hand. "
        "Nobody else has looked at it. What was not tested is said to be not tested. "
        "Work on wiring follows the local code and belongs to a licensed electrician."
    )

    text = text_of(small_pdf)

    assert wording.HEADLINE in text
    assert wording.CAUTION in text


def test_the_headline_stands_on_every_page(long_pdf: bytes) -> None:
    pages = pypdf.PdfReader(io.BytesIO(long_pdf)).pages

    assert len(pages) > 3
    assert [page.extract_text().count(wording.HEADLINE) > 0 for page in pages] == [True] * len(pages)


@pytest.mark.parametrize(
    "said",
    [
        "Service record: Rolling Bread Bin",
        "“Outlet 1” was never tested.",
        "GFCI in the galley",
        "TEST pressed: tripped, its own face went dead, reset",
        "next due 2026-12-20",
        "4 noted with this rig. Last: 2026-11-20, TT-30: use.",
        "guard: none → GFCI",
        "Looked again.",
        "The log holds 9 entries.",
        HEAD,
        "Made 2026-11-25 12:00 UTC.",
    ],
)
def test_the_pdf_says_what_the_contents_say(said: str, small_pdf: bytes) -> None:
    assert said in text_of(small_pdf)


def test_the_same_contents_give_the_same_bytes(small_pdf: bytes) -> None:
    assert render_pdf(small_contents()) == small_pdf


@pytest.mark.parametrize(("paper", "points"), [("letter", (612, 792)), ("A4", (595, 842))])
def test_the_paper_is_the_one_asked_for(paper: str, points: tuple[int, int]) -> None:
    box = pypdf.PdfReader(io.BytesIO(render_pdf(small_contents(), paper))).pages[0].mediabox

    assert paper in PAPERS
    assert (round(box.width), round(box.height)) == points


def test_a_small_rig_fits_one_page(small_pdf: bytes) -> None:
    assert len(pypdf.PdfReader(io.BytesIO(small_pdf)).pages) == 1


def test_a_long_record_repeats_the_heads_of_its_tables_and_loses_no_line(long_pdf: bytes) -> None:
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(long_pdf)).pages]

    text = " ".join(pages)
    assert [n for n in range(200) if f"Outlet {n}" not in text] == []
    assert sum("Result" in page for page in pages) >= 4


def test_the_code_on_the_page_is_the_address_of_the_record(small_pdf: bytes, tmp_path: Path) -> None:
    found = zxingcpp.read_barcodes(first_page(small_pdf, tmp_path))

    assert [code.text for code in found] == [ADDRESS]


def test_words_without_end_stay_on_the_paper(tmp_path: Path) -> None:
    page = first_page(render_pdf(with_text_everywhere("W" * 80)), tmp_path).convert("L")

    margin = page.crop((page.width - 60, 0, page.width, page.height))
    assert margin.getextrema() == (255, 255)


def test_an_empty_rig_says_that_nothing_was_tested() -> None:
    empty = small_contents(outlets=(), devices=(), open_points=(), tests=(), corrections=())

    assert wording.NOTHING_NOTED in text_of(render_pdf(replace(empty, log=LogEnd(1, HEAD))))


def test_nothing_open_is_said_only_where_something_was_tested() -> None:
    assert wording.NOTHING_OPEN in render_body(small_contents(open_points=()))
    assert wording.NOTHING_OPEN not in render_body(small_contents())


# Hostile texts


class Canary:
    """A server that counts who calls."""

    def __init__(self) -> None:
        self.calls = 0
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._listener.getsockname()[1]
        self._thread = threading.Thread(target=self._count, daemon=True)
        self._thread.start()

    def _count(self) -> None:
        while True:
            try:
                connection, _ = self._listener.accept()
            except OSError:
                return
            self.calls += 1
            connection.close()

    def close(self) -> None:
        """Call last, so that all earlier calls have been counted, then stop listening."""
        with socket.create_connection(("127.0.0.1", self.port)) as last:
            last.recv(1)
        self._listener.shutdown(socket.SHUT_RDWR)
        self._thread.join(5)
        self._listener.close()
        self.calls -= 1


@pytest.fixture
def canary() -> Iterator[Canary]:
    """A canary of this test's own."""
    yield Canary()


def hostile_texts(port: int, secret: Path) -> list[str]:
    """Give texts that would read the file or call the port if they were taken for more than text."""
    here, file = f"http://127.0.0.1:{port}/x", secret.as_uri()
    return [
        f"<script src='{here}'></script><script>fetch('{here}')</script>",
        f"<img src={here}><img src={file}>",
        f'<link rel=attachment href="{file}">',
        f'<link rel=stylesheet href="{here}">',
        f"</style><style>@import url({here}); body {{ background: url({here}) }}</style>",
        f'"><object data="{file}"></object><embed src="{file}">',
        f"<svg><image href='{here}'/><use href='{file}'/></svg>",
        f"url({here}) {{{{ 7*7 }}}} {{% include '{secret}' %}}",
        f"<meta name=generator content='{here}'><base href='{here}'>",
        f"<a rel=attachment href='{file}'>x</a>",
        f"</title><link rel=attachment href='{file}'>",
    ]


def with_text_everywhere(text: str) -> Contents:
    """Give contents that carry the text wherever a person can type one."""
    contents = small_contents(name=text, note=text)
    outlet, device = replace(an_outlet_line(0, text), note=text, guard=text), a_device_line(text)
    correction = replace(contents.corrections[0], reason=text, changes=(text,), what=text)
    test = replace(contents.tests[0], what=text, made_by=text)
    point = replace(contents.open_points[0], sentence=text)
    return replace(
        contents,
        outlets=(outlet,),
        devices=(replace(device, note=text),),
        corrections=(correction,),
        tests=(test,),
        open_points=(point,),
    )


def test_hostile_texts_read_no_file_and_call_nobody(tmp_path: Path, canary: Canary) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("the secret of the house")

    texts = " ".join(hostile_texts(canary.port, secret))

    drawn = pypdf.PdfReader(io.BytesIO(render_pdf(with_text_everywhere(texts))))

    canary.close()
    assert dict(drawn.attachments) == {}
    assert "the secret of the house" not in " ".join(page.extract_text() for page in drawn.pages)
    assert canary.calls == 0


def test_without_the_drawing_libraries_the_error_says_what_to_install(tmp_path: Path) -> None:
    """The package is there but fails at its import, as it does where its libraries are missing."""
    (tmp_path / "weasyprint.py").write_text("raise OSError('cannot load library libpango-1.0-0')")
    program = (
        "from tests.reports.contents_made_up import small_contents\n"
        "from fieldlog.reports.paper import PdfUnavailable\n"
        "from fieldlog.reports.render import render_body, render_pdf\n"
        "assert 'Rolling Bread Bin' in render_body(small_contents())\n"
        "try:\n    render_pdf(small_contents())\nexcept PdfUnavailable as error:\n    print(error)\n"
    )
    environment = {"PYTHONPATH": f"{tmp_path}:{Path.cwd()}", "PATH": ""}

    done = subprocess.run(
        [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True
    )

    assert "Install libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0" in done.stdout


def test_hostile_texts_are_shown_as_they_were_typed(tmp_path: Path) -> None:
    for text in hostile_texts(9, tmp_path / "secret.txt"):
        body = render_body(with_text_everywhere(text))

        assert text not in body or "<" not in text
        assert "<script" not in body
        assert "<link" not in body


def test_a_page_that_asks_for_files_and_hosts_gets_none_of_them(tmp_path: Path, canary: Canary) -> None:
    """The second lock: even markup that got past the first is drawn without what it asks for."""
    secret = tmp_path / "secret.txt"
    secret.write_text("the secret of the house")
    asks = " ".join(hostile_texts(canary.port, secret))

    drawn = pypdf.PdfReader(io.BytesIO(draw(Draft(f"<!doctype html><title>t</title>{asks}", ""))))

    canary.close()
    assert dict(drawn.attachments) == {}
    assert canary.calls == 0
