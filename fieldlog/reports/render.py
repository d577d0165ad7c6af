"""A service record laid out: as the middle of a page, and as a PDF."""

from collections.abc import Callable
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined

from fieldlog.errors import FieldlogError
from fieldlog.reports.contents import Contents
from fieldlog.reports.qr import qr_path
from fieldlog.words import wording

PAPERS: Final = ("letter", "A4")
Tell = Callable[[str], None]

TEMPLATES: Final = Environment(
    loader=PackageLoader("fieldlog.reports"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


class PdfUnavailable(FieldlogError):
    """The libraries that draw the PDF are missing on this machine."""

    def __init__(self) -> None:
        super().__init__(
            "This machine cannot make a PDF: libraries are missing. "
            "Install libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0 by the system's own means; "
            "all else works without them, and the page of a record prints from the browser."
        )


def render_body(contents: Contents) -> str:
    """Give the record as HTML to be set into a page; every text in it is escaped."""
    return TEMPLATES.get_template("body.html").render(_names(contents))


def untold(_stage: str) -> None:
    """Tell nobody of a stage."""


def render_pdf(
    contents: Contents, paper: str = PAPERS[0], tell: Tell = untold, signed: bytes | None = None
) -> bytes:
    """Give the record as a PDF on one of PAPERS; the same contents give the same bytes.

    A signed record is taken along in it. It tells "preparing", "drawing" with the page that is laid out, and
    "writing".
    Raises PdfUnavailable where the drawing libraries are missing: they are loaded only here, so that all
    else works without them.
    """
    try:
        from fieldlog.reports.pdf import draw
    except OSError as missing:
        raise PdfUnavailable from missing
    tell("preparing")
    document = TEMPLATES.get_template("document.html").render(_names(contents, carries=signed is not None))
    return draw(document, _style(paper), tell, signed)


def _names(contents: Contents, *, carries: bool = False) -> dict[str, object]:
    return {"record": contents, "wording": wording, "qr": qr_path(contents.address), "carries": carries}


def _style(paper: str) -> str:
    return TEMPLATES.get_template("print.css").render(paper=paper)
