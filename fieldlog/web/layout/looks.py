"""What a person may see at an outlet before touching it, in the rulebook's words."""

from typing import Final

from fieldlog.errors import RulebookDamaged
from fieldlog.web.layout.parts import parts

# The gravest first. The words here are for when the rulebook cannot be read: the page must ask all the same.
PLAIN: Final = {
    "burned": "Burn marks or melted plastic",
    "wet": "Wet inside",
    "warm": "Warm",
    "buzzing": "Buzzing or crackling",
    "tingle": "Someone felt a tingle",
    "breaker-will-not-hold": "Breaker will not hold",
    "cracked": "Cracked",
    "loose": "Loose",
    "cover-missing": "Cover missing",
}
LOOKS: Final = tuple(PLAIN)


def look_labels() -> list[tuple[str, str]]:
    """Give the signs to look for, id and label."""
    found = parts().rulebook_or_damage
    words = {} if isinstance(found, RulebookDamaged) else found.raw["words"]["look"]
    return [(sign, words[sign]["label"] if sign in words else plain) for sign, plain in PLAIN.items()]
