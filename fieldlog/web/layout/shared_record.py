"""What somebody without an account gets of a rig, alike on their page and in its owner's preview."""

import json
from collections.abc import Mapping
from functools import cache
from typing import Any, Final

from fieldlog.model.share import ShareState, Terms
from fieldlog.tables import SCHEMAS, entries
from fieldlog.words.kinds import RECORDS

ENDED: Final = "Its owner has ended what this opened. Ask them for a new link or a new print."


def answer(standing: ShareState, terms: Terms, record: str | None) -> dict[str, str | bool | None]:
    """Give what the page is told: the state, a sentence where nothing is shown, or the signed text.

    Whether the photos themselves may be asked for is told where they are.
    """
    told = {"state": str(standing), "sentence": _sentence(standing, terms), "record": record}
    return told | ({"pictures": True} if terms.pictures and record is not None else {})


def whose(terms: Terms) -> str:
    """Say in one sentence whose record it is, by the name that was chosen, and how to ask for it."""
    name = f"of {terms.owner_name}" if terms.owner_name else "whose owner chose to show no name"
    asked = terms.how_to_ask or ("them" if terms.owner_name else "whoever gave you this")
    return f"This is the record of a rig {name}; to see it, ask {asked}."


@cache
def criteria() -> Mapping[str, Any]:
    """Give what the page verifies by: shape and words of a signed record, and what its kinds are called."""
    schema = json.loads((SCHEMAS / "bundle.schema.json").read_text(encoding="utf-8"))
    words = json.loads((SCHEMAS / "verifying.json").read_text(encoding="utf-8"))["words"]
    return {"schema": schema, "words": words, "kinds": dict(RECORDS), "asked": entries("facts/buyer.json")}


def _sentence(standing: ShareState, terms: Terms) -> str | None:
    if standing is ShareState.OPEN:
        return None
    return ENDED if standing is ShareState.ENDED else whose(terms)
