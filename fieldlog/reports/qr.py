"""An address as a QR code, drawn as one path."""

from dataclasses import dataclass
from itertools import groupby

import qrcode


@dataclass(frozen=True)
class QrPath:
    """A QR code as an SVG path of unit squares, quiet zone included."""

    size: int
    path: str


def qr_path(address: str) -> QrPath:
    """Encode an address; level M survives a crease in the paper."""
    code = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, border=4)
    code.add_data(address)
    rows = code.get_matrix()
    return QrPath(len(rows), "".join(_row(y, row) for y, row in enumerate(rows)))


def _row(y: int, row: list[bool]) -> str:
    drawn, x = "", 0
    for is_dark, run in groupby(row):
        width = len(list(run))
        if is_dark:
            drawn += f"M{x} {y}h{width}v1h-{width}z"
        x += width
    return drawn
