"""What all that is drawn on paper shares. Light: what draws by itself loads no more of the reports."""

import json
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final, Self

from fieldlog.errors import FieldlogError

Tell = Callable[[str], None]
PICTURE: Final = "picture:"
"""What the address of a picture begins with that is taken along."""


@dataclass(frozen=True)
class Draft:
    """A document that is ready to be drawn.

    Parameters
    ----------
    document, style : str
        HTML and its one style sheet.
    signed : bytes or None
        The signed record that is taken along.
    pictures : mapping
        The JPEGs that the document shows, by their addresses.
    """

    document: str
    style: str
    signed: bytes | None = None
    pictures: Mapping[str, bytes] = field(default_factory=dict[str, bytes])

    def as_text(self) -> bytes:
        """Give it as a file holds it."""
        signed = None if self.signed is None else self.signed.decode()
        pictures = {name: b64encode(content).decode() for name, content in self.pictures.items()}
        return json.dumps([self.document, self.style, signed, pictures]).encode()

    @classmethod
    def of_text(cls, text: bytes) -> Self:
        """Read it from such a file."""
        document, style, signed, named = json.loads(text)
        pictures = {name: b64decode(content) for name, content in named.items()}
        return cls(document, style, None if signed is None else signed.encode(), pictures)


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
    return draw(draft, tell)
