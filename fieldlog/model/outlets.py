"""Made from schemas/book/contacts.json by deploy/javascript/contacts.mjs; not edited by hand."""

from typing import Final

NAMES: Final = {
    "h": "hot",
    "n": "neutral",
    "g": "ground",
    "x": "leg X",
    "y": "leg Y",
    "e": "earth",
}
"""What each contact is called."""
FAMILIES: Final = {
    "three-wire": {
        "contacts": ("h", "n", "g"),
        "usual": ("h-n", "h-g", "n-g"),
        "to_earth": ("h-e", "n-e", "g-e"),
        "loaded": ("h-n", "h-g", "n-g"),
        "acrosses": ("h-n",),
        "detector_places": ("h", "n", "g", "skin"),
    },
    "split-phase": {
        "contacts": ("x", "y", "n", "g"),
        "usual": ("x-y", "x-n", "y-n", "x-g", "y-g", "n-g"),
        "to_earth": ("x-e", "y-e", "n-e", "g-e"),
        "loaded": ("x-y", "x-n", "y-n", "n-g"),
        "acrosses": ("x-n", "y-n", "x-y"),
        "detector_places": ("x", "y", "n", "g", "h", "skin"),
    },
}
"""By family of outlets, the contacts and the pairs of them."""
FAMILY_OF: Final = {
    "5-15": "three-wire",
    "5-20": "three-wire",
    "TT-30": "three-wire",
    "14-50": "split-phase",
}
AMPS_OF: Final = {
    "5-15": 15,
    "5-20": 20,
    "TT-30": 30,
    "14-50": 50,
}
"""Rating of an outlet by its configuration [A]; ANSI/NEMA WD 6."""
