"""What is the same for everybody travels packed and is fetched once; what is somebody's is left as it is."""

import gzip
from collections.abc import Callable
from pathlib import Path
from typing import Any

import brotli
import pytest
from flask.testing import FlaskClient

from tests.conftest import Person

PACKS = {"Accept-Encoding": "gzip, deflate, br"}
FOR_EVERYBODY = [
    "/",
    "/arrive",
    "/sw.js",
    "/rulebook.json",
    "/rig-rules.json",
    "/openapi.json",
    "/static/joined/js/main.js",
    "/static/joined/css/main.css",
]


@pytest.mark.parametrize(
    ("taken", "way", "unpacked"),
    [(PACKS["Accept-Encoding"], "br", brotli.decompress), ("gzip, deflate", "gzip", gzip.decompress)],
)
@pytest.mark.parametrize("path", FOR_EVERYBODY)
def test_it_is_packed_for_a_browser_that_takes_it_and_is_the_same_content(
    client: Any, path: str, taken: str, way: str, unpacked: Callable[[bytes], bytes]
) -> None:
    plain, packed = client.get(path), client.get(path, headers={"Accept-Encoding": taken})

    assert (plain.content_encoding, packed.content_encoding) == (None, way)
    assert unpacked(packed.data) == plain.data
    assert len(packed.data) < len(plain.data) / 2
    assert {plain.headers["Vary"], packed.headers["Vary"]} == {"Accept-Encoding"}


@pytest.mark.parametrize("path", FOR_EVERYBODY)
def test_what_the_browser_has_is_not_sent_again_however_it_travelled(client: Any, path: str) -> None:
    tag = client.get(path, headers=PACKS).headers["ETag"]

    for headers in (PACKS, {}):
        again = client.get(path, headers=headers | {"If-None-Match": tag})
        assert (again.status_code, again.data) == (304, b"")


@pytest.mark.parametrize("refused", ["identity", "gzip;q=0, br;q=0", "zstd"])
def test_a_program_that_does_not_take_it_gets_the_plain_content(client: Any, refused: str) -> None:
    answer = client.get("/rulebook.json", headers={"Accept-Encoding": refused})

    assert answer.content_encoding is None
    assert answer.json["id"].startswith("sha256:")


def test_pictures_are_sent_as_they_are(client: Any) -> None:
    answer = client.get("/static/icons/sign-512.png", headers=PACKS)

    assert (answer.content_encoding, answer.mimetype) == (None, "image/png")


@pytest.mark.parametrize("path", ["/rigs", "/history", "/api/records", "/api/session"])
def test_what_is_somebodys_is_never_packed(owner: Person, path: str) -> None:
    answer = owner.client.get(path, headers=PACKS)

    assert answer.status_code == 200
    assert answer.content_encoding is None


@pytest.mark.parametrize("name", ["../README.md", "..%2fREADME.md", "js", "nothing.js", "js/../../README.md"])
def test_only_files_under_static_are_given(client: Any, name: str) -> None:
    assert client.get(f"/static/{name}").status_code == 404


def test_a_file_that_changed_is_given_as_it_is_now(client: FlaskClient, tmp_path: Path) -> None:
    client.application.static_folder = str(tmp_path)
    file = tmp_path / "tent.js"
    file.write_text("// pegs\n" * 400)
    tag = client.get("/static/tent.js", headers=PACKS).headers["ETag"]
    file.write_text("// poles\n" * 400)
    answer = client.get("/static/tent.js", headers=PACKS | {"If-None-Match": tag})

    assert answer.status_code == 200
    assert brotli.decompress(answer.data).startswith(b"// poles")
