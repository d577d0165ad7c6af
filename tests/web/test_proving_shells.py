"""The pages on which a change is proved and grounds are shown are static shells, the same for everybody."""

import pytest

from fieldlog.web.use_cases import kept_pages
from tests.builders import an_id
from tests.conftest import Person

SHELLS = ["/changes/new", "/changes/shell", f"/changes/{an_id()}", "/grounds"]


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


def test_the_page_kept_for_every_change_is_that_of_each(stranger: Person) -> None:
    assert stranger.client.get("/changes/shell").data == stranger.client.get(f"/changes/{an_id()}").data


def test_the_page_kept_for_grounds_is_that_of_changes(stranger: Person) -> None:
    assert kept_pages()["^/grounds$"] == "/changes/shell"
    assert stranger.client.get("/grounds").data == stranger.client.get("/changes/shell").data


@pytest.mark.parametrize("path", ["/changes/nonsense", "/changes/1", "/changes"])
def test_an_address_that_is_no_id_is_not_there(stranger: Person, path: str) -> None:
    assert stranger.client.get(path).status_code == 404


@pytest.mark.parametrize("path", SHELLS)
def test_a_shell_takes_nothing_in(owner: Person, path: str) -> None:
    assert owner.client.post(path).status_code == 405


def test_nothing_is_filled_in_beforehand(stranger: Person) -> None:
    page = stranger.client.get("/changes/new").text

    assert "checked" not in page
    assert 'value="' not in page.split("<fl-new-change", 1)[1].replace('value=""', "")
