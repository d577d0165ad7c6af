"""The form that has a PDF made; all it carries is the token of our own page and the paper of its button."""

from flask_wtf import FlaskForm


class PdfForm(FlaskForm):
    """Nothing to fill in."""
