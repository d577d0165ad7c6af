"""Draws a PDF. Importing this needs Pango and its kin, so only render imports it, and late."""

import logging

from weasyprint import CSS, HTML
from weasyprint.logger import PROGRESS_LOGGER
from weasyprint.urls import URLFetcher

from fieldlog.reports.render import Tell, untold


class RefusingFetcher(URLFetcher):  # type: ignore[misc]  # WeasyPrint ships no types
    """Fetches nothing but what an address itself holds: no file, no network, no redirect."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols=["data"], allow_redirects=False)


class PageTeller(logging.Handler):
    """Tells which page is being laid out, by what WeasyPrint says of its progress."""

    def __init__(self, tell: Tell) -> None:
        super().__init__()
        self._tell = tell

    def emit(self, record: logging.LogRecord) -> None:
        """Tell of a page; a second pass over the pages begins at the first again."""
        if "Page %d" in str(record.msg) and record.args:
            self._tell(f"drawing {record.getMessage().partition('Page ')[2].split()[0]}")


def draw(document: str, style: str, tell: Tell = untold) -> bytes:
    """Draw a whole HTML document with one style sheet, and tell of each page and of the writing."""
    fetcher = RefusingFetcher()
    html = HTML(string=document, url_fetcher=fetcher)
    sheets = [CSS(string=style, url_fetcher=fetcher)]
    teller = PageTeller(tell)
    PROGRESS_LOGGER.setLevel(logging.INFO)
    PROGRESS_LOGGER.propagate = False
    PROGRESS_LOGGER.addHandler(teller)
    try:
        laid_out = html.render(stylesheets=sheets, pdf_tags=True)
    finally:
        PROGRESS_LOGGER.removeHandler(teller)
    tell("writing")
    drawn: bytes = laid_out.write_pdf(pdf_tags=True)
    return drawn
