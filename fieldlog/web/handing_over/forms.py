"""What is asked of whoever hands a rig over, and of whoever takes it."""

from typing import Final

from flask_wtf import FlaskForm
from wtforms import BooleanField, RadioField, StringField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import InputRequired, Length

DAYS: Final = {1: "a day", 7: "a week", 30: "a month"}
USUAL: Final = 7
MOST_CODE: Final = 300


class OfferForm(FlaskForm):
    """For how long, and the name of the rig, so that nobody gives one away by a slip."""

    days = RadioField(
        "How long the link can be used",
        [InputRequired("Choose how long.")],
        choices=[SelectChoice(str(days), name) for days, name in DAYS.items()],
        default=str(USUAL),
    )
    name = StringField(
        "Name of the rig",
        [InputRequired("Write the name of the rig."), Length(max=200, message="No name is that long.")],
    )


class CodeForm(FlaskForm):
    """The link, whole, or what stands behind its #."""

    code = StringField(
        "The link",
        [
            InputRequired("Open the link once more, or put it here."),
            Length(max=MOST_CODE, message="No link is so."),
        ],
    )

    @property
    def secret(self) -> str:
        """What takes the offer."""
        return str(self.code.data).rpartition("#")[2].strip()


class TakingForm(CodeForm):
    """That it was read."""

    is_read = BooleanField(
        "I have read what moves and what cannot be called back",
        [InputRequired("Read it, and say so here; nothing was moved.")],
    )


class WithdrawalForm(FlaskForm):
    """Nothing to fill in."""
