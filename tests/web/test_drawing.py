"""The drawing of a wiring: the same in Python and in the script, and true to what is joined to what."""

import json
import re
import subprocess
from itertools import product
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from flask import Flask, render_template_string

from fieldlog.web.layout import drawing
from tests.node import node_program

ROOT = Path(__file__).resolve().parents[2]
WORDS: dict[str, Any] = json.loads((ROOT / "schemas/words.json").read_text(encoding="utf-8"))
FAMILIES: dict[str, Any] = json.loads((ROOT / "schemas/rulebook.json").read_text(encoding="utf-8"))[
    "families"
]
THREE, FOUR = ["h", "n", "g"], ["x", "y", "n", "g"]
PLAIN = {"bonded": False, "load": False, "leak": False, "floating": False, "energised": True}
FLAGS: list[dict[str, Any]] = [
    {},
    {"bonded": True},
    {"load": True},
    {"leak": True},
    {"floating": True},
    {"energised": False},
    {"loose": "H"},
    {"loose": "X"},
    {"loose": "N"},
    {"lost_neutral": "source"},
    {"lost_neutral": "service"},
]
NODE = f"""
import {{ readFileSync }} from "node:fs";
import {{ drawingFigure, drawingText, figureText }} from "{(ROOT / "static/js/check/drawing.js").as_uri()}";
const [words, lines] = JSON.parse(readFileSync(0, "utf8"));
console.log(JSON.stringify(lines.map(([variants, contacts]) => [
  drawingFigure(variants, contacts, words).text,
  figureText(variants, contacts, words),
  drawingText(variants[0], contacts, words),
])));
"""


def variant(joins: str, **flags: Any) -> dict[str, Any]:
    return {"joins": joins, **PLAIN, "loose": "", "lost_neutral": "", **flags}


def every_wiring() -> list[tuple[list[dict[str, Any]], list[str]]]:
    named = [(w["variants"], f["contacts"]) for f in FAMILIES.values() for w in f["wirings"]]
    flagged = [
        ([variant(right, **flags)], contacts)
        for right, contacts in (("HNG", THREE), ("HXNG", FOUR))
        for flags in FLAGS
        if not (flags.get("loose") == "X" and contacts == THREE)
    ]
    joined = [([variant("".join(letters))], THREE) for letters in product("HXNG-", repeat=3)]
    return [
        *named,
        *flagged,
        *joined,
        *([([variant("".join(four))], FOUR) for four in product("HX-D", "XHND", "NHG-", "GN-")]),
    ]


def svg(one: dict[str, Any], contacts: list[str]) -> str:
    return str(drawing.drawing_svg(one, contacts, WORDS))


def test_python_and_script_make_the_same_drawing_and_the_same_words() -> None:
    sought = every_wiring()
    done = subprocess.run(
        [node_program(), "--input-type=module", "-e", NODE],
        input=json.dumps([WORDS, sought]),
        capture_output=True,
        text=True,
        check=True,
        encoding="utf-8",
    )

    assert json.loads(done.stdout) == [
        [
            str(drawing.drawing_figure(variants, contacts, WORDS)),
            drawing.figure_text(variants, contacts, WORDS),
            drawing.drawing_text(variants[0], contacts, WORDS),
        ]
        for variants, contacts in sought
    ]


def test_a_line_arrives_at_every_joined_contact_and_at_no_other() -> None:
    for variants, contacts in every_wiring():
        for one in variants:
            wires = re.findall(r'<path class="drawing__wire [^"]*" d="([^"]*)"', svg(one, contacts))
            arrived = re.findall(rf"(\d+)(?:H\d+M\d+ \d+)?H{drawing.EDGE}", " ".join(wires))
            rows = drawing.ROWS["split-phase" if len(contacts) == 4 else "three-wire"]

            joined = [c for c, join in zip(contacts, one["joins"], strict=True) if join != "-"]
            assert sorted(int(row) for row in arrived) == sorted(rows[contact] for contact in joined), one


@pytest.mark.parametrize(
    ("joins", "contact", "kind"),
    [("NHG", "h", "neutral"), ("NHG", "n", "hot"), ("GNH", "g", "hot"), ("HXG", "n", "other")],
)
def test_a_contact_is_drawn_on_the_conductor_that_it_is_joined_to(
    joins: str, contact: str, kind: str
) -> None:
    ways = re.findall(r'drawing__wire--(\w+)" d="([^"]*)"', svg(variant(joins), THREE))
    arriving = f" {drawing.ROWS['three-wire'][contact]}H{drawing.EDGE}"

    assert [found for found, way in ways if arriving in way] == [kind]


def test_an_open_contact_has_a_gap_a_cross_and_a_sentence() -> None:
    drawn = svg(variant("H-G"), THREE)

    assert drawn.count("drawing__cross") == drawn.count("drawing__stub") == 1
    assert drawing.drawing_text(variant("H-G"), THREE, WORDS) == (
        "The neutral contact is joined to no wire. The others are joined to their own wires."
    )


@pytest.mark.parametrize(("kind", "is_before"), [("service", True), ("source", False)])
def test_a_lost_neutral_is_broken_on_the_right_side_of_where_it_meets_ground(
    kind: str, is_before: bool
) -> None:
    found = re.search(r'--neutral" d="M\d+ \d+H(\d+)M(\d+)', svg(variant("HXNG", lost_neutral=kind), FOUR))

    assert found
    assert (int(found[2]) < drawing.BOND) is is_before
    assert (int(found[1]) > drawing.BOND) is not is_before


def test_a_floating_source_has_no_unbroken_line_between_neutral_and_ground() -> None:
    for contacts, joins in ((THREE, "HNG"), (FOUR, "HXNG")):
        drawn = [svg(variant(joins, floating=floats), contacts) for floats in (False, True)]
        bonds = [re.findall(r'drawing__bond" d="([^"]*)"', each)[0] for each in drawn]

        assert [bond.count("M") for bond in bonds] == [1, 2]


def test_dead_conductors_are_dashed_and_live_ones_are_not() -> None:
    assert "wire--dead" not in svg(variant("HXNG"), FOUR)
    assert svg(variant("HXNG", energised=False), FOUR).count("wire--dead") == 2
    assert svg(variant("DXNG"), FOUR).count("wire--dead") == 1


@pytest.mark.parametrize(
    ("flags", "part"),
    [
        ({"bonded": True}, "drawing__bond"),
        ({"load": True}, "drawing__appliance"),
        ({"leak": True}, "drawing__appliance"),
        ({"loose": "N"}, "drawing__loose"),
        ({"floating": True}, "drawing__cross"),
    ],
)
def test_what_else_is_there_is_drawn_and_said(flags: dict[str, Any], part: str) -> None:
    one, right = variant("HNG", **flags), variant("HNG")

    assert svg(one, THREE).count(part) == svg(right, THREE).count(part) + 1
    assert len(drawing.drawing_text(one, THREE, WORDS)) > len(drawing.drawing_text(right, THREE, WORDS))


def test_every_drawing_stands_inside_its_box_and_is_told_in_words() -> None:
    for variants, contacts in every_wiring():
        drawn = ElementTree.fromstring(svg(variants[0], contacts))

        assert (drawn.get("role"), drawn.get("viewBox")) == ("img", "0 0 320 200")
        assert drawn.findtext("title") == WORDS["drawing"]["title"]
        assert drawn.findtext("desc") == drawing.drawing_text(variants[0], contacts, WORDS)
        assert not re.search(r"[{}]", drawing.figure_text(variants, contacts, WORDS))
        assert not [each for each in drawn.iter() if {"id", "style"} & set(each.attrib)]
        for text in drawn.iter("text"):
            assert 0 < float(text.get("x", -1)) < 320 and 12 < float(text.get("y", -1)) < 200


def test_a_second_variant_is_said_and_not_drawn() -> None:
    swapped, lost = (
        [variant("NXHG"), variant("HNXG")],
        [variant("HXNG", lost_neutral=k) for k in ("source", "service")],
    )
    dead = [variant("-XNG"), variant("H-NG"), variant("DXNG"), variant("HDNG")]
    also = WORDS["drawing"]["also"]

    assert drawing.figure_text(swapped, FOUR, WORDS).endswith(also["legs"])
    assert drawing.figure_text(lost, FOUR, WORDS).endswith(also["service"])
    assert drawing.figure_text(dead, FOUR, WORDS).endswith(f"{also['legs']} {also['further-up']}")
    assert str(drawing.drawing_figure(swapped, FOUR, WORDS)).count("<svg") == 1


def test_words_enter_the_drawing_as_text() -> None:
    words = {**WORDS, "drawing": {**WORDS["drawing"], "supply": "<script>"}}

    assert "<script>" not in drawing.drawing_svg(variant("HNG"), THREE, words)


def test_a_template_draws_the_explanation_that_it_names() -> None:
    app = Flask("fieldlog", template_folder=str(ROOT / "fieldlog/web/layout/templates"))
    drawing.add_drawing(app)
    family = {"contacts": THREE, "wirings": [{"id": "open-neutral", "variants": [variant("H-G")]}]}
    source = '{% import "drawing.html" as d %}{{ d.drawing(id, family, words) }}'
    with app.app_context():
        known, unknown = (
            render_template_string(source, id=each, family=family, words=WORDS)
            for each in ("open-neutral", "other")
        )

    assert str(drawing.drawing_figure([variant("H-G")], THREE, WORDS)) in known
    assert unknown.strip() == ""
