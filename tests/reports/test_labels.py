"""Labels are read back off the picture of their page, and stand where the sheet has them."""

import io
import json
import subprocess
from pathlib import Path

import pypdf
import pytest
import zxingcpp
from PIL import Image

from fieldlog.reports.labels import PAGES_MM, Label, Sheet, render_labels, sheets
from tests.repository import ROOT

SHEETS = sheets(json.loads((ROOT / "schemas/facts/label-sizes.json").read_text(encoding="utf-8"))["entries"])
DOTS = 130


def label(number: int) -> Label:
    address = f"https://log.example.test/outlets/01932f5e-8d00-7abc-9def-{number:012d}"
    return Label(f"Outlet {number}", "Scan: story and test", address)


def picture(drawn: bytes, folder: Path, page: int = 1) -> Image.Image:
    (folder / "labels.pdf").write_bytes(drawn)
    command = ["pdftoppm", "-r", str(DOTS), "-f", str(page), "-l", str(page), "-png", "-singlefile"]
    subprocess.run([*command, "labels.pdf", "page"], cwd=folder, check=True)
    return Image.open(folder / "page.png")


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_every_label_of_a_full_page_is_read_back_within_its_own_edges(sheet: Sheet, tmp_path: Path) -> None:
    labels = [label(number) for number in range(sheet.count)]
    codes = zxingcpp.read_barcodes(picture(render_labels(labels, sheet), tmp_path))

    assert sorted(code.text for code in codes) == sorted(each.address for each in labels)
    for code in codes:
        number = next(i for i, each in enumerate(labels) if each.address == code.text)
        left, top = sheet.place(number)
        corners = [code.position.top_left, code.position.bottom_right]
        for corner in corners:
            x, y = corner.x * 25.4 / DOTS, corner.y * 25.4 / DOTS
            assert left <= x <= left + sheet.width_mm and top <= y <= top + sheet.height_mm


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_no_label_of_a_sheet_overlaps_another_or_leaves_the_page(sheet: Sheet) -> None:
    width, height = PAGES_MM[sheet.page]
    places = [sheet.place(number) for number in range(sheet.count)]

    assert all(x >= 0 and y >= 0 for x, y in places)
    assert all(x + sheet.width_mm <= width and y + sheet.height_mm <= height for x, y in places)
    assert sheet.columns == 1 or sheet.across_mm >= sheet.width_mm
    assert sheet.rows == 1 or sheet.down_mm >= sheet.height_mm


def test_a_sheet_begun_before_is_gone_on_with(tmp_path: Path) -> None:
    sheet = SHEETS["a4-8"]
    drawn = render_labels([label(0)], sheet, skip=5)
    (code,) = zxingcpp.read_barcodes(picture(drawn, tmp_path))

    left, top = sheet.place(5)
    assert left <= code.position.top_left.x * 25.4 / DOTS <= left + sheet.width_mm
    assert top <= code.position.top_left.y * 25.4 / DOTS <= top + sheet.height_mm


def test_more_labels_than_a_page_holds_go_on_the_next(tmp_path: Path) -> None:
    sheet = SHEETS["a4-8"]
    drawn = render_labels([label(number) for number in range(9)], sheet)

    assert len(pypdf.PdfReader(io.BytesIO(drawn)).pages) == 2
    assert [code.text for code in zxingcpp.read_barcodes(picture(drawn, tmp_path, 2))] == [label(8).address]


def test_a_name_is_text_and_nothing_else(tmp_path: Path) -> None:
    drawn = render_labels([Label("<b>Galley</b> & more", "", label(0).address)], SHEETS["a4-8"])

    text = " ".join(pypdf.PdfReader(io.BytesIO(drawn)).pages[0].extract_text().split())
    assert "<b>Galley</b> & more" in text
