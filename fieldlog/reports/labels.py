"""Labels for the outlets of a rig: each with its name and a QR code that opens its page."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from jinja2 import Environment, PackageLoader, StrictUndefined

from fieldlog.reports.paper import Draft, draw_draft
from fieldlog.reports.qr import QrPath, qr_path

PAGES_MM: Final = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}

_TEMPLATES = Environment(
    loader=PackageLoader("fieldlog.reports"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


@dataclass(frozen=True)
class Sheet:
    """A label sheet, in millimetres; see schemas/facts/label-sizes.json."""

    id: str
    name: str
    page: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    across_mm: float
    down_mm: float

    @property
    def page_mm(self) -> tuple[float, float]:
        """Give the width and height of the page."""
        return PAGES_MM[self.page]

    @property
    def count(self) -> int:
        """How many labels a page has."""
        return self.columns * self.rows

    def place(self, number: int) -> tuple[float, float]:
        """Give where a label of a page begins, from its left and top edge [mm]; numbered from 0 in rows."""
        row, column = divmod(number, self.columns)
        return self.left_mm + column * self.across_mm, self.top_mm + row * self.down_mm


@dataclass(frozen=True)
class Label:
    """What stands on a label."""

    name: str
    below: str
    address: str

    @property
    def code(self) -> QrPath:
        """The address as a QR code."""
        return qr_path(self.address)


def sheets(entries: Iterable[Mapping[str, Any]]) -> dict[str, Sheet]:
    """Give the sheets of schemas/facts/label-sizes.json, by id."""
    known = Sheet.__dataclass_fields__.keys()
    found = [Sheet(**{name: entry[name] for name in known}) for entry in entries]
    return {sheet.id: sheet for sheet in found}


def render_labels(labels: Sequence[Label], sheet: Sheet, *, skip: int = 0) -> bytes:
    """Give a PDF of labels, the first ones of the first page left free.

    Raises PdfUnavailable where the drawing libraries are missing.
    """
    pages = list(_pages(labels, sheet, skip))
    document = _TEMPLATES.get_template("labels.html").render(pages=pages)
    style = _TEMPLATES.get_template("labels.css").render(sheet=sheet, inner=_inner(sheet))
    return draw_draft(Draft(document, style))


def _pages(labels: Sequence[Label], sheet: Sheet, skip: int) -> Iterable[list[tuple[int, Label]]]:
    """Give page by page each label with the number of its place."""
    placed = [(skip + i, label) for i, label in enumerate(labels)]
    last = placed[-1][0] // sheet.count if placed else 0
    for page in range(last + 1):
        yield [(number % sheet.count, label) for number, label in placed if number // sheet.count == page]


def _inner(sheet: Sheet) -> float:
    """Give the side of the code [mm]: what the lower of the label's sides leaves beside a small edge."""
    return round(min(sheet.height_mm, sheet.width_mm * 0.5) - 3, 2)
