"""A small drawing of what is joined to what at an outlet, and the same in words.

static/js/check/drawing.js makes the same drawing and the same words. Contacts stand in a column, by role and
not by place: where the slots of a receptacle's face lie is not told here. A variant is one of those that the
rulebook gives a wiring.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from flask import Flask
from markupsafe import Markup

Variant = Mapping[str, Any]
Words = Mapping[str, Any]

# Where things stand, in units of a view box of 320 by 200: first along a conductor, then down.
START, SERVICE, BOND, UPSTREAM, FORK, MEET = 10, 52, 76, 90, 104, 138
ZIGZAG, BREAK, STUB, FACE, EDGE, CONTACT, LABEL, PLUG, APPLIANCE = 141, 149, 159, 172, 177, 188, 206, 276, 298
GAP, RADIUS = 9, 11
ROWS: Final[Mapping[str, Mapping[str, int]]] = {
    "three-wire": {"H": 52, "X": 84, "N": 116, "G": 168, "h": 52, "n": 116, "g": 168},
    "split-phase": {"H": 50, "X": 90, "N": 132, "G": 174, "x": 50, "y": 90, "n": 132, "g": 174},
}
OWN: Final = {"h": "H", "x": "H", "y": "X", "n": "N", "g": "G"}
KINDS: Final = {"H": "hot", "X": "other", "N": "neutral", "G": "ground"}


def drawing_figure(variants: Sequence[Variant], contacts: Sequence[str], words: Words) -> Markup:
    """Draw the first variant of a wiring, with the words under it; they also say how the others differ."""
    return Markup('<figure class="drawing-figure">{}<figcaption>{}</figcaption></figure>').format(
        drawing_svg(variants[0], contacts, words), figure_text(variants, contacts, words)
    )


def figure_text(variants: Sequence[Variant], contacts: Sequence[str], words: Words) -> str:
    """Say a wiring in words: its first variant, and how the others differ."""
    others = [words["drawing"]["also"][_difference(variants[0], other)] for other in variants[1:]]
    return " ".join([drawing_text(variants[0], contacts, words), *dict.fromkeys(others)])


def drawing_text(variant: Variant, contacts: Sequence[str], words: Words) -> str:
    """Say what the drawing shows."""
    return " ".join([*_joins_text(variant, contacts, words), *_parts_text(variant, contacts, words)])


def drawing_svg(variant: Variant, contacts: Sequence[str], words: Words) -> Markup:
    """Draw what is joined to what."""
    rows = ROWS[_family(contacts)]
    parts = [
        *_heads(words),
        *_wires(variant, contacts, rows),
        *_source(variant, rows),
        *_ends(variant, contacts, rows),
        *_plugged_in(variant, contacts, rows, words),
        *_contacts(variant, contacts, rows, words),
        *_labels(variant, contacts, rows, words),
    ]
    return Markup(
        '<svg class="drawing" viewBox="0 0 320 200" role="img"><title>{}</title><desc>{}</desc>{}</svg>'
    ).format(words["drawing"]["title"], drawing_text(variant, contacts, words), Markup("").join(parts))


def add_drawing(app: Flask) -> None:
    """Give the templates the drawing of a wiring."""
    app.jinja_env.globals.update(drawing_figure=drawing_figure)


def _family(contacts: Sequence[str]) -> str:
    return "split-phase" if "x" in contacts else "three-wire"


def _difference(first: Variant, other: Variant) -> str:
    if other.get("lost_neutral") != first.get("lost_neutral"):
        return "service"
    return "further-up" if "D" in other["joins"] else "legs"


# Words


def _joins_text(variant: Variant, contacts: Sequence[str], words: Words) -> Iterator[str]:
    said, conductors = words["unnamed"], words["unnamed"]["conductors"][_family(contacts)]
    own = 0
    for contact, join in zip(contacts, variant["joins"], strict=True):
        if join == OWN[contact]:
            own += 1
        else:
            yield said["joined"].format(contact=said["contacts"][contact], conductor=conductors[join])
    if own:
        yield said["all_own"] if own == len(contacts) else said["one_own" if own == 1 else "rest_own"]


def _parts_text(variant: Variant, contacts: Sequence[str], words: Words) -> Iterator[str]:
    parts, loose = words["drawing"]["parts"], variant.get("loose")
    contact = words["unnamed"]["contacts"][contacts[0]]
    if loose:
        yield parts["loose"].format(conductor=words["unnamed"]["conductors"][_family(contacts)][loose])
    for flag in ("bonded", "load", "leak", "floating"):
        if variant.get(flag):
            yield parts[flag].format(contact=contact)
    if not variant.get("energised", True):
        yield parts["dead"]
    if variant.get("lost_neutral"):
        yield parts[variant["lost_neutral"]]


# Lines


def _wires(variant: Variant, contacts: Sequence[str], rows: Mapping[str, int]) -> Iterator[Markup]:
    for letter in _shown(variant, contacts):
        kind = f"drawing__wire drawing__wire--{KINDS[letter]}"
        if letter in "HX" and (_is_dead_leg(letter, variant, contacts) or not variant.get("energised", True)):
            kind += " drawing__wire--dead"
        way = _feed(letter, variant, contacts, rows) + _routes(letter, variant, contacts, rows)
        yield _path("drawing__halo", way)
        yield _path(kind, way)
        if letter == "X":
            yield _path("drawing__core", way)


def _shown(variant: Variant, contacts: Sequence[str]) -> Iterator[str]:
    """Go through the conductors; a three-wire outlet has another hot only where it is joined to a contact."""
    for letter in "HXNG":
        if letter != "X" or "y" in contacts or "X" in variant["joins"]:
            yield letter


def _is_dead_leg(letter: str, variant: Variant, contacts: Sequence[str]) -> bool:
    joins = zip(contacts, variant["joins"], strict=True)
    return any(join == "D" and OWN[contact] == letter for contact, join in joins)


def _feed(letter: str, variant: Variant, contacts: Sequence[str], rows: Mapping[str, int]) -> str:
    row, start = rows[letter], BOND if letter == "G" else START
    gaps = [place for place, by in _breaks(variant, contacts) if by == letter]
    return f"M{start} {row}" + "".join(f"H{x - GAP}M{x + GAP} {row}" for x in gaps) + f"H{FORK}"


def _breaks(variant: Variant, contacts: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Give each break before the outlet: how far along, and in which conductor."""
    if variant.get("lost_neutral"):
        yield (SERVICE if variant["lost_neutral"] == "service" else UPSTREAM), "N"
    yield from ((UPSTREAM, letter) for letter in "HX" if _is_dead_leg(letter, variant, contacts))


def _routes(letter: str, variant: Variant, contacts: Sequence[str], rows: Mapping[str, int]) -> str:
    row, joined = rows[letter], _joined(letter, variant, contacts)
    if not joined:
        return f"H{BREAK - GAP}" if _own_is_open(letter, variant, contacts) else ""
    if letter == variant.get("loose"):
        return f"L{MEET} {row}H{ZIGZAG}M{ZIGZAG + 28} {row}H{EDGE}"
    return f"M{FORK} {row}".join(f"L{MEET} {rows[contact]}H{EDGE}" for contact in joined)


def _joined(letter: str, variant: Variant, contacts: Sequence[str]) -> list[str]:
    return [
        contact
        for contact, join in zip(contacts, variant["joins"], strict=True)
        if letter == (OWN[contact] if join == "D" else join)
    ]


def _own_is_open(letter: str, variant: Variant, contacts: Sequence[str]) -> bool:
    joins = zip(contacts, variant["joins"], strict=True)
    return any(join == "-" and OWN[contact] == letter for contact, join in joins)


# Marks


def _source(variant: Variant, rows: Mapping[str, int]) -> Iterator[Markup]:
    """Draw where neutral and ground are joined at the source, or that they are not."""
    neutral, ground = rows["N"], rows["G"]
    middle = (neutral + ground) // 2
    if variant.get("floating"):
        yield _path("drawing__bond", f"M{BOND} {neutral}V{middle - GAP}M{BOND} {middle + GAP}V{ground}")
        yield _cross(BOND, middle)
    else:
        yield _path("drawing__bond", f"M{BOND} {neutral}V{ground}")
    yield _dot(BOND, neutral)


def _ends(variant: Variant, contacts: Sequence[str], rows: Mapping[str, int]) -> Iterator[Markup]:
    yield from (_cross(x, rows[letter]) for x, letter in _breaks(variant, contacts))
    for letter in _shown(variant, contacts):
        joined = _joined(letter, variant, contacts)
        if len(joined) > 1:
            yield _dot(FORK, rows[letter])
        elif not joined and not _own_is_open(letter, variant, contacts):
            yield _path("drawing__end", f"M{FORK} {rows[letter] - 8}v16")
    for contact, join in zip(contacts, variant["joins"], strict=True):
        if join == "-":
            yield _path("drawing__stub", f"M{STUB} {rows[contact]}H{EDGE}")
            yield _cross(BREAK, rows[contact])
    if variant.get("loose"):
        yield _path("drawing__loose", f"M{ZIGZAG} {rows[variant['loose']]}l4 -9 7 18 6 -18 7 18 4 -9")


def _plugged_in(
    variant: Variant, contacts: Sequence[str], rows: Mapping[str, int], words: Words
) -> Iterator[Markup]:
    for flag, end in (("load", "n"), ("leak", "g")):
        if variant.get(flag):
            top, bottom = rows[contacts[0]], rows[end]
            middle = (top + bottom) // 2
            way = f"M{PLUG} {top}H{APPLIANCE}V{middle - 13}M{APPLIANCE} {middle + 13}V{bottom}H{PLUG}"
            yield _path("drawing__plugged", way)
            yield _path("drawing__appliance", f"M{APPLIANCE - 20} {middle - 13}h40v26h-40z")
            yield _text("drawing__middle", APPLIANCE, middle + 5, words["drawing"][flag])


def _contacts(
    variant: Variant, contacts: Sequence[str], rows: Mapping[str, int], words: Words
) -> Iterator[Markup]:
    if variant.get("bonded"):
        yield _path("drawing__bond", f"M{CONTACT} {rows['n']}V{rows['g']}")
    for contact, join in zip(contacts, variant["joins"], strict=True):
        kind = "drawing__contact" if join == OWN[contact] else "drawing__contact drawing__contact--odd"
        yield Markup('<circle class="{}" cx="{}" cy="{}" r="{}"/>').format(
            kind, CONTACT, rows[contact], RADIUS
        )
        yield _text("drawing__label", LABEL, rows[contact] + 5, words["unnamed"]["contacts"][contact])


def _labels(
    variant: Variant, contacts: Sequence[str], rows: Mapping[str, int], words: Words
) -> Iterator[Markup]:
    """Name the conductors: above the line, and the ground before it."""
    labels = words["drawing"]["labels"][_family(contacts)]
    for letter in _shown(variant, contacts):
        yield _text("drawing__label", START, rows[letter] + (5 if letter == "G" else -12), labels[letter])


def _heads(words: Words) -> Iterator[Markup]:
    yield _path("drawing__face", f"M{FACE} 26h{PLUG - FACE}v168h-{PLUG - FACE}z")
    yield _text("drawing__head", START, 17, words["drawing"]["supply"])
    yield _text("drawing__head", FACE, 17, words["drawing"]["outlet"])


def _path(kind: str, way: str) -> Markup:
    return Markup('<path class="{}" d="{}"/>').format(kind, way)


def _cross(x: int, y: int) -> Markup:
    return _path("drawing__cross", f"M{x - 6} {y - 6}l12 12m0 -12l-12 12")


def _dot(x: int, y: int) -> Markup:
    return Markup('<circle class="drawing__dot" cx="{}" cy="{}" r="4"/>').format(x, y)


def _text(kind: str, x: int, y: int, text: str) -> Markup:
    return Markup('<text class="{}" x="{}" y="{}">{}</text>').format(kind, x, y, text)
