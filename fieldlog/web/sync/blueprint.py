"""The blueprint of what programs ask, and phones first of all."""

from flask import Blueprint

from fieldlog.web.security import csrf

blueprint = Blueprint("sync", __name__)
csrf.exempt(blueprint)  # json_from_our_page checks where a request comes from
