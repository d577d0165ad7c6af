"""What all that is drawn on paper shares. Light: what draws by itself loads no more of the reports."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

from fieldlog.errors import FieldlogError

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Draft:
    """A document that is ready to be drawn.

    Parameters
    ----------
    document, style : str
        HTML and its one style sheet.
    signed : bytes or None
        The signed record that is taken along.
    """

    document: str
    style: str
    signed: bytes | None = None

    def as_text(self) -> bytes:
        """Give it as a file holds it."""
        signed = None if self.signed is None else self.signed.decode()
        return json.dumps([self.document, self.style, signed]).encode()

    @classmethod
    def of_text(cls, text: bytes) -> Self:
        """Read it from such a file."""
        document, style, signed = json.loads(text)
        return cls(document, style, None if signed is None else signed.encode())


class PdfUnavailable(FieldlogError):
    """The libraries that draw the PDF are missing on this machine."""

    def __init__(self) -> None:
        super().__init__(
            "This machine cannot make a PDF: libraries are missing. "
            "Install libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0 by the system's own means; "
            "all else works without them, and the page of a record prints from the browser."
        )


def untold(_stage: str) -> None:
    """Tell nobody of a stage."""


def draw_draft(draft: Draft, tell: Tell = untold) -> bytes:
    """Draw it; raises PdfUnavailable where the libraries that draw are missing: they are loaded only here."""
    try:
        from fieldlog.reports.pdf import draw
    except OSError as missing:
        raise PdfUnavailable from missing
    return draw(draft.document, draft.style, tell, draft.signed)
