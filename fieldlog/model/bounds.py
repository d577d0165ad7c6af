"""How much one account may have on a server, and what one PDF may take."""

from dataclasses import dataclass
from typing import Final

MB: Final = 1_000_000


@dataclass(frozen=True)
class Bounds:
    """What one account may have, and how much of the server's disk stays free. Own choices, generous.

    Parameters
    ----------
    records : int
        Records, earlier texts included.
    text_mb : int
        The text of the records [MB].
    photos_mb : int
        The photos, as they are kept [MB].
    least_free_mb : int
        Below so much free room on the disk nothing more is taken [MB].
    """

    records: int = 200_000
    text_mb: int = 500
    photos_mb: int = 20_000
    least_free_mb: int = 100


@dataclass(frozen=True)
class PdfLimits:
    """What drawing one PDF may take. Own choices.

    Parameters
    ----------
    time_s : int
        From the start of its process [s].
    memory_mb : int
        Resident memory of its process [MB].
    """

    time_s: int = 120
    memory_mb: int = 400


USUAL: Final = Bounds()
USUAL_FOR_PDF: Final = PdfLimits()
