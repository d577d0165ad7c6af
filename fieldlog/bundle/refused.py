"""Why a signed record is refused, in the words of schemas/verifying.json for every reader."""

import json
from functools import cache

from fieldlog.errors import FieldlogError
from fieldlog.tables import SCHEMAS


class Refused(FieldlogError):
    """Something in a signed record does not hold.

    Parameters
    ----------
    reason : str
        Its id in the table of words.
    values : object
        What the words leave open.
    """

    def __init__(self, reason: str, /, **values: object) -> None:
        self.reason = reason
        self.why = say(reason, **values)
        super().__init__(say("refused", reason=self.why))


def say(sentence: str, /, **values: object) -> str:
    """Give a sentence of the table with its values."""
    return _words()[sentence].format(**values)


@cache
def _words() -> dict[str, str]:
    words: dict[str, str] = json.loads((SCHEMAS / "verifying.json").read_text(encoding="utf-8"))["words"]
    return words
