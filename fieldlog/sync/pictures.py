"""Draws a picture anew, so that nothing is left of what a file carries besides: places, times, programs.

What a file claims to be counts for nothing; its first and last bytes, its size and its drawing do.
Limits keep the work small: one picture at a time, and by type no more pixels than fit into memory.
"""

import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from threading import Lock
from typing import Final

from PIL import Image, ImageFile

from fieldlog.errors import BadInput
from fieldlog.model.problem import Problem

LONGEST_SIDE: Final = 2048
QUALITY: Final = 85
MOST_PIXELS: Final = 40_000_000
# A JPEG is read at a fraction of its size; what is read whole has to be smaller, WebP most of all, which is
# held three times over. Own choices, so that any picture is drawn within 256 MB.
MOST_READ: Final[Mapping[str, int]] = {"JPEG": 12_000_000, "PNG": 8_000_000, "WEBP": 5_000_000}
MOST_PROGRESSIVE: Final = 12_000_000
MOST_SCANS: Final = 40  # a camera's picture has about ten; each one more is drawn over all pixels again

ORIENTATION: Final = 0x0112  # Exif 2.32, 4.6.4 A: how the camera was held, and what sets the picture upright
TURNS: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
TYPES: Final[Mapping[str, str]] = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WEBP"}
NO_PICTURE: Final = "This is no JPEG, PNG or WebP picture; nothing else is kept. Take the photo again."
TOO_MANY_PIXELS: Final = "The picture has more pixels than are drawn here; make it smaller."
DAMAGED: Final = "The picture cannot be drawn: it is damaged, cut off or more than a picture. Take it again."

_one_at_a_time = Lock()


@dataclass(frozen=True)
class Picture:
    """A picture as it is kept."""

    content: bytes
    width: int
    height: int


def drawn_anew(content: bytes, longest_side: int = LONGEST_SIDE, quality: int = QUALITY) -> Picture:
    """Give the picture upright, so many pixels long at most, as a JPEG that carries nothing else."""
    name = _type_of(content)
    if not _ends_as(name, content):
        raise BadInput([Problem("/content", DAMAGED)])
    with _one_at_a_time, _strictly(), _opened(name, content) as image:
        _refuse_too_much_work(name, image, content)
        return _drawn(image, longest_side, quality)


def type_of(content: bytes) -> str | None:
    """Give the media type that the first bytes show, None for whatever is no picture of ours."""
    return next((media for media, name in TYPES.items() if _begins_as(name, content)), None)


def _type_of(content: bytes) -> str:
    media = type_of(content)
    if media is None:
        raise BadInput([Problem("/type", NO_PICTURE)])
    return TYPES[media]


def _begins_as(name: str, content: bytes) -> bool:
    if name == "WEBP":
        return content[:4] == b"RIFF" and content[8:12] == b"WEBP"
    return content.startswith(b"\xff\xd8\xff" if name == "JPEG" else b"\x89PNG\r\n\x1a\n")


def _ends_as(name: str, content: bytes) -> bool:
    """Say whether the file ends where its picture does: not before, and with nothing behind it."""
    if name == "WEBP":
        return int.from_bytes(content[4:8], "little") + 8 == len(content)
    return content.endswith(b"\xff\xd9" if name == "JPEG" else b"\x00\x00\x00\x00IEND\xaeB`\x82")


@contextmanager
def _opened(name: str, content: bytes) -> Iterator[Image.Image]:
    try:
        with Image.open(BytesIO(content), formats=[name]) as image:
            yield image
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise BadInput([Problem("/pixels", TOO_MANY_PIXELS)]) from error
    except BadInput:
        raise
    except Exception as error:  # whatever a decoder trips over in a file that is none
        raise BadInput([Problem("/content", DAMAGED)]) from error


@contextmanager
def _strictly() -> Iterator[None]:
    """Refuse what is cut off, whatever another library has set, and let nothing be merely warned of."""
    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def _refuse_too_much_work(name: str, image: Image.Image, content: bytes) -> None:
    """Refuse by what the head of the file says, before a pixel is drawn."""
    most = MOST_PROGRESSIVE if "progressive" in image.info else MOST_PIXELS
    is_too_large = image.width * image.height > most
    image.draft(None, (LONGEST_SIDE, LONGEST_SIDE))  # from here on a JPEG has the size in which it is read
    if is_too_large or image.width * image.height > MOST_READ[name]:
        raise BadInput([Problem("/pixels", TOO_MANY_PIXELS)])
    if name == "JPEG" and content.count(b"\xff\xda") > MOST_SCANS:
        raise BadInput([Problem("/content", DAMAGED)])


def _drawn(image: Image.Image, longest_side: int, quality: int) -> Picture:
    turn = TURNS.get(image.getexif().get(ORIENTATION, 1))
    is_clear = image.has_transparency_data
    if image.mode not in ("L", "RGB", "RGBA", "CMYK"):
        image = image.convert("RGBA" if is_clear else "RGB")
    image.thumbnail((longest_side, longest_side))
    bare = Image.new("RGB", image.size, "white")
    bare.paste(image.convert("RGB"), mask=image.getchannel("A") if image.mode == "RGBA" else None)
    if turn is not None:
        bare = bare.transpose(turn)
    drawn = BytesIO()
    bare.save(drawn, "JPEG", quality=quality)
    return Picture(drawn.getvalue(), *bare.size)
