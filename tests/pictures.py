"""Pictures made up for tests: plain ones, and files with all in them that a camera or a foe may write."""

import struct
import zlib
from io import BytesIO
from typing import Any, Final

from PIL import Image

GPS_MARK: Final = "48.858093"
GPS_IFD: Final = 0x8825
THUMBNAIL_MARK: Final = b"thumbnail of the drive"
XMP: Final = f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>exif:GPSLatitude={GPS_MARK}</x:xmpmeta>".encode()
IPTC: Final = b"Photoshop 3.0\x008BIM\x04\x04\x00\x00\x00\x00\x00\x10\x1c\x02Z\x00\x0bAlder Bend"


def a_picture(width: int = 64, height: int = 48, mode: str = "RGB") -> Image.Image:
    """Give a picture whose upper left quarter is red, the upper right green, the lower half blue."""
    image = Image.new("RGB", (width, height), (20, 40, 220))
    image.paste((220, 30, 20), (0, 0, width // 2, height // 2))
    image.paste((30, 200, 40), (width // 2, 0, width, height // 2))
    return image.convert(mode)


def written(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    """Give the file of a picture."""
    file = BytesIO()
    image.save(file, kind, **options)
    return file.getvalue()


def a_jpeg(width: int = 64, height: int = 48, **options: Any) -> bytes:
    """Give a plain JPEG."""
    return written(a_picture(width, height), **options)


def exif(orientation: int, maker: str = "Invented cameras") -> Image.Exif:
    """Give what a camera notes beside a picture: how it was held, when, where, and a description."""
    noted = Image.Exif()
    noted[0x0112] = orientation
    noted[0x010F] = maker
    noted[0x010E] = "Behind the house, " + GPS_MARK
    noted[0x0132] = "2026:11:25 10:31:07"
    noted[GPS_IFD] = {1: "N", 2: (48.0, 51.0, 29.1), 3: "E", 4: (2.0, 17.0, 40.2), 29: "2026:11:25"}
    return noted


def a_segment(marker: int, content: bytes) -> bytes:
    """Give a segment of a JPEG (ITU-T T.81, B.1.1.4): marker, length, content."""
    return bytes([0xFF, marker]) + struct.pack(">H", len(content) + 2) + content


def with_segments(jpeg: bytes, *segments: bytes) -> bytes:
    """Put segments behind the first marker of a JPEG."""
    return jpeg[:2] + b"".join(segments) + jpeg[2:]


def with_thumbnail(jpeg: bytes) -> bytes:
    """Put a thumbnail into a JPEG, as Exif keeps it: in the second directory of a segment of its own."""
    small = written(a_picture(16, 12), comment=THUMBNAIL_MARK)
    first = struct.pack("<HHHIIIH", 1, 0x0112, 3, 1, 1, 26, 2)
    second = struct.pack("<HHIIHHIII", 0x0201, 4, 1, 56, 0x0202, 4, 1, len(small), 0)
    return with_segments(jpeg, a_segment(0xE1, b"Exif\0\0II*\0\x08\0\0\0" + first + second + small))


def a_chunk(kind: bytes, content: bytes) -> bytes:
    """Give a chunk of a PNG: length, kind, content, check."""
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def a_png_that_says(width: int, height: int, pixels: bytes = b"") -> bytes:
    """Give a small PNG whose head tells of so many pixels."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    data = a_chunk(b"IDAT", zlib.compress(pixels, 9))
    return b"\x89PNG\r\n\x1a\n" + a_chunk(b"IHDR", head) + data + a_chunk(b"IEND", b"")


def a_jpeg_that_says(width: int, height: int) -> bytes:
    """Give a small JPEG whose frame tells of so many pixels."""
    jpeg = a_jpeg(16, 16)
    at = jpeg.index(b"\xff\xc0") + 5
    return jpeg[:at] + struct.pack(">HH", height, width) + jpeg[at + 4 :]


def a_webp_that_says(width: int, height: int) -> bytes:
    """Give a small WebP whose canvas tells of so many pixels."""
    body = written(a_picture(16, 16), "WEBP")[12:]
    canvas = b"VP8X" + struct.pack("<I", 10) + bytes(4)
    canvas += struct.pack("<I", width - 1)[:3] + struct.pack("<I", height - 1)[:3]
    return b"RIFF" + struct.pack("<I", len(body) + len(canvas) + 4) + b"WEBP" + canvas + body
