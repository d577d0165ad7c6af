"""Draws a PDF. Importing this needs Pango and its kin, so only render imports it, and late."""

from weasyprint import CSS, HTML
from weasyprint.urls import URLFetcher


class RefusingFetcher(URLFetcher):  # type: ignore[misc]  # WeasyPrint ships no types
    """Fetches nothing but what an address itself holds: no file, no network, no redirect."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols=["data"], allow_redirects=False)


def draw(document: str, style: str) -> bytes:
    """Draw a whole HTML document with one style sheet."""
    fetcher = RefusingFetcher()
    html = HTML(string=document, url_fetcher=fetcher)
    drawn: bytes = html.write_pdf(stylesheets=[CSS(string=style, url_fetcher=fetcher)], pdf_tags=True)
    return drawn
