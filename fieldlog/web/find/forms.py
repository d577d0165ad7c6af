"""What is looked for, as it is typed. It is asked by an address and changes nothing."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Final

from werkzeug.datastructures import MultiDict
from wtforms import Form, SelectField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined]  # its types are older
from wtforms.form import BaseForm
from wtforms.validators import Length

from fieldlog.book import flag_names
from fieldlog.reports.query import ANY, Query, words_of
from fieldlog.words.kinds import RECORDS
from fieldlog.words.wording import begun

MOST_LETTERS: Final = 120
VERDICTS: Final = {
    "use": "Use",
    "use-limited": "Use with limits",
    "test-more": "Test more",
    "do-not-use": "Do not use",
}
FLAGS: Final = {ANY: "Anything", **flag_names()}
_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _is_day(_form: Form, field: StringField) -> None:
    if field.data and not _is_in_the_calendar(field.data.strip()):
        raise ValidationError("Write the day as 2026-05-31, or leave it empty.")


def _is_not_before_first(form: "FindForm", field: StringField) -> None:
    first, last = ((each.data or "").strip() for each in (form.first, field))
    if first and last and last < first:
        raise ValidationError("That is before the day it begins with: no record can be of both.")


def _is_in_the_calendar(text: str) -> bool:
    try:
        return bool(_DAY.fullmatch(text) and date.fromisoformat(text))
    except ValueError:
        return False


class _Choice(SelectField):
    """A choice that says in a sentence where it is none of those that there are."""

    def pre_validate(self, form: BaseForm) -> None:
        """Refuse what is none of the choices."""
        if self.data not in {value for value, *_ in self.iter_choices()}:
            raise ValidationError("That is none of the choices any more; choose one of them.")


def _choices(names: Mapping[str, str]) -> list[SelectChoice]:
    return [SelectChoice(*each) for each in (("", "Any"), *names.items())]


class FindForm(Form):
    """Words, kind, verdict, days, flag, rig; what is left empty asks for nothing."""

    words = StringField(
        "Words", [Length(max=MOST_LETTERS, message=f"Shorten it to {MOST_LETTERS} characters.")]
    )
    kind = _Choice(
        "Kind", choices=_choices({kind: begun(name) for kind, name in RECORDS.items()}), default=""
    )
    verdict = _Choice("Verdict", choices=_choices(VERDICTS), default="")
    first = StringField("From the day", [_is_day])
    last = StringField("To the day", [_is_day, _is_not_before_first])
    flag = _Choice("What the server noticed", choices=_choices(FLAGS), default="")
    rig = _Choice("Rig", default="")

    def __init__(self, given: MultiDict[str, str], rigs: Mapping[str, str]) -> None:
        super().__init__(given)
        self.rig.choices = _choices(rigs)

    @property
    def query(self) -> Query:
        """Give what is looked for."""
        return Query(
            words=words_of(self.words.data or ""),
            kind=self.kind.data or "",
            verdict=self.verdict.data or "",
            first=(self.first.data or "").strip(),
            last=(self.last.data or "").strip(),
            flag=self.flag.data or "",
            rig=self.rig.data or "",
        )
