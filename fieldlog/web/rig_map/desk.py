"""The map that a form starts from, and keeping the map that it ends in."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from wtforms import HiddenField

from fieldlog.engine.protection import map_of_body
from fieldlog.errors import BadInput, NotFound
from fieldlog.model.derived_map import map_of_list
from fieldlog.model.identity import is_identity
from fieldlog.model.record import Record, observed_text
from fieldlog.model.rig import Chain, Rig
from fieldlog.reports.map_versions import differences
from fieldlog.store.records import record_with_id
from fieldlog.sync.shape import problems_of_shape
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import RecordForm, rig_needed
from fieldlog.web.rig_map.edits import Body, Member, part_of
from fieldlog.web.security import account_needed
from fieldlog.words.map_parts import name_of, run_words

TAKEN: Final = "This form was kept already, with other words in it. Open the page again to change more."
NOTHING_NEW: Final = "Nothing is changed yet; change something, or go back."


class MapForm(RecordForm):
    """A form that ends in a version of the map: `base` is the version it was opened on, `ids` are new ids."""

    base = HiddenField()
    ids = HiddenField()
    is_stale = False

    @property
    def status(self) -> int:
        """Give the status of the answer that shows the form again."""
        return 409 if self.is_stale else 400

    @property
    def new_ids(self) -> list[str]:
        """Give the ids that came with the page, so that the form sent twice makes the same records."""
        return [each for each in (self.ids.data or "").split() if is_identity(each)]


@dataclass(frozen=True)
class Desk:
    """A rig's map as it lies before whoever edits it.

    Parameters
    ----------
    rig : Rig
        The rig as it is now.
    base : str
        Id of the version that the form was opened on, "" where nothing was drawn then.
    body : mapping
        Of that version.
    """

    rig: Rig
    base: str
    body: Body

    @property
    def is_drawn(self) -> bool:
        """Say whether there was a version to correct."""
        return bool(self.base)

    @property
    def is_current(self) -> bool:
        """Say whether nobody kept another version since."""
        return self.base == current_id(self.rig)

    def part(self, part_id: str) -> Member:
        """Give a part of the map, or refuse."""
        found = part_of(self.body, part_id)
        if found is None:
            raise NotFound("part of the map")
        return found


def current_id(rig: Rig) -> str:
    """Give the id of the version that counts, "" where nothing was drawn yet."""
    return "" if rig.map is None else rig.map.entry.record.id


def current_body(rig: Rig) -> Body:
    """Give the map as it is now: the version that counts, or what the list stands for."""
    return map_of_list(rig) if rig.map is None else rig.map.body


def desk_of(rig_id: str, form: MapForm | None = None) -> Desk:
    """Lay out the map that a form was opened on, or the current one for a new form."""
    rig = rig_needed(rig_id)
    if form is None:
        return Desk(rig, current_id(rig), current_body(rig))
    base = str(form.base.data or "")
    version = _version(rig.map, base)
    if version is not None:
        return Desk(rig, base, version.body)
    return Desk(rig, "", map_of_list(_without(rig, form.new_ids)))


def opened(form: MapForm, desk: Desk, ids: int = 0) -> MapForm:
    """Give a new form its ids and the version that it starts from."""
    form.id.data = parts().new_id()
    form.base.data = desk.base
    form.ids.data = " ".join(parts().new_id() for _ in range(ids))
    return form


def keep_map(
    form: MapForm, desk: Desk, body: Body, why: str = "", others: Sequence[Record] = (), *, first: str = ""
) -> bool:
    """Keep a new version of the map together with the records it needs: all of them, or none.

    With `first`, an id, a map that nobody drew yet is kept under it as the list stands, and the version
    corrects that, so that it has a reason.
    """
    record = map_record(form, desk, body, why)
    if is_kept_already(form, record):
        return True
    if form.id.errors:
        return False
    if not desk.is_current:
        form.id.errors = [_changed_meanwhile(desk)]
        form.base.data, form.is_stale = current_id(desk.rig), True
        return False
    if desk.is_drawn and body == desk.body:
        form.id.errors = [NOTHING_NEW]
        return False
    if first and not desk.is_drawn:
        others = [*others, new_record(first, "rig-map", desk.rig.id, desk.body)]
        record = replace(record, corrects=first, reason=why)
    return send(form, body, [*others, record])


def is_kept_already(form: MapForm, record: Record) -> bool:
    """Say whether the same form was sent before; with other words in it, it is refused."""
    with parts().store.reading() as tx:
        stored = record_with_id(tx, account_needed().id, record.id)
    if stored is None:
        return False
    if (stored.record.rig, stored.record.body) == (record.rig, record.body):
        return True
    form.id.errors = [TAKEN]
    return False


def map_record(form: MapForm, desk: Desk, body: Body, why: str = "") -> Record:
    """Make the record of a version, correcting the one that it was made from and settling those beside it."""
    beside = [leaf.record.id for leaf in desk.rig.map.beside] if desk.rig.map and desk.is_current else []
    return new_record(
        str(form.id.data),
        "rig-map",
        desk.rig.id,
        body,
        corrects=desk.base or None,
        reason=(why or "Changed.") if desk.is_drawn else None,
        also_corrects=beside[:10] or None,
    )


def new_record(identity: str, kind: str, rig: str, body: Body, **members: Any) -> Record:
    """Make a record of the rig, observed now."""
    return Record(
        id=identity,
        kind=kind,
        rig=rig,
        body=body,
        observed_at=observed_text(parts().now()),
        made_by=account_needed().name,
        **members,
    )


def send(form: MapForm, body: Body, records: Sequence[Record]) -> bool:
    """Hand all records in once each is found right by itself, so that none of them is kept alone."""
    form.id.errors = [*_problems(body, records)]
    if form.id.errors:
        return False
    account, sent = account_needed(), [record.as_json() for record in records]
    receipts = parts().inbox(account).receive(sent, parts().now())
    form.id.errors = list(
        dict.fromkeys(said(body, each.problem) for receipt in receipts for each in receipt.problems)
    )
    return not form.id.errors


def said(body: Body, sentence: str) -> str:
    """Give a sentence about a map with the names of its parts and runs in place of ids and numbers."""
    names = {part["id"]: name_of(body, part["id"]) for part in body["parts"]}
    sentence = re.sub(r"“([A-Za-z0-9-]{1,36})”", lambda found: names.get(found[1], found[0]), sentence)
    return re.sub(r"\brun (\d+)", lambda found: _run(body, int(found[1]), found[0]), sentence)


def _run(body: Body, at: int, otherwise: str) -> str:
    return run_words(body, body["runs"][at]) if at < len(body["runs"]) else otherwise


def _problems(body: Body, records: Sequence[Record]) -> list[str]:
    problems = [each for record in records for each in problems_of_shape(record.as_json())]
    if not problems:
        try:
            map_of_body(body)
        except BadInput as bad:
            problems = list(bad.problems)
    return list(dict.fromkeys(said(body, each.problem) for each in problems))


def _version(chain: Chain | None, base: str) -> Record | None:
    versions = () if chain is None else chain.versions
    return next((each.record for each in versions if each.record.id == base), None)


def _without(rig: Rig, ids: Sequence[str]) -> Rig:
    """Give the rig as it was before this form made its records."""
    return replace(
        rig,
        outlets=tuple(outlet for outlet in rig.outlets if outlet.id not in ids),
        devices=tuple(device for device in rig.devices if device.id not in ids),
    )


def _changed_meanwhile(desk: Desk) -> str:
    told = " ".join(differences(desk.body, current_body(desk.rig))) or "It was kept as a version."
    return (
        f"The map was changed meanwhile: {told} Nothing was kept. Look at what you typed, and keep it again."
    )
