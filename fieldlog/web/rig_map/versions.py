"""Every version of a rig's map: its day, its reason, and what it changed."""

from dataclasses import dataclass

from flask import render_template
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound
from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Chain, Rig
from fieldlog.reports.map_versions import differences
from fieldlog.web.layout.rigs import rig_needed
from fieldlog.web.rig_map.blueprint import blueprint
from fieldlog.web.rig_map.edits import Body, feeds_of
from fieldlog.web.rig_map.modes import mode_sentences
from fieldlog.words.map_parts import name_of, part_words, side_words, wire_words

FIRST = "The first version."
THE_SAME = "Nothing of what the map holds was changed."


@dataclass(frozen=True)
class Version:
    """A version of the map in words."""

    id: str
    number: int
    day: str
    made_by: str
    reason: str
    told: tuple[str, ...]
    counts: bool
    stands_beside: bool


@blueprint.get("/rigs/<rig_id>/map/versions")
def versions(rig_id: str) -> ResponseReturnValue:
    """Show all versions, newest first."""
    rig = rig_needed(rig_id)
    told = [] if rig.map is None else [*reversed(_versions(rig.map))]
    return render_template("rig_map/versions.html", rig=rig, versions=told)


@blueprint.get("/rigs/<rig_id>/map/versions/<version_id>")
def version(rig_id: str, version_id: str) -> ResponseReturnValue:
    """Show one version with all its parts."""
    rig = rig_needed(rig_id)
    entry = _entry(rig, version_id)
    told = next(each for each in _versions(_map_of(rig)) if each.id == version_id)
    body = entry.record.body
    return render_template(
        "rig_map/version.html",
        rig=rig,
        version=told,
        parts=[(part["name"], part_words(part), _feeds(body, part["id"])) for part in body["parts"]],
        modes=mode_sentences(body),
    )


def _versions(chain: Chain) -> list[Version]:
    """Give the versions in the order in which they arrived, each held against the one that it corrects."""
    bodies = {entry.record.id: entry.record.body for entry in chain.versions}
    beside = {entry.record.id for entry in chain.beside}
    return [
        Version(
            id=entry.record.id,
            number=number,
            day=entry.record.observed.date().isoformat(),
            made_by=entry.record.made_by,
            reason=entry.record.reason or "",
            told=_told(bodies.get(entry.record.corrects or ""), entry),
            counts=entry is chain.entry,
            stands_beside=entry.record.id in beside,
        )
        for number, entry in enumerate(chain.versions, 1)
    ]


def _told(before: Body | None, entry: StoredRecord) -> tuple[str, ...]:
    if before is None:
        return (FIRST,)
    return tuple(differences(before, entry.record.body)) or (THE_SAME,)


def _feeds(body: Body, part_id: str) -> str:
    runs = [body["runs"][at] for at in feeds_of(body, part_id)]
    told = [
        ", ".join(
            word for word in (name_of(body, run["from"]), side_words(body, run), wire_words(run)) if word
        )
        for run in runs
    ]
    return f"fed from {' and from '.join(told)}" if told else "fed from nothing on the map"


def _map_of(rig: Rig) -> Chain:
    if rig.map is None:
        raise NotFound("version of the map")
    return rig.map


def _entry(rig: Rig, version_id: str) -> StoredRecord:
    for entry in _map_of(rig).versions:
        if entry.record.id == version_id:
            return entry
    raise NotFound("version of the map")
