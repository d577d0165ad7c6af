"""A round: the month's tests and looks, step by step, done or skipped."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from fieldlog.kinds.forms import these
from fieldlog.kinds.kind import Extent, Glossary, Kind, Log, noted
from fieldlog.kinds.rules import not_of_the_rig
from fieldlog.model.bodies import BodyRound
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.words.lines import Line
from fieldlog.words.wording import begun

STEP_RECORDS: Final[Mapping[str, str]] = {"device": "trip-test", "outlet": "outlet-test", "look": "look"}


def _lines(body: BodyRound, known: Glossary) -> Iterator[Line]:
    """Give each step of a round: done or skipped."""
    yield Line("Begun", body["started_at"])
    for step in body["steps"]:
        what = known.names.get(step["subject"] or "") or step["of"] or step["what"]
        why = f": {step['why']}" if step["why"] else ""
        yield Line(begun(what), f"skipped{why}" if step["skipped"] else "done")


def _in_short(body: BodyRound, _known: Glossary) -> str:
    skipped = sum(step["skipped"] for step in body["steps"])
    return f"{len(body['steps']) - skipped} done, {skipped} skipped"


def _says_one_thing(record: Record[BodyRound]) -> Iterator[Problem]:
    """Hold each step of a round against itself: either a record shows it, or it was skipped."""
    for i, step in enumerate(record.body["steps"]):
        if step["skipped"] != (step["record"] is None):
            words = "A step was skipped, or a record shows it: correct one of the two."
            yield Problem(f"/body/steps/{i}/skipped", words)


def _of_the_rig(record: Record[BodyRound], log: Log) -> Iterator[Problem]:
    """Refuse a round whose steps name what the rig has not."""
    for i, step in enumerate(record.body["steps"]):
        yield from _step(f"/body/steps/{i}", step, record.rig, log)


def _step(at: str, step: Mapping[str, Any], rig: str | None, log: Log) -> Iterator[Problem]:
    what, subject, shown = step["what"], step["subject"], step["record"]
    kinds = ("outlet", "device") if what == "look" else (what,)
    if (subject is not None or what != "look") and not any(
        log.has_thing(subject, kind, rig) for kind in kinds
    ):
        yield not_of_the_rig(f"{at}/subject", kinds[0])
    if shown is not None and not log.is_of(shown, STEP_RECORDS[what], rig):
        words = f"This is not a record of the kind {STEP_RECORDS[what]} of this rig; send it first."
        yield Problem(f"{at}/record", words)


KIND: Final[Kind[BodyRound]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(),
    rules=(_says_one_thing,),
    log_rules=(_of_the_rig,),
    extent=Extent.NEWEST,
    is_in_history=True,
)
