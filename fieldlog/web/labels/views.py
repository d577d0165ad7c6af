"""Labels with QR codes for the outlets and devices of a rig, as a sheet to print."""

from collections.abc import Iterator, Mapping
from functools import cache

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from fieldlog.model.rig import Rig
from fieldlog.reports.labels import Label, Sheet, render_labels, sheets
from fieldlog.store.rigs import rig_as_built
from fieldlog.tables import entries
from fieldlog.web.labels.forms import LabelsForm, things_of
from fieldlog.web.layout.files import file_answer
from fieldlog.web.layout.reach import hostname, is_loopback
from fieldlog.web.layout.rigs import rig_needed

blueprint = Blueprint("labels", __name__, template_folder="templates")


@blueprint.get("/rigs/<rig_id>/labels")
def labels(rig_id: str) -> ResponseReturnValue:
    """Ask for the sheet and for what gets a label; each thing of the rig is ticked."""
    rig = rig_needed(rig_id, rig_as_built)
    form = LabelsForm(formdata=None, free="0", of=[each.id for each in things_of(rig)])
    form.offer(rig, _sheets())
    return _page(rig, form)


@blueprint.get("/rigs/<rig_id>/labels.pdf")
def labels_pdf(rig_id: str) -> ResponseReturnValue:
    """Give the sheet as a PDF; where nothing was asked for, lead to the page that asks."""
    rig = rig_needed(rig_id, rig_as_built)
    if not request.args:
        return redirect(url_for("labels.labels", rig_id=rig.id), 303)
    form = LabelsForm(formdata=request.args)
    form.offer(rig, _sheets())
    if not form.validate():
        return _page(rig, form), 400
    wanted = [label for identity, label in _labels(rig) if identity in (form.of.data or ())]
    drawn = render_labels(wanted, form.chosen, skip=form.skip)
    return file_answer(drawn, f"labels-{rig.name}", "pdf", shown="inline")


def _page(rig: Rig, form: LabelsForm) -> str:
    return render_template("labels/labels.html", rig=rig, form=form, is_here_only=is_loopback(hostname()))


def _labels(rig: Rig) -> Iterator[tuple[str, Label]]:
    """Give the label of each thing; the pages behind them are kept by phones and hold nobody's records."""
    for outlet in rig.outlets:
        address = url_for("outlets.test_outlet", outlet=outlet.id, _external=True)
        yield outlet.id, Label(outlet.name, "Scan: its story and test", address)
    for device in rig.devices:
        address = url_for("rounds.go_round", _external=True, _anchor=f"rig={rig.id}&device={device.id}")
        yield device.id, Label(device.name, "Scan: its trip test", address)


@cache
def _sheets() -> Mapping[str, Sheet]:
    return sheets(entries("facts/label-sizes.json"))
