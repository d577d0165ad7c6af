"""/judged: what today's rules say otherwise of checks that were judged before."""

import html

from fieldlog import rulebook
from fieldlog.store.session import Store
from fieldlog.sync.judging_again import judge_all
from tests.builders import a_check, an_arrival_check
from tests.conftest import Person

REVERSED = {"h-n": "120.0 V", "h-g": "0.3 V", "n-g": "120.0 V"}


def judge(store: Store) -> None:
    for _ in judge_all(store, rulebook.load(), lambda first, newest: None):
        pass


def test_until_it_was_asked_the_page_says_that_it_was_not(owner: Person) -> None:
    page = owner.client.get("/judged").text

    assert "Not every check was judged again yet" in page and "fieldlog judge --all" in page


def test_what_differs_is_shown_to_its_owner_alone(owner: Person, colleague: Person, store: Store) -> None:
    bad = an_arrival_check(check=a_check(volts=REVERSED), park="Alder Bend")
    owner.send(bad, an_arrival_check(park="Birch Cove"))
    judge(store)

    page = html.unescape(owner.client.get("/judged").text)

    assert page.count("data-worse") == 1
    assert "It stood as usable." in page and "It said use; by today’s rules: do not use." in page
    assert f'href="/history/{bad["id"]}"' in page and "Birch Cove" not in page
    assert "none of yours comes out otherwise" in colleague.client.get("/judged").text


def test_a_check_that_was_corrected_since_is_not_shown(owner: Person, store: Store) -> None:
    bad = an_arrival_check(check=a_check(volts=REVERSED))
    owner.send(bad)
    judge(store)
    owner.send(an_arrival_check(corrects=bad["id"], reason="Hot and ground were swapped"))

    assert "data-worse" not in owner.client.get("/judged").text


def test_the_wrong_person_signs_in_first_and_no_other_method_is_taken(
    owner: Person, stranger: Person
) -> None:
    assert stranger.client.get("/judged").status_code == 303
    assert owner.client.post("/judged").status_code == 405
    assert owner.client.get("/judged?before=x").status_code == 200
