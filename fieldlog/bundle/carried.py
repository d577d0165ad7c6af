"""Takes a signed record out of the PDF that carries it; what the pages show is not asked."""

import io
from typing import Final

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from fieldlog.bundle.refused import Refused
from fieldlog.words.wording import SIGNED_RECORD_FILE

_PDF: Final = b"%PDF-"


def record_in(content: bytes) -> bytes:
    """Give the signed record in a file, the file itself where it is no PDF.

    Raises
    ------
    Refused
        For a PDF that carries none, or more than one.
    """
    if not content.startswith(_PDF):
        return content
    try:
        found = PdfReader(io.BytesIO(content)).attachments.get(SIGNED_RECORD_FILE, [])
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise Refused("no-record-in-pdf") from error
    if len(found) != 1:
        raise Refused("no-record-in-pdf")
    return bytes(found[0])
