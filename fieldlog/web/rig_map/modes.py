"""The modes of a rig: its ways of standing, and which runs each of them does not have."""

from typing import Final

from flask import redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from wtforms import FieldList, Form, FormField, HiddenField, SelectMultipleField, StringField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import Length
from wtforms.widgets import CheckboxInput, ListWidget

from fieldlog.web.rig_map.blueprint import blueprint
from fieldlog.web.rig_map.desk import Desk, MapForm, desk_of, keep_map, opened
from fieldlog.web.rig_map.edits import Body, Member
from fieldlog.web.rig_map.fields import reason, stripped
from fieldlog.web.rig_map.rows import key_of
from fieldlog.words.map_parts import run_words

SPARE: Final = 2
"""Empty rows for further modes: a rig without modes gets two at once."""
TWICE: Final = "Two modes are called so; give one of them another name."


class ModeRow(Form):
    """A mode: without a name there is none."""

    was = HiddenField()
    name = StringField(
        "Name of the mode", [Length(max=40, message="Shorten it to 40 characters.")], filters=[stripped]
    )
    without = SelectMultipleField(
        "These runs are not there",
        choices=[],
        widget=ListWidget(prefix_label=False),
        option_widget=CheckboxInput(),
        validate_choice=False,
    )


class ModesForm(MapForm):
    """All modes of a map."""

    rows = FieldList(FormField(ModeRow))
    reason = reason()

    def offer(self, body: Body) -> None:
        """Offer the map's runs to be left out."""
        runs = [SelectChoice(key_of(run), run_words(body, run)) for run in body["runs"]]
        for row in self.rows:
            row.form.without.choices = runs

    def show(self, body: Body) -> None:
        """Fill in what is noted, and leave rows for more."""
        for mode, said in body["modes"].items():
            out = [key_of(body["runs"][at]) for at in said["without"] if at < len(body["runs"])]
            self.rows.append_entry({"was": mode, "name": mode, "without": out})
        for _ in range(SPARE):
            self.rows.append_entry({"was": "", "name": "", "without": []})

    def names_each_once(self) -> bool:
        """Hold the names against one another."""
        seen: set[str] = set()
        for row in self.rows:
            called = str(row.form.name.data or "")
            if called and called in seen:
                row.form.name.errors = [TWICE]
            seen.add(called)
        return not any(row.form.name.errors for row in self.rows)

    def changed(self, before: Body) -> Member:
        """Give the map with its modes as the form says."""
        modes = {
            str(row.form.name.data): {
                "without": [
                    at
                    for at, run in enumerate(before["runs"])
                    if key_of(run) in (row.form.without.data or ())
                ]
            }
            for row in self.rows
            if row.form.name.data
        }
        return {**before, "modes": modes}


@blueprint.get("/rigs/<rig_id>/map/modes")
def modes(rig_id: str) -> ResponseReturnValue:
    """Show the modes with what each leaves out."""
    desk = desk_of(rig_id)
    form = ModesForm(formdata=None)
    form.show(desk.body)
    return _page(desk, opened(form, desk))


@blueprint.post("/rigs/<rig_id>/map/modes")
def receive_modes(rig_id: str) -> ResponseReturnValue:
    """Keep the modes."""
    form = ModesForm()
    desk = desk_of(rig_id, form)
    if not desk.is_drawn:
        del form.reason
    if form.validate_on_submit() and form.names_each_once():
        why = str(form.reason.data) if "reason" in form else ""
        if keep_map(form, desk, form.changed(desk.body), why):
            return redirect(url_for("rig_map.modes", rig_id=rig_id), 303)
    return _page(desk, form), form.status


def mode_sentences(body: Body) -> list[str]:
    """Say of each mode which runs are not there."""
    return [f"In mode {mode} {_not_there(body, said['without'])}" for mode, said in body["modes"].items()]


def _not_there(body: Body, out: list[int]) -> str:
    runs = [run_words(body, body["runs"][at]) for at in out if at < len(body["runs"])]
    if not runs:
        return "every run is there."
    return f"{' and '.join(runs)} {'is' if len(runs) == 1 else 'are'} not there."


def _page(desk: Desk, form: ModesForm) -> str:
    if not desk.is_drawn and "reason" in form:
        del form.reason
    form.offer(desk.body)
    said = mode_sentences(desk.body)
    return render_template("rig_map/modes.html", rig=desk.rig, form=form, said=said)
