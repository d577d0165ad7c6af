"""What is shared, how long, and what is said of whose it is."""

from typing import Final

from flask_wtf import FlaskForm
from wtforms import BooleanField, RadioField, StringField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import InputRequired, Length

from fieldlog.model.share import LINK, MOST_ASK, MOST_NAME, PAPER, Terms

WHOSE: Final = "whose"
USES: Final = {
    LINK: "A link to send, for as many people as you give it to",
    PAPER: "The code on what you print: it shows the record",
    WHOSE: "The code on what you print: it says only whose it is",
}
DAYS: Final = {7: "a week", 30: "a month", 90: "three months", 365: "a year"}
LONG: Final = 90


def _plain(text: str | None) -> str:
    return " ".join((text or "").split())


class PreviewForm(FlaskForm):
    """What is asked for by an address, so that it can be looked at before anything is made."""

    class Meta:
        """Nothing is changed by it, so it needs no token."""

        csrf = False

    use = RadioField(
        "What opens it",
        [InputRequired("Choose what opens it.")],
        choices=[SelectChoice(*each) for each in USES.items()],
        default=LINK,
    )
    days = RadioField(
        "For how long",
        [InputRequired("Choose how long.")],
        choices=[SelectChoice(str(days), name) for days, name in DAYS.items()],
        default=str(LONG),
    )
    arrivals = BooleanField("Checks on arrival whole: parks, sites and days, not only the month")
    photos = BooleanField("What you noted of photos")
    pictures = BooleanField("The photos themselves, with what you noted of them")
    owner_name = StringField(
        "Your name, as strangers may read it (may stay empty)",
        [Length(max=MOST_NAME, message=f"At most {MOST_NAME} letters.")],
        filters=[_plain],
    )
    how_to_ask = StringField(
        "How they ask you for it (may stay empty)",
        [Length(max=MOST_ASK, message=f"At most {MOST_ASK} letters.")],
        filters=[_plain],
    )

    @property
    def terms(self) -> Terms:
        """What is shown and said."""
        return Terms(
            is_open=self.use.data != WHOSE,
            arrivals=bool(self.arrivals.data),
            photos=bool(self.photos.data or self.pictures.data),
            pictures=bool(self.pictures.data),
            owner_name=str(self.owner_name.data),
            how_to_ask=str(self.how_to_ask.data),
        )

    @property
    def is_paper(self) -> bool:
        """Whether it is about the code on paper."""
        return str(self.use.data) != LINK


class ShareForm(PreviewForm):
    """The same, to be kept."""

    class Meta:
        """Something is made by it, so it needs the token of our own page."""

        csrf = True


class EndForm(FlaskForm):
    """Nothing to fill in."""
