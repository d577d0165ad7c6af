"""Does the box hold it? It keeps nothing: what was typed stands in the address of the answer."""

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.tables import load
from fieldlog.web.box.forms import EDITION_CHOICES, FURTHER, USUAL, BoxForm
from fieldlog.web.box.words import metal_boxes, told

blueprint = Blueprint("box", __name__, template_folder="templates")


@blueprint.get("/box")
def box() -> ResponseReturnValue:
    """Ask what is in a box, and say whether it holds that once it was asked."""
    tables, form = load(), BoxForm(request.args)
    found = form.filled(tables) if request.args else None
    page = render_template(
        "box/box.html",
        form=form,
        told=found and told(found),
        metal_boxes=metal_boxes(tables),
        editions=[(each, each) for each in EDITION_CHOICES],
        usual=USUAL,
        further=FURTHER,
    )
    return page, 400 if form.errors else 200
