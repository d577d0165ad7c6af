"""What the pages of a rig share: the signed-in account's rig, and keeping what a form says."""

from collections.abc import Callable, Mapping
from typing import Any

from flask_wtf import FlaskForm
from wtforms import Field, HiddenField
from wtforms.validators import Regexp

from fieldlog.errors import NotFound
from fieldlog.model.identity import UUID_PATTERN
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record, observed_text
from fieldlog.model.rig import Device, Outlet, Rig
from fieldlog.store.records import record_with_id
from fieldlog.store.rigs import name_of_rig, rig_with_id
from fieldlog.store.session import Transaction
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed


class RecordForm(FlaskForm):
    """A form that ends in a record; its id is given with the page, so that sending it twice keeps it once."""

    id = HiddenField(validators=[Regexp(UUID_PATTERN, message="Open the page again; nothing was kept.")])

    @property
    def body(self) -> dict[str, Any]:
        """Give the record's body."""
        raise NotImplementedError


def rig_needed(rig_id: str, read: Callable[[Transaction, str, str], Rig | None] = rig_with_id) -> Rig:
    """Give a rig of the signed-in account, as much as one of fieldlog.store.rigs reads of it, or refuse."""
    account = account_needed()
    with parts().store.reading() as tx:
        rig = read(tx, account.id, rig_id)
    if rig is None:
        raise NotFound("rig")
    return rig


def rig_name_needed(rig_id: str) -> str:
    """Give what a rig of the signed-in account is called, or refuse; its log is not read for it."""
    account = account_needed()
    with parts().store.reading() as tx:
        name = name_of_rig(tx, account.id, rig_id)
    if name is None:
        raise NotFound("rig")
    return name


def outlet_needed(rig: Rig, outlet_id: str) -> Outlet:
    """Give an outlet of the rig, or refuse."""
    outlet = rig.outlet(outlet_id)
    if outlet is None:
        raise NotFound("outlet")
    return outlet


def device_needed(rig: Rig, device_id: str) -> Device:
    """Give a device of the rig, or refuse."""
    device = rig.device(device_id)
    if device is None:
        raise NotFound("device")
    return device


def record_of(form: RecordForm, kind: str, **members: str | None) -> Record:
    """Make the record that a form ends in, observed now; without a rig it is one, under its own id."""
    identity = str(form.id.data)
    return Record(
        id=identity,
        kind=kind,
        observed_at=observed_text(parts().now()),
        made_by=account_needed().name,
        body=form.body,
        **{"rig": identity, **members},
    )


def keep(form: RecordForm, record: Record) -> bool:
    """Keep a record; what is wrong with it goes to the form's fields, and nothing is kept then."""
    account = account_needed()
    if _is_kept_already(account.id, record):
        return True
    receipt = parts().inbox(account).receive([record.as_json()], parts().now())[0]
    for problem in receipt.problems:
        _field_for(form, problem).errors = [problem.problem]
    return receipt.status != "refused"


def _is_kept_already(account: str, record: Record) -> bool:
    """Say whether the same form was sent before; what it says must be the same, the time may be another."""
    with parts().store.reading() as tx:
        stored = record_with_id(tx, account, record.id)
    return stored is not None and _said(stored.record) == _said(record)


def _said(record: Record) -> Mapping[str, Any]:
    # A repeated correction would correct the first sending of itself.
    left_out = ("observed_at", "corrects", "also_corrects")
    return {name: member for name, member in record.as_json().items() if name not in left_out}


def _field_for(form: RecordForm, problem: Problem) -> Field:
    """Give the field that a problem speaks of, or the form's id where no field is to blame."""
    name = problem.at.removeprefix("/body/").strip("/").split("/")[0]
    fields: dict[str, Field] = {field.name: field for field in form}
    return fields.get(name, form.id)
