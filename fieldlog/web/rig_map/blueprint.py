"""The blueprint that the map's pages share."""

from flask import Blueprint

blueprint = Blueprint("rig_map", __name__, template_folder="templates")
