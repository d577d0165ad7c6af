"""Does the box hold it: /box.

BF1 to BF6 are worked examples of NEC 314.16(B). BF1 to BF5 are published; the total of BF2b and the sum of
BF6 are derived from the clauses. Each case names its own source.
"""

import re
from fractions import Fraction
from html import escape
from typing import Any
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient

from fieldlog.store.session import Store
from tests.conftest import Person
from tests.web.maps import draw_a_rig, keep_version, last_map
from tests.web.opened import form_of
from tests.web.test_access import everything

BOX = {"edition": "2017", "volume_in3": "18", "conductors.12": "4", "clamps": "no"}
BF1 = {**BOX, "grounds.12": "2", "devices.12": "1", "clamps": "yes"}
BF2 = {
    "edition": "2017",
    "volume_in3": "21.0",
    "conductors.14": "4",
    "conductors.12": "2",
    "grounds.14": "2",
    "grounds.12": "1",
    "clamps": "yes",
}
BF3 = {
    "edition": "2017",
    "volume_in3": "30.3",
    "conductors.12": "7",
    "conductors.10": "2",
    "grounds.10": "1",
    "isolated_grounds.12": "1",
    "devices.12": "1",
    "clamps": "no",
}
BF5 = {**BF1, "volume_in3": "42", "conductors.12": "12", "devices.12": "2"}
BF6 = {"volume_in3": "20", "grounds.10": "1", "grounds.12": "4", "clamps": "no"}


def address(fields: Any) -> str:
    return "/box?" + urlencode(fields, doseq=True)


def words_of(page: str) -> str:
    """Give the text of a page without its marks."""
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def answered(client: FlaskClient, fields: dict[str, str]) -> str:
    """Give the words of the page that says whether a box holds it."""
    answer = client.get(address(fields))
    assert answer.status_code == 200, words_of(answer.text)
    return words_of(answer.text)


def refused(client: FlaskClient, fields: Any) -> dict[str, str]:
    """Give what stands at each field of a page that refuses something, by the field's id."""
    answer = client.get(address(fields))
    assert answer.status_code == 400
    assert "It holds it" not in answer.text and "Too full" not in answer.text
    assert "Something has to be put right below. What you typed is kept." in answer.text
    found = re.findall(r'<p class="problem" id="([^"]+)-problem"[^>]*>([^<]+)</p>', answer.text)
    return {name: words for name, words in found if words.strip()}


@pytest.mark.parametrize(
    ("source", "fields", "said"),
    [
        ("BF1: NEC 314.16(B), published: 18.0 fits 18.0", BF1, "It holds it 18 of 18 in³."),
        (
            "BF2: NEC 314.16(B), published: 21.5 does not fit 21.0",
            {**BF2, "devices.12": "1"},
            "Too full by 0.5 in³ 21.5 in³ in a box of 21 in³: a larger box is needed.",
        ),
        (
            "BF2b: NEC 314.16(B)(4), derived: on 14 AWG alone 21.0 fits",
            {**BF2, "devices.14": "1"},
            "It holds it 21 of 21 in³.",
        ),
        ("BF3: NEC 314.16(B), published: 30.0 fits 30.3", BF3, "It holds it 30 of 30.3 in³."),
        (
            "BF4: NEC Table 314.16(A), published: nine in 21.0",
            {**BOX, "volume_in3": "21", "conductors.12": "9"},
            "It holds it 20.25 of 21 in³.",
        ),
        (
            "BF4: NEC Table 314.16(A), published: no tenth in 21.0; its 2.25 are of Table 314.16(B)(1)",
            {**BOX, "volume_in3": "21", "conductors.12": "10"},
            "Too full by 1.5 in³ 22.5 in³ in a box of 21 in³",
        ),
        ("BF5: NEC 314.16(B), published: eight more fit 42.0", BF5, "It holds it 40.5 of 42 in³."),
        (
            "BF5: NEC 314.16(B), published: a ninth does not",
            {**BF5, "conductors.12": "13"},
            "Too full by 0.75 in³ 42.75 in³ in a box of 42 in³",
        ),
        (
            "BF6: NEC 314.16(B)(5), 2020; sum derived: 3.125 for five grounds",
            {**BF6, "edition": "2020"},
            "It holds it 3.125 of 20 in³.",
        ),
        (
            "BF6: NEC 314.16(B)(5), 2017: 2.50 for five grounds",
            {**BF6, "edition": "2017"},
            "It holds it 2.5 of 20 in³.",
        ),
    ],
    ids=lambda part: part[:4] if isinstance(part, str) and part.startswith("BF") else "",
)
def test_the_worked_examples_come_out_as_printed(
    client: FlaskClient, source: str, fields: dict[str, str], said: str
) -> None:
    assert said in answered(client, fields), source


def test_each_part_stands_with_its_cubic_inches_its_source_and_what_the_answer_is_not(
    client: FlaskClient,
) -> None:
    """BF2, NEC 314.16(B), published: 12.5 + 2.25 + 2.25 + 4.5."""
    words = answered(client, {**BF2, "devices.12": "1"})

    assert (
        "Wires 12.5 in³ Clamps 2.25 in³ Devices 4.5 in³ Grounds 2.25 in³ Together 21.5 in³ The box 21 in³"
        in words
    )
    assert "Source: NEC 314.16(B) and Table 314.16(B)(1), edition of 2017." in words
    assert (
        "Advice, not a verdict of law: the local code and a licensed electrician decide. " in words
        and "Entered by the owner, not an inspection." in words
    )


def test_the_first_visit_has_answered_nothing_beforehand(client: FlaskClient) -> None:
    answer = client.get("/box")
    fields = form_of(answer.text, "/box")

    assert answer.status_code == 200
    assert {name: value for name, value in fields.items() if value} == {}
    assert {"volume_in3", "supports", "conductors.14", "grounds.6", "terminal_blocks.18"} <= set(fields)
    assert 'name="csrf_token"' not in answer.text
    assert "The local code decides which edition holds." in answer.text
    assert "Before a box is opened: breaker off, cord unplugged." in answer.text
    assert 'role="alert"' not in answer.text and "checked" not in answer.text


def test_after_an_answer_all_that_was_typed_stands_in_the_form(client: FlaskClient) -> None:
    typed = {
        **BF1,
        "volume_in3": " 20,30 in³",
        "conductors.18": "1",
        "supports": "1",
        "terminal_blocks.8": "",
    }
    page = client.get(address(typed))
    fields = form_of(page.text, "/box")

    assert page.status_code == 200
    assert {name: fields[name] for name in typed} == {**typed, "edition": ["2017"], "clamps": ["yes"]}


@pytest.mark.parametrize("volume", ["20.3", "20,3", " 20.30 ", "20.3 in³", "20.3in3", "020.3"])
def test_a_volume_may_be_written_with_comma_dot_and_unit(client: FlaskClient, volume: str) -> None:
    """9 in³ for four wires of 12 AWG: NEC Table 314.16(B)(1)."""
    assert "It holds it 9 of 20.3 in³." in answered(client, {**BOX, "volume_in3": volume})


def test_cubic_inches_are_told_without_the_noise_of_binary_fractions(client: FlaskClient) -> None:
    """By hand, NEC Table 314.16(B)(1) and (B)(5): 2.25 and three quarters of it; 3.9375 less 3.3."""
    fields = {"edition": "2020", "volume_in3": "3,3", "grounds.12": "7", "clamps": "no"}

    assert "Too full by 0.6375 in³ 3.9375 in³ in a box of 3.3 in³" in answered(client, fields)


def test_nothing_is_lost_on_a_bad_number(client: FlaskClient) -> None:
    typed = {**BF2, "volume_in3": "about 20", "conductors.6": "2½", "devices.12": "one", "supports": "-1"}
    fields = form_of(client.get(address(typed)).text, "/box")

    assert {name: fields[name] for name in typed} == {**typed, "edition": ["2017"], "clamps": ["yes"]}


WHOLE = "must be a whole number from 0 to 100."


@pytest.mark.parametrize(
    ("wrong", "name", "sentence"),
    [
        ({"edition": "2016"}, "edition", "The edition of the code is needed: choose one of 2014, 2017"),
        ({"volume_in3": ""}, "volume_in3", "The volume is needed: read it off the box"),
        ({"volume_in3": "0"}, "volume_in3", "The volume must be a number above 0 to 1000 in³."),
        ({"volume_in3": "1000.5"}, "volume_in3", "The volume must be a number above 0 to 1000 in³."),
        ({"volume_in3": "1e2"}, "volume_in3", "The volume must be a number above 0 to 1000 in³."),
        ({"volume_in3": "inf"}, "volume_in3", "The volume must be a number above 0 to 1000 in³."),
        ({"conductors.10": "1.5"}, "conductors.10", f"Wires of 10 AWG {WHOLE}"),
        ({"conductors.18": "101"}, "conductors.18", f"Wires of 18 AWG {WHOLE}"),
        ({"grounds.6": "two"}, "grounds.6", f"Grounds of 6 AWG {WHOLE}"),
        ({"isolated_grounds.16": "-1"}, "isolated_grounds.16", f"Isolated grounds of 16 AWG {WHOLE}"),
        ({"devices.12": "٣"}, "devices.12", f"Devices on 12 AWG {WHOLE}"),
        ({"terminal_blocks.8": "x"}, "terminal_blocks.8", f"Terminal blocks on 8 AWG {WHOLE}"),
        ({"supports": "0.5"}, "supports", f"Kinds of studs and hickeys {WHOLE}"),
        ({"clamps": ""}, "clamps", "Clamps: say whether there are any inside, choose yes or no."),
        ({"clamps": "maybe"}, "clamps", "Clamps: say whether there are any inside, choose yes or no."),
        ({"conductors.12": ""}, "conductors.14", "Nothing is noted in the box."),
        ({"conductors.12": "0"}, "conductors.14", "Nothing is noted in the box."),
        (
            {"conductors.12": "", "devices.12": "1", "clamps": "yes"},
            "clamps",
            "Clamps count as the largest wire in the box, and no wire is noted. Note the wires.",
        ),
        (
            {"conductors.12": "", "devices.12": "1", "supports": "1"},
            "supports",
            "Kinds of studs and hickeys count as the largest wire in the box, and no wire is noted.",
        ),
    ],
)
def test_a_bad_field_is_named_where_it_stands(
    client: FlaskClient, wrong: dict[str, str], name: str, sentence: str
) -> None:
    found = refused(client, {**BOX, **wrong})

    assert set(found) == {name}
    assert sentence in found[name]


def test_every_bad_field_is_named_at_once(client: FlaskClient) -> None:
    found = refused(client, {"conductors.14": "4.5", "conductors.10": "1", "grounds.8": "x", "supports": "y"})

    assert set(found) == {"edition", "volume_in3", "conductors.14", "grounds.8", "supports", "clamps"}


def test_a_bad_field_of_a_seldom_gauge_is_not_folded_away(client: FlaskClient) -> None:
    page = client.get(address({**BOX, "grounds.6": "x"})).text
    folds = re.findall(r'<details class="more"( open)?>.*?</details>', page, flags=re.DOTALL)
    bodies = re.findall(r'<details class="more"(?: open)?>(.*?)</details>', page, flags=re.DOTALL)

    assert ["grounds.6-problem" in body for body in bodies] == [bool(is_open) for is_open in folds]


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ([("edition", "2020")], "The edition: given more than once in the address."),
        ([("volume_in3", "18")], "The volume: given more than once in the address."),
        ([("conductors.12", "4")] * 500, "Wires of 12 AWG: given more than once in the address."),
        ([("clamps", "yes")], "Clamps: given more than once in the address."),
    ],
)
def test_what_is_given_twice_is_refused(
    client: FlaskClient, given: list[tuple[str, str]], sentence: str
) -> None:
    found = refused(client, [*BOX.items(), *given])

    assert set(found) == {given[0][0]}
    assert sentence in found[given[0][0]]


@pytest.mark.parametrize("name", [*BOX, "grounds.6", "supports"])
def test_a_huge_or_unreadable_entry_is_refused_and_breaks_nothing(client: FlaskClient, name: str) -> None:
    for huge in ("9" * 5000, "9" * 300 + ".5", "1" + "0" * 400, "x" * 100_000, "\0", "\ud800"):
        query = urlencode({**BOX, name: huge}, errors="surrogatepass")
        answer = client.get(f"/box?{query}")

        assert answer.status_code == 400, huge[:9]
        assert "Something has to be put right below." in answer.text


def test_a_thousand_unknown_arguments_are_no_question(client: FlaskClient) -> None:
    assert refused(client, {f"name{number}": "x" for number in range(1000)}).keys() >= {
        "edition",
        "volume_in3",
    }


@pytest.mark.parametrize(
    "name", ["volume_in3", "conductors.12", "grounds.6", "supports", "edition", "clamps"]
)
def test_hostile_text_is_only_text(client: FlaskClient, name: str) -> None:
    hostile = "\"><script>alert('1')</script>{{ 7*7 }}"
    page = client.get(address({**BOX, name: hostile})).text

    assert "<script>alert" not in page and "49" not in words_of(page)
    if name not in ("edition", "clamps"):  # of choices only a known one can be shown
        assert form_of(page, "/box")[name] == hostile
        assert escape(hostile, quote=True).split("&#x27;")[0] in page.replace("&#34;", "&quot;")


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_the_page_takes_no_other_method(client: FlaskClient, method: str) -> None:
    answer = client.open("/box", method=method, data=BF1)

    assert answer.status_code == 405
    assert "It holds it" not in answer.text


def test_a_stranger_and_somebody_signed_in_see_the_same_and_nothing_is_kept(
    owner: Person, stranger: Person, store: Store
) -> None:
    before = everything(store)
    for path in ("/box", address(BF1), address({**BF1, "volume_in3": "x"})):
        answers = [person.client.get(path) for person in (stranger, owner)]

        assert answers[0].text == answers[1].text
        assert answers[0].headers.getlist("Set-Cookie") == []
        assert answers[0].headers["Cache-Control"] == "no-store"
    assert everything(store) == before


def test_a_metal_box_without_a_mark_is_found_by_its_measures(client: FlaskClient) -> None:
    """NEC Table 314.16(A), rows as printed."""
    words = words_of(client.get("/box").text)

    for row in ("Device box 3 × 2 × 3½ 18 in³", "Square 4 × 1½ 21 in³", "Square 4¹¹⁄₁₆ × 2⅛ 42 in³"):
        assert row in words
    assert "Round or octagon 4 × 2⅛ 21.5 in³" in words


def test_the_measures_of_a_box_multiplied_give_more_than_the_code_grants(client: FlaskClient) -> None:
    """NEC Table 314.16(A), each row: why the page says not to multiply."""
    rows = re.findall(r"<dt>(\D+ )([^<]+)</dt><dd>([\d.]+) in³</dd>", client.get("/box").text)
    parts = {"⅛": "1/8", "¼": "1/4", "½": "1/2", "¹¹⁄₁₆": "11/16", "¾": "3/4", "⅞": "7/8"}

    def inches(text: str) -> Fraction:
        whole, part = re.fullmatch(r"(\d)(\D*|¹¹⁄₁₆)", text).groups()  # type: ignore[union-attr] # a wrong row may fail
        return int(whole) + Fraction(parts[part] if part else 0)

    assert len(rows) == 18
    for shape, measures, in3 in rows:
        sides = [inches(text) for text in measures.split(" × ")]
        across = sides[:1] if "Device" not in shape else []
        product = Fraction(1)
        for side in (*across, *sides):
            product *= side
        assert product > Fraction(in3), (shape, measures)


def test_the_page_of_a_junction_or_an_outlet_on_the_map_leads_here(owner: Person, store: Store) -> None:
    drawn = draw_a_rig(owner)
    body = last_map(store, owner)
    body["parts"].append({"id": "j1", "kind": "junction", "name": "Under the bunk"})
    body["runs"].append({"from": "b1", "to": "j1"})
    keep_version(owner, drawn, drawn.first, body)

    leads = {
        part: 'href="/box"' in owner.client.get(drawn.part(part)).text for part in ("j1", "g1", "r1", "b1")
    }

    assert leads == {"j1": True, "g1": True, "r1": True, "b1": False}
