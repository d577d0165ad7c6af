"""How a map begins: from the list of outlets and devices as it stands, or from an invented rig."""

from typing import Any, Final

from flask import redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from wtforms import RadioField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, InputRequired

from fieldlog.model.derived_map import map_of_list
from fieldlog.tables import entries
from fieldlog.web.rig_map.blueprint import blueprint
from fieldlog.web.rig_map.desk import Desk, MapForm, desk_of, keep_map, opened
from fieldlog.web.rig_map.edits import Body
from fieldlog.web.rig_map.fields import NONE_OF_THEM
from fieldlog.web.rig_map.things import MOST_NEW, as_things, records_of_new
from fieldlog.words.map_parts import part_words

AS_LISTED: Final = "list"


class BeginningForm(MapForm):
    """What the map begins as."""

    beginning = RadioField(
        "Begin with",
        [InputRequired("Choose one.")],
        choices=[],
        validate_choice=False,
    )

    def offer(self) -> None:
        """Offer the list and every invented rig; none is chosen beforehand."""
        offered = {AS_LISTED: "your list of outlets and devices as it stands"}
        offered |= {each["id"]: each["name"] for each in templates_to_start_from()}
        self.beginning.choices = [SelectChoice(*each) for each in offered.items()]
        self.beginning.validators = [*self.beginning.validators, AnyOf(list(offered), message=NONE_OF_THEM)]


@blueprint.get("/rigs/<rig_id>/map/templates")
def templates(rig_id: str) -> ResponseReturnValue:
    """Show what a map can begin as."""
    desk = desk_of(rig_id)
    form = BeginningForm(formdata=None)
    return _page(desk, opened(form, desk, _most_ids()))


@blueprint.post("/rigs/<rig_id>/map/templates")
def receive_beginning(rig_id: str) -> ResponseReturnValue:
    """Keep the first version of the map, with the outlets and devices of an invented rig."""
    form = BeginningForm()
    desk = desk_of(rig_id, form)
    form.offer()
    if form.validate_on_submit() and len(form.new_ids) >= _most_ids():
        body = _beginning(desk, str(form.beginning.data), form.new_ids)
        if keep_map(form, desk, body, "Begun anew.", records_of_new(desk.rig, body)):
            return redirect(url_for("rig_map.table", rig_id=rig_id), 303)
    return _page(desk, form), form.status


def templates_to_start_from() -> tuple[dict[str, Any], ...]:
    """Give the invented rigs."""
    return entries("facts/rig-templates.json")


def _beginning(desk: Desk, chosen: str, ids: list[str]) -> Body:
    if chosen == AS_LISTED:
        return desk.body
    body = next(each["map"] for each in templates_to_start_from() if each["id"] == chosen)
    parts = [
        as_things(part, ids[MOST_NEW * at : MOST_NEW * (at + 1)]) for at, part in enumerate(body["parts"])
    ]
    return {**body, "parts": parts}


def _most_ids() -> int:
    return MOST_NEW * max(len(each["map"]["parts"]) for each in templates_to_start_from())


def _page(desk: Desk, form: BeginningForm) -> str:
    form.offer()
    return render_template(
        "rig_map/templates.html",
        rig=desk.rig,
        form=form,
        is_drawn=desk.rig.map is not None,
        listed=len(desk.rig.outlets) + len(desk.rig.devices),
        as_listed=[(part["name"], part_words(part)) for part in map_of_list(desk.rig)["parts"]],
        invented=[
            (each, [(part["name"], part_words(part)) for part in each["map"]["parts"]])
            for each in templates_to_start_from()
        ],
    )
