"""The form that has a PDF made: the token of our own page, the paper of its button, a tick for pictures."""

from flask_wtf import FlaskForm


class PdfForm(FlaskForm):
    """Nothing to fill in."""
