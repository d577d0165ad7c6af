"""Files that are no photos, or more than that: none is kept, and none takes the server down."""

import hashlib
import json
import subprocess
import sys
import zipfile
import zlib
from io import BytesIO
from pathlib import Path
from typing import Final

import pytest
from flask import Flask

from fieldlog.store.session import Store
from tests.builders import a_record
from tests.conftest import OUR_PAGE, Person
from tests.pictures import (
    a_chunk,
    a_jpeg,
    a_jpeg_that_says,
    a_picture,
    a_png_that_says,
    a_segment,
    a_webp_that_says,
    with_segments,
    written,
)
from tests.repository import ROOT
from tests.web.test_photos_sending import noted, rows, sent

SVG: Final = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(document.domain)</script></svg>'
HTML: Final = b"<!doctype html><script>fetch('/api/records')</script>"
MOST_MEGABYTES: Final = 256
BEGINNINGS: Final = {b"\x89PNG": "image/png", b"RIFF": "image/webp"}


def a_zip(size: int) -> bytes:
    """Give an archive of zeros that swells to a size."""
    file = BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("zeros", bytes(size))
    return file.getvalue()


def many_scans() -> bytes:
    """Give a JPEG that asks to be drawn over a thousand times."""
    jpeg = written(a_picture(64, 64), progressive=True)
    at = jpeg.rindex(b"\xff\xda")
    return jpeg[:at] + jpeg[at:-2] * 1000 + jpeg[-2:]


def a_swelling_png(kind: bytes, keyword: bytes) -> bytes:
    """Give a PNG with a compressed text or profile of 200 MB in it."""
    deflate = zlib.compressobj(9)
    swollen = b"".join([*(deflate.compress(bytes(1024 * 1024)) for _ in range(200)), deflate.flush()])
    png = written(a_picture(), "PNG")
    return png[:33] + a_chunk(kind, keyword + b"\0\0" + swollen) + png[33:]


JPEG, PNG, WEBP = (written(a_picture(), kind) for kind in ("JPEG", "PNG", "WEBP"))
HOSTILE: Final[dict[str, bytes]] = {
    "nothing": b"",
    "one byte": b"\xff",
    "an SVG with a script": SVG,
    "an SVG behind an XML head": b'<?xml version="1.0"?>\n' + SVG,
    "an SVG behind a byte order mark": b"\xef\xbb\xbf" + SVG,
    "a page": HTML,
    "a script": b"alert(1)",
    "a program": b"\x7fELF" + bytes(200),
    "a PDF": b"%PDF-1.7\n1 0 obj<</OpenAction<</JS(app.alert(1))>>>>endobj\n%%EOF",
    "an archive": a_zip(1000),
    "an archive that swells": a_zip(64 * 1024 * 1024),
    "a GIF": written(a_picture(mode="P"), "GIF"),
    "a GIF that is a script": b"GIF89a=1;alert(1)",
    "a TIFF": written(a_picture(), "TIFF"),
    "a BMP": written(a_picture(), "BMP"),
    "an icon": written(a_picture(), "ICO"),
    "a PostScript file": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n",
    "JPEG signs before a page": b"\xff\xd8\xff" + HTML,
    "JPEG signs around a page": b"\xff\xd8\xff\xe0" + HTML + b"\xff\xd9",
    "a JPEG with a page behind it": JPEG + HTML,
    "a JPEG with an archive behind it": JPEG + a_zip(1000),
    "a PNG with a page behind it": PNG + HTML,
    "a WebP with a page behind it": WEBP + HTML,
    "a JPEG cut in half": JPEG[: len(JPEG) // 2],
    "a JPEG cut in half that ends as one": JPEG[: len(JPEG) // 2] + b"\xff\xd9",
    "a JPEG without its end": JPEG[:-2],
    "a JPEG with nothing but its ends": b"\xff\xd8\xff\xd9",
    "a PNG cut in half": PNG[: len(PNG) // 2],
    "a PNG with a wrong check": PNG[:50] + bytes([PNG[50] ^ 1]) + PNG[51:],
    "a PNG without pixels": a_png_that_says(64, 48),
    "a WebP cut in half": WEBP[: len(WEBP) // 2],
    "a WebP that is a sound": b"RIFF\x24\0\0\0WAVEfmt " + bytes(28),
    "a WebP of junk": b"RIFF\x1c\0\0\0WEBPVP8 " + b"\x10\0\0\0" + bytes(16),
    "a PNG of 41 million pixels": a_png_that_says(8200, 5000, bytes(1000)),
    "a PNG of 2500 million pixels": a_png_that_says(50000, 50000),
    "a PNG of four thousand million by one": a_png_that_says(2**31 - 1, 1),
    "a JPEG of 41 million pixels": a_jpeg_that_says(8200, 5000),
    "a JPEG of 4295 million pixels": a_jpeg_that_says(65535, 65535),
    "a JPEG of 39 million pixels that cannot be read small": a_jpeg_that_says(39000, 1000),
    "a WebP of 268 million pixels": a_webp_that_says(16383, 16383),
    "a JPEG drawn a thousand times over": many_scans(),
    "a PNG with a text that swells": a_swelling_png(b"zTXt", b"Comment"),
}


def nothing_is_kept(app: Flask, store: Store) -> bool:
    """Say whether neither the database nor the folder holds a photo."""
    folder = app.extensions["fieldlog"].settings.home.parent / "photos"
    return rows(store) == [] and not [path for path in folder.rglob("*") if path.is_file()]


@pytest.mark.parametrize("name", [name for name in HOSTILE if HOSTILE[name]])
def test_a_file_that_is_no_photo_is_refused_and_not_kept(
    app: Flask, owner: Person, store: Store, name: str
) -> None:
    content = HOSTILE[name]
    media = next((media for begin, media in BEGINNINGS.items() if content.startswith(begin)), "image/jpeg")
    noted(owner, content, media=media)

    answer = sent(owner, content, media)

    assert answer.status_code in (413, 415, 422), answer.text
    assert answer.json and answer.json["status"] == "refused"
    assert answer.json["problems"][0]["problem"].endswith(".")
    assert nothing_is_kept(app, store)


def test_an_svg_is_refused_as_another_type(owner: Person) -> None:
    noted(owner, SVG)

    assert sent(owner, SVG).status_code == 415
    assert sent(owner, SVG, "image/svg+xml").status_code == 415


@pytest.mark.parametrize("media", ["", "text/html", "image/svg+xml", "image/gif", "application/json"])
def test_a_photo_that_is_sent_as_something_else_is_refused(
    app: Flask, owner: Person, store: Store, media: str
) -> None:
    noted(owner, JPEG)

    assert sent(owner, JPEG, media).status_code == 415
    assert nothing_is_kept(app, store)


def test_a_picture_of_another_type_than_its_record_says_is_refused(
    app: Flask, owner: Person, store: Store
) -> None:
    noted(owner, PNG)

    assert sent(owner, PNG).status_code == 415
    assert nothing_is_kept(app, store)


@pytest.mark.parametrize("content", [JPEG[:-1], JPEG + b"x", PNG, b""])
def test_other_bytes_than_the_hash_says_are_refused(
    app: Flask, owner: Person, store: Store, content: bytes
) -> None:
    name = noted(owner, JPEG)["body"]["hash"]

    answer = sent(owner, content, name=name)

    assert answer.status_code == 422 and answer.json and answer.json["problems"][0]["at"] == "/hash"
    assert nothing_is_kept(app, store)


def test_another_length_than_the_record_says_is_refused(app: Flask, owner: Person, store: Store) -> None:
    photo = noted(owner, a_jpeg(8, 8))
    body = {**photo["body"], "hash": hashlib.sha256(JPEG).hexdigest(), "bytes": len(JPEG) + 1}
    owner.send(a_record("photo", body, subject=photo["subject"]))

    answer = sent(owner, JPEG)

    assert answer.json and answer.json["problems"][0]["at"] == "/bytes"
    assert nothing_is_kept(app, store)


def test_a_photo_that_no_record_speaks_of_is_refused(
    app: Flask, owner: Person, colleague: Person, store: Store
) -> None:
    noted(colleague, JPEG)

    answer = sent(owner, JPEG)

    assert answer.status_code == 422 and "send its record first" in answer.text
    assert nothing_is_kept(app, store)


@pytest.mark.parametrize(
    "name",
    ["..%2f..%2fsecret", "%2e%2e", "0" * 63, "0" * 65, "A" * 64, "g" * 64, "0" * 63 + "%0a", "C:%5cx", "*"],
)
def test_a_hash_that_is_none_leads_nowhere(app: Flask, owner: Person, store: Store, name: str) -> None:
    for method in ("GET", "PUT"):
        answer = owner.client.open(
            f"/api/photos/{name}", method=method, data=JPEG, content_type="image/jpeg", headers=OUR_PAGE
        )
        assert answer.status_code == 404, (method, answer.status_code)
    assert nothing_is_kept(app, store)


def test_more_than_twelve_megabytes_are_refused(app: Flask, owner: Person, store: Store) -> None:
    filled = a_segment(0xFE, bytes(65533))
    content = with_segments(JPEG, *[filled] * 200)
    name = hashlib.sha256(content).hexdigest()

    answer = sent(owner, content)

    assert len(content) > 12 * 1024 * 1024
    assert answer.status_code == 413 and answer.json
    assert answer.json["hash"] == name and "12 MB" in answer.json["problems"][0]["problem"]
    assert nothing_is_kept(app, store)


def test_what_hides_inside_a_right_photo_is_not_in_what_is_kept(owner: Person) -> None:
    profile = b"ICC_PROFILE\0\x01\x01" + HTML
    content = with_segments(
        JPEG, a_segment(0xE2, profile), a_segment(0xFE, b"*/=alert(1);/*"), a_segment(0xEF, SVG)
    )
    name = noted(owner, content)["body"]["hash"]

    assert sent(owner, content).status_code == 200
    kept = owner.client.get(f"/api/photos/{name}").data
    assert b"script" not in kept and b"alert" not in kept and b"ICC_PROFILE" not in kept


def test_drawing_the_worst_of_them_stays_within_the_memory(tmp_path: Path) -> None:
    worst = {
        "wide": written(a_picture(7300, 5470), quality=60, subsampling=0),
        "in passes": written(a_picture(3464, 3464), quality=60, subsampling=0, progressive=True),
        "clear": written(a_picture(2828, 2828, "LA"), "PNG"),
        "webp": written(a_picture(2236, 2236), "WEBP", lossless=True, method=0),
        "swelling": a_png_that_says(100, 100, bytes(100 * 1024 * 1024)),
        **HOSTILE,
    }
    for i, content in enumerate(worst.values()):
        (tmp_path / f"{i:02}").write_bytes(content)

    run = subprocess.run(
        [sys.executable, "-c", DRAWING, str(tmp_path)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    peak_megabytes, drawn = json.loads(run.stdout)

    assert drawn == 5
    assert peak_megabytes < MOST_MEGABYTES, peak_megabytes


DRAWING: Final = """
import json, re, sys
from pathlib import Path
import fieldlog.app
from fieldlog.errors import BadInput
from fieldlog.sync.pictures import drawn_anew
drawn = 0
for path in sorted(Path(sys.argv[1]).iterdir()):
    try:
        drawn += bool(drawn_anew(path.read_bytes()).content)
    except BadInput:
        pass
# what getrusage tells starts with the peak of the program that started this one
peak = re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())
print(json.dumps([int(peak[1]) / 1024, drawn]))
"""
