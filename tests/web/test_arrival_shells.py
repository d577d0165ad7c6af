"""Field pages are static shells: the same for everybody, and nobody's data or token in them."""

import pytest

from tests.builders import an_id
from tests.conftest import Person

SHELLS = [
    "/",
    "/arrive",
    "/phone",
    "/phone/try",
    "/round",
    "/sites",
    "/sign-out",
    f"/checks/{an_id()}",
    f"/outlets/{an_id()}",
]


@pytest.mark.parametrize("path", SHELLS)
def test_a_shell_is_the_same_for_everybody(owner: Person, stranger: Person, path: str) -> None:
    ours, theirs = owner.client.get(path), stranger.client.get(path)

    assert ours.status_code == theirs.status_code == 200
    assert ours.text == theirs.text
    assert "csrf" not in ours.text
    assert "Set-Cookie" not in ours.headers


@pytest.mark.parametrize("path", SHELLS)
def test_a_shell_may_be_kept_by_the_browser(stranger: Person, path: str) -> None:
    answer = stranger.client.get(path)

    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.headers["ETag"]


def test_pages_without_script_point_to_the_plain_form(stranger: Person) -> None:
    for path in ("/", "/arrive"):
        page = stranger.client.get(path).text

        assert "/arrive/plain" in page.split("<noscript>", 1)[1].split("</noscript>", 1)[0]


def test_the_arrival_check_asks_for_every_sign_that_the_rulebook_knows(stranger: Person) -> None:
    page = stranger.client.get("/arrive").text

    for sign in (
        "burned",
        "wet",
        "warm",
        "buzzing",
        "tingle",
        "breaker-will-not-hold",
        "cracked",
        "loose",
        "cover-missing",
    ):
        assert f'name="look" value="{sign}"' in page


@pytest.mark.parametrize("path", ["/checks/nonsense", "/outlets/1"])
def test_an_address_that_is_no_id_is_not_there(stranger: Person, path: str) -> None:
    assert stranger.client.get(path).status_code == 404
