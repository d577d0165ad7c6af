"""Made from schemas/facts/kinds.json and the book by deploy/javascript/part-kinds.mjs; not edited by hand."""

from typing import Final

PLACES: Final = {"outside": "outside", "near-water": "near water"}
LEGS: Final = {"x": "leg X", "y": "leg Y", "both": "both legs"}
CORDS: Final = {"listed": "listed cord set", "field-made": "field-made cord set"}
