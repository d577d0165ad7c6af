"""A service record laid out: as the middle of a page, and as a PDF."""

from collections.abc import Mapping
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined

from fieldlog.reports.contents import Contents
from fieldlog.reports.paper import Draft, Tell, draw_draft, untold
from fieldlog.reports.qr import qr_path
from fieldlog.words import wording

PAPERS: Final = ("letter", "A4")
NO_PICTURES: Final[Mapping[str, bytes]] = {}

TEMPLATES: Final = Environment(
    loader=PackageLoader("fieldlog.reports"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def render_body(contents: Contents) -> str:
    """Give the record as HTML to be set into a page; every text in it is escaped."""
    return TEMPLATES.get_template("body.html").render(_names(contents))


def render_pdf(
    contents: Contents, paper: str = PAPERS[0], tell: Tell = untold, signed: bytes | None = None
) -> bytes:
    """Give the record as a PDF on one of PAPERS; the same contents give the same bytes.

    A signed record is taken along in it. It tells "preparing", "drawing" with the page that is laid out, and
    "writing".
    Raises PdfUnavailable where the drawing libraries are missing.
    """
    tell("preparing")
    return draw_draft(draft_of(contents, paper, signed), tell)


def draft_of(
    contents: Contents,
    paper: str = PAPERS[0],
    signed: bytes | None = None,
    *,
    pictures: Mapping[str, bytes] = NO_PICTURES,
) -> Draft:
    """Give the record ready to be drawn, with the JPEGs that it shows, by their addresses."""
    document = TEMPLATES.get_template("document.html").render(_names(contents, carries=signed is not None))
    return Draft(document, _style(paper), signed, pictures)


def _names(contents: Contents, *, carries: bool = False) -> dict[str, object]:
    return {"record": contents, "wording": wording, "qr": qr_path(contents.address), "carries": carries}


def _style(paper: str) -> str:
    return TEMPLATES.get_template("print.css").render(paper=paper)
