"""The table of a map as a form: a row for each part and each run, and two empty ones for further runs."""

from collections.abc import Mapping
from typing import Any, Final

from wtforms import (
    BooleanField,
    FieldList,
    Form,
    FormField,
    HiddenField,
    SelectField,
    SelectMultipleField,
    StringField,
)
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, DataRequired, Length, Optional
from wtforms.widgets import CheckboxInput, ListWidget

from fieldlog.model.outlets import AMPS_OF
from fieldlog.model.part_kinds import OUTLETS, PLUGS
from fieldlog.web.rig_map.desk import MapForm
from fieldlog.web.rig_map.edits import Body, Member, has_sides
from fieldlog.web.rig_map.fields import (
    NONE_OF_THEM,
    amount,
    gauge,
    length,
    name,
    rating,
    reason,
    stripped,
    text_of,
)
from fieldlog.web.rig_map.forms import SIDE_NEEDED, WITHOUT_RATING

SPARE: Final = 2
"""Empty rows for further runs."""
NOT_A_PART: Final = "No part of the map is called so; choose one of the list."
_SIDE_CHOICES: Final = [SelectChoice("", "–"), SelectChoice("line", "line"), SelectChoice("load", "load")]
_TYPES: Final = [SelectChoice("", "–"), *(SelectChoice(each, each) for each in AMPS_OF)]


def _select(label: str, choices: list[Any]) -> SelectField:
    known = AnyOf([each.value for each in choices], message=NONE_OF_THEM)
    return SelectField(label, [Optional(), known], choices=choices, validate_choice=False)


class PartRow(Form):
    """A part."""

    id = HiddenField()
    name = name()
    amps = rating()
    outlet_type = _select("Outlet type", _TYPES)
    outside = BooleanField("Outside")
    near_water = BooleanField("Near water")
    bonded = BooleanField("Neutral and ground joined")
    note = StringField("Note", [Length(max=200, message="Shorten it to 200 characters.")], filters=[stripped])

    def part(self, was: Body) -> Member:
        """Give the part as the row says; what its kind has no question for stays as it is."""
        said: Member = {**was, "name": self.name.data, "bonded": bool(self.bonded.data)}
        said["note"] = self.note.data or ""
        if was["kind"] in PLUGS and self.outlet_type.data:
            said |= {"outlet_type": self.outlet_type.data, "amps": AMPS_OF[self.outlet_type.data]}
        if was["kind"] not in WITHOUT_RATING:
            said["amps"] = amount(self.amps)
        if was["kind"] in OUTLETS:
            places = {"outside": self.outside.data, "near-water": self.near_water.data}
            said["where"] = [place for place, is_so in places.items() if is_so]
        return said


class RunRow(Form):
    """A run of wire."""

    key = HiddenField()
    start = StringField("From", [DataRequired("Say which part it comes from.")], filters=[stripped])
    side = _select("Side", _SIDE_CHOICES)
    side_of = HiddenField()
    end = StringField("To", [DataRequired("Say which part it leads to.")], filters=[stripped])
    awg = gauge("Gauge")
    feet = length()
    gone = BooleanField("Take it out")

    def ask_side(self, is_sided: bool) -> None:
        """Refuse a start with two sides where none is chosen, or only that of another start."""
        asked_of = self.side_of.data or self.start.data
        if is_sided and not (self.side.data and asked_of == self.start.data):
            self.side.data, self.side.errors = "", [SIDE_NEEDED]
            self.side_of.data = self.start.data

    def run(self, refs: Mapping[str, str], was: Body | None = None) -> Member:
        """Give the run as the row says; what it has no question for stays as it is."""
        kept = {member: was[member] for member in ("cord",) if was and member in was}
        return {
            **kept,
            "from": refs[self.start.data or ""],
            "to": refs[self.end.data or ""],
            "from_side": self.side.data or "line",
            "awg": int(self.awg.data) if self.awg.data else None,
            "feet": amount(self.feet),
        }


class SpareRow(RunRow):
    """A run that may be left empty."""

    start = StringField("From", filters=[stripped])
    end = StringField("To", filters=[stripped])
    out = SelectMultipleField(
        "Not there in mode",
        choices=[],
        widget=ListWidget(prefix_label=False),
        option_widget=CheckboxInput(),
        validate_choice=False,
    )

    @property
    def is_empty(self) -> bool:
        """Say whether nothing was typed."""
        return not (self.start.data or self.end.data)


class TableForm(MapForm):
    """The whole map."""

    parts = FieldList(FormField(PartRow))
    runs = FieldList(FormField(RunRow))
    spare = FieldList(FormField(SpareRow), min_entries=SPARE, max_entries=SPARE)
    reason = reason()

    def offer(self, body: Body) -> None:
        """Offer the map's modes for further runs."""
        for row in self.spare:
            row.form.out.choices = [SelectChoice(mode, mode) for mode in body["modes"]]

    def show(self, body: Body) -> None:
        """Fill in what is noted."""
        for part in body["parts"]:
            self.parts.append_entry(part_shown(part))
        labels = labels_of(body)
        for run in body["runs"]:
            self.runs.append_entry(run_shown(run, labels, has_sides(body, run["from"])))

    def names_parts(self, body: Body) -> bool:
        """Hold the ends of the runs against the parts."""
        refs = refs_of(body)
        filled = [row.form for row in self.spare if not row.form.is_empty]
        for row in [*(row.form for row in self.runs if not row.form.gone.data), *filled]:
            for end in (row.start, row.end):
                if (end.data or "") not in refs:
                    end.errors = [NOT_A_PART]
            row.ask_side(has_sides(body, refs.get(row.start.data or "")))
        return not any(row.start.errors or row.end.errors or row.side.errors for row in self._run_rows())

    def changed(self, before: Body) -> Member:
        """Give the map as the table says; what it has no row for stays as it is."""
        rows = {row.form.id.data: row.form for row in self.parts}
        parts = [rows[part["id"]].part(part) if part["id"] in rows else part for part in before["parts"]]
        kept, new = self._kept_runs(before), [row.form for row in self.spare if not row.form.is_empty]
        runs = [*kept.values(), *(row.run(refs_of(before)) for row in new)]
        place = {old: at for at, old in enumerate(kept)}
        out = {len(kept) + at: row.out.data or () for at, row in enumerate(new)}
        modes = {
            mode: {
                "without": [
                    *(place[at] for at in said["without"] if at in place),
                    *(at for at, modes in out.items() if mode in modes),
                ]
            }
            for mode, said in before["modes"].items()
        }
        return {**before, "parts": parts, "runs": runs, "modes": modes}

    def rebase(self, old: Body, new: Body) -> None:
        """Take over what was changed meanwhile where nothing else was typed."""
        before, after = _shown(old), _shown(new)
        for rows, kind in ((self.parts, "id"), (self.runs, "key")):
            for row in rows:
                key = (kind, row.form[kind].data)
                for member, was in before.get(key, {}).items():
                    if row.form[member].data == was and key in after:
                        row.form[member].data = after[key][member]

    def _kept_runs(self, before: Body) -> dict[int, Member]:
        rows = {row.form.key.data: row.form for row in self.runs}
        refs, kept = refs_of(before), dict[int, Member]()
        for at, run in enumerate(before["runs"]):
            row = rows.get(key_of(run))
            if row is None:
                kept[at] = run
            elif not row.gone.data:
                kept[at] = row.run(refs, run)
        return kept

    def _run_rows(self) -> list[RunRow]:
        return [row.form for rows in (self.runs, self.spare) for row in rows]


def key_of(run: Body) -> str:
    """Give what names a run: its ends."""
    return f"{run['from']} {run['to']}"


def labels_of(body: Body) -> dict[str, str]:
    """Give by part what a person types for it: its name, with a number where two have the same."""
    found: dict[str, str] = {}
    count: dict[str, int] = {}
    for part in body["parts"]:
        number = count[part["name"]] = count.get(part["name"], 0) + 1
        found[part["id"]] = part["name"] if number == 1 else f"{part['name']} #{number}"
    return found


def refs_of(body: Body) -> dict[str, str]:
    """Give the parts by what a person types for them."""
    return {label: part for part, label in labels_of(body).items()}


def part_shown(part: Body) -> Member:
    """Give a part as its row shows it."""
    where = part.get("where") or ()
    return {
        "id": part["id"],
        "name": part["name"],
        "amps": text_of(part.get("amps")),
        "outlet_type": part.get("outlet_type") or "",
        "outside": "outside" in where,
        "near_water": "near-water" in where,
        "bonded": bool(part.get("bonded")),
        "note": part.get("note") or "",
    }


def run_shown(run: Body, labels: Mapping[str, str], is_sided: bool) -> Member:
    """Give a run as its row shows it; one from a part without sides says nothing of sides."""
    return {
        "key": key_of(run),
        "start": labels[run["from"]],
        "side": (run.get("from_side") or "line") if is_sided else "",
        "side_of": labels[run["from"]] if is_sided else "",
        "end": labels[run["to"]],
        "awg": text_of(run.get("awg")),
        "feet": text_of(run.get("feet")),
    }


def _shown(body: Body) -> dict[tuple[str, str], Member]:
    labels = labels_of(body)
    return {("id", part["id"]): part_shown(part) for part in body["parts"]} | {
        ("key", key_of(run)): run_shown(run, labels, has_sides(body, run["from"])) for run in body["runs"]
    }
