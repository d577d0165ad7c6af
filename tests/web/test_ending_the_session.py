"""DELETE /api/session."""

from typing import Any

import pytest

from tests.builders import an_arrival_check
from tests.conftest import OUR_PAGE, Person


def end(person: Person, headers: dict[str, str] = OUR_PAGE, media: str = "application/json") -> Any:
    """End somebody's session as a page of the site does."""
    return person.client.delete("/api/session", headers=headers, content_type=media)


def test_the_session_is_ended_on_the_server_and_the_cookie_forgotten(owner: Person, stranger: Person) -> None:
    cookie = owner.client.get_cookie("fieldlog")
    assert cookie is not None

    answer = end(owner)

    stranger.client.set_cookie("fieldlog", cookie.value)
    assert (answer.status_code, answer.json) == (200, {"signed_in": False})
    assert owner.client.get_cookie("fieldlog") is None
    assert stranger.client.get("/api/records").status_code == 401


def test_a_stranger_is_answered_alike(stranger: Person) -> None:
    answer = end(stranger)

    assert (answer.status_code, answer.json) == (200, {"signed_in": False})


@pytest.mark.parametrize(
    "headers", [{}, {"Sec-Fetch-Site": "cross-site"}, {"Origin": "https://elsewhere.example"}]
)
def test_another_site_ends_nobodys_session(owner: Person, headers: dict[str, str]) -> None:
    assert end(owner, headers).status_code == 403
    assert owner.client.get("/api/records").status_code == 200


@pytest.mark.parametrize("media", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_what_a_form_could_send_ends_nobodys_session(owner: Person, media: str) -> None:
    assert end(owner, media=media).status_code == 415
    assert owner.client.get("/api/records").status_code == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH"])
def test_another_method_is_refused(owner: Person, method: str) -> None:
    answer = owner.client.open("/api/session", method=method, json={}, headers=OUR_PAGE)

    assert answer.status_code == 405
    assert owner.client.get("/api/records").status_code == 200


def test_other_sessions_and_all_records_stay(owner: Person, colleague: Person) -> None:
    colleague.send(an_arrival_check())

    end(owner)

    page = colleague.client.get("/api/records").json
    assert page is not None and len(page["records"]) == 1
