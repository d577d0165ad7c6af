"""Signing out without script: /sign-out/plain; with script the page /sign-out asks first."""

import pytest

from tests.builders import an_arrival_check
from tests.conftest import Person


def test_signing_out_ends_the_session_on_the_server(owner: Person, stranger: Person) -> None:
    cookie = owner.client.get_cookie("fieldlog")
    assert cookie is not None

    answer = owner.submit("/sign-out/plain")

    stranger.client.set_cookie("fieldlog", cookie.value)
    assert (answer.status_code, answer.location) == (303, "/sign-in")
    assert owner.client.get_cookie("fieldlog") is None
    assert stranger.client.get("/api/records").status_code == 401


def test_looking_at_the_page_signs_nobody_out(owner: Person) -> None:
    owner.client.get("/sign-out/plain")

    assert owner.client.get("/api/records").status_code == 200


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_another_method_is_refused(owner: Person, method: str) -> None:
    assert owner.client.open("/sign-out/plain", method=method).status_code in (400, 405)
    assert owner.client.get("/api/records").status_code == 200


def test_another_site_cannot_sign_anybody_out(owner: Person) -> None:
    assert owner.client.post("/sign-out/plain").status_code == 400
    assert owner.client.get("/api/records").status_code == 200


def test_a_stranger_may_sign_out_too(stranger: Person) -> None:
    assert stranger.submit("/sign-out/plain").status_code == 303


def test_others_stay_signed_in_and_records_stay_kept(owner: Person, colleague: Person) -> None:
    colleague.send(an_arrival_check())

    owner.submit("/sign-out/plain")

    page = colleague.client.get("/api/records").json
    assert page is not None and len(page["records"]) == 1


def test_the_page_that_asks_first_points_a_browser_without_script_to_the_plain_form(owner: Person) -> None:
    page = owner.client.get("/sign-out").text

    assert 'href="/sign-out/plain"' in page.split("<noscript>", 1)[1].split("</noscript>", 1)[0]
    assert owner.client.post("/sign-out").status_code in (400, 405)
    assert owner.client.get("/api/records").status_code == 200
