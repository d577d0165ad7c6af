"""The forms that make and revoke the feed; all they carry is the token of our own page."""

from flask_wtf import FlaskForm


class FeedForm(FlaskForm):
    """Nothing to fill in."""
