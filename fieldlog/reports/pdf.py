"""Draws a PDF. Importing this needs Pango and its kin, so only render imports it, and late."""

import hashlib
import logging
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Final

from weasyprint import CSS, HTML, Attachment
from weasyprint.logger import PROGRESS_LOGGER
from weasyprint.urls import URLFetcher, URLFetcherResponse

from fieldlog.reports.paper import Draft, Tell, untold
from fieldlog.words.wording import SIGNED_RECORD_FILE

# The structure of ISO 19005-3, level U; no validator has looked at it, so nothing calls it conforming.
VARIANT: Final = "pdf/a-3u"
TOLD: Final = "The signed record that this is a rendering of; fieldlog verify says what of it holds."
# The times of the file are in it; two of its renderings do not differ by when they were made.
NO_TIME: Final = datetime(2000, 1, 1, tzinfo=UTC)


class RefusingFetcher(URLFetcher):  # type: ignore[misc]  # WeasyPrint ships no types
    """Fetches what an address itself holds, and the pictures that it is given: no file, no network."""

    def __init__(self, pictures: Mapping[str, bytes]) -> None:
        super().__init__(allowed_protocols=["data"], allow_redirects=False)
        self._pictures = pictures

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        """Give what an address stands for, or raise ValueError."""
        if url in self._pictures:
            return URLFetcherResponse(url, self._pictures[url], {"Content-Type": "image/jpeg"})
        return super().fetch(url, headers)


class PageTeller(logging.Handler):
    """Tells which page is being laid out, by what WeasyPrint says of its progress."""

    def __init__(self, tell: Tell) -> None:
        super().__init__()
        self._tell = tell

    def emit(self, record: logging.LogRecord) -> None:
        """Tell of a page; a second pass over the pages begins at the first again."""
        if "Page %d" in str(record.msg) and record.args:
            self._tell(f"drawing {record.getMessage().partition('Page ')[2].split()[0]}")


def draw(draft: Draft, tell: Tell = untold) -> bytes:
    """Draw a whole HTML document with one style sheet, and tell of each page and of the writing.

    A signed record is taken along as the data that it shows.
    """
    fetcher, signed = RefusingFetcher(draft.pictures), draft.signed
    html = HTML(string=draft.document, url_fetcher=fetcher)
    sheets = [CSS(string=draft.style, url_fetcher=fetcher)]
    teller = PageTeller(tell)
    PROGRESS_LOGGER.setLevel(logging.INFO)
    PROGRESS_LOGGER.propagate = False
    PROGRESS_LOGGER.addHandler(teller)
    try:
        laid_out = html.render(stylesheets=sheets, pdf_tags=True)
    finally:
        PROGRESS_LOGGER.removeHandler(teller)
    tell("writing")
    if signed is None:
        drawn: bytes = laid_out.write_pdf(pdf_tags=True)
        return drawn
    laid_out.metadata.attachments = [
        Attachment(
            string=signed,
            name=SIGNED_RECORD_FILE,
            description=TOLD,
            created=NO_TIME,
            modified=NO_TIME,
            relationship="Data",
        )
    ]
    carrying: bytes = laid_out.write_pdf(
        pdf_tags=True, pdf_variant=VARIANT, pdf_identifier=hashlib.sha256(signed).digest()[:16]
    )
    return carrying
