"""What a camera writes beside a picture, its place above all, is in nothing that is kept."""

import struct
from io import BytesIO
from itertools import product
from typing import Final

import pytest
from PIL import Image, ImageCms

from tests.conftest import Person
from tests.pictures import (
    GPS_IFD,
    GPS_MARK,
    IPTC,
    THUMBNAIL_MARK,
    XMP,
    a_picture,
    a_segment,
    exif,
    with_segments,
    with_thumbnail,
    written,
)
from tests.web.test_photos_sending import noted, sent

ICC: Final = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
MARKS: Final = (
    b"Exif",
    b"GPS",
    GPS_MARK.encode(),
    b"xmp",
    b"Photoshop",
    b"8BIM",
    b"Alder Bend",
    b"ICC_PROFILE",
    b"sRGB",
    b"Invented",
    b"2026:11",
    THUMBNAIL_MARK,
)
KINDS: Final = (("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp"))
# Exif 2.32, 4.6.4 A: which corner of what is seen the first row and the first column of the file stand for.
RED_CORNER: Final = {
    1: "top left",
    2: "top right",
    3: "bottom right",
    4: "bottom left",
    5: "top left",
    6: "top right",
    7: "bottom right",
    8: "bottom left",
}


def fixtures() -> dict[str, tuple[bytes, str, int]]:
    """Give 50 files with much beside the picture: their bytes, type, and how the camera was held."""
    found = {}
    for orientation, (kind, media), has_profile in product(range(1, 9), KINDS, (False, True)):
        options = {"icc_profile": ICC} if has_profile else {}
        content = written(a_picture(), kind, exif=exif(orientation), xmp=XMP, **options)
        found[f"{kind}, held {orientation}{', with a profile' if has_profile else ''}"] = (
            content,
            media,
            orientation,
        )
    jpeg = written(a_picture(), exif=exif(1), comment=GPS_MARK)
    found["IPTC and a comment"] = (with_segments(jpeg, a_segment(0xED, IPTC)), "image/jpeg", 1)
    found["a thumbnail"] = (with_thumbnail(written(a_picture())), "image/jpeg", 1)
    return found


FIXTURES: Final = fixtures()


def test_there_are_fifty_of_them_and_each_holds_what_must_go() -> None:
    assert len(FIXTURES) == 50
    for name, (content, _, orientation) in FIXTURES.items():
        assert any(mark in content for mark in MARKS), name
        if name.startswith(("JPEG", "PNG", "WEBP")):
            with Image.open(BytesIO(content)) as image:
                assert image.getexif().get_ifd(GPS_IFD) and image.getexif()[0x0112] == orientation, name


@pytest.mark.parametrize("name", FIXTURES)
def test_nothing_of_it_is_in_what_is_kept(owner: Person, name: str) -> None:
    content, media, _ = FIXTURES[name]
    photo = noted(owner, content, media=media)["body"]["hash"]
    assert sent(owner, content, media).status_code == 200

    kept = owner.client.get(f"/api/photos/{photo}").data

    assert [mark for mark in MARKS if mark.lower() in kept.lower()] == []
    assert markers(kept) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}  # JFIF, tables, frame, scan: ITU-T T.81, table B.1
    with Image.open(BytesIO(kept)) as image:
        assert not dict(image.getexif()) and not image.info.keys() - {
            "jfif",
            "jfif_version",
            "jfif_unit",
            "jfif_density",
        }


@pytest.mark.parametrize("orientation", RED_CORNER)
def test_the_picture_stands_upright(owner: Person, orientation: int) -> None:
    content, media, _ = FIXTURES[f"JPEG, held {orientation}"]
    photo = noted(owner, content)["body"]["hash"]
    sent(owner, content, media)

    with Image.open(BytesIO(owner.client.get(f"/api/photos/{photo}").data)) as image:
        assert image.size == ((64, 48) if orientation < 5 else (48, 64))
        assert red_corner(image) == RED_CORNER[orientation]


def test_what_was_clear_is_white(owner: Person) -> None:
    content = written(Image.new("RGBA", (32, 32), (255, 0, 0, 0)), "PNG")
    photo = noted(owner, content, media="image/png")["body"]["hash"]
    sent(owner, content, "image/png")

    with Image.open(BytesIO(owner.client.get(f"/api/photos/{photo}").data)) as image:
        assert image.getpixel((16, 16)) == (255, 255, 255)


def markers(jpeg: bytes) -> set[int]:
    """Give the markers of a JPEG up to its scan."""
    found: set[int] = set()
    at = 2
    while not found & {0xDA}:
        assert jpeg[at] == 0xFF
        found.add(jpeg[at + 1])
        at += 2 + struct.unpack(">H", jpeg[at + 2 : at + 4])[0]
    return found


def red_corner(image: Image.Image) -> str:
    """Say in which corner the red quarter is."""
    corners = {
        f"{row} {column}": image.getpixel((x, y))
        for row, y in (("top", 4), ("bottom", image.height - 5))
        for column, x in (("left", 4), ("right", image.width - 5))
    }
    reds = [name for name, pixel in corners.items() if isinstance(pixel, tuple) and pixel[0] > 150 > pixel[1]]
    assert len(reds) == 1, corners
    return reds[0]
