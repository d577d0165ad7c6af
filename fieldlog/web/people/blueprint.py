"""The blueprint that the pages of accounts share."""

from flask import Blueprint

blueprint = Blueprint("people", __name__, template_folder="templates")
