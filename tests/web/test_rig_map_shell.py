"""The map of a rig on the phone is a shell: the same for everybody, and nobody's data in it."""

from tests.builders import a_rig, an_id
from tests.conftest import Person


def test_the_map_of_any_rig_is_the_page_that_phones_keep(owner: Person, stranger: Person) -> None:
    rig = a_rig("Secret name")
    owner.send(rig)
    ours, theirs = owner.client.get(f"/rigs/{rig['id']}/map"), stranger.client.get(f"/rigs/{an_id()}/map")
    kept = stranger.client.get("/rigs/map-shell")

    assert ours.status_code == theirs.status_code == kept.status_code == 200
    assert ours.text == theirs.text == kept.text
    assert "<fl-rig-map" in kept.text
    assert "Secret name" not in ours.text
    assert "csrf" not in ours.text
    assert "Set-Cookie" not in ours.headers


def test_it_may_be_kept_by_the_browser(stranger: Person) -> None:
    answer = stranger.client.get("/rigs/map-shell")

    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.headers["ETag"]


def test_it_is_only_read_and_only_at_an_id(owner: Person) -> None:
    assert owner.client.post(f"/rigs/{an_id()}/map").status_code == 405
    assert owner.client.get("/rigs/nonsense/map").status_code == 404


def test_the_page_of_an_outlet_begins_with_its_story(stranger: Person) -> None:
    page = stranger.client.get(f"/outlets/{an_id()}").text

    assert 0 < page.index("<fl-outlet-story") < page.index("<fl-check")
