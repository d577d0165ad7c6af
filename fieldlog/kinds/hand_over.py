"""A hand-over: from here on a rig's log is the next owner's."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds.forms import these
from fieldlog.kinds.kind import Extent, Glossary, Kind, noted
from fieldlog.kinds.paper import Listing, SectionLine, head_of
from fieldlog.model.bodies import BodyHandOver
from fieldlog.model.rig import Chain, Rig
from fieldlog.words.lines import Line


def _lines(body: BodyHandOver, _known: Glossary) -> Iterator[Line]:
    yield Line("Entries of the log before", f"{body['count']:,}")
    yield Line("Head of the log before", body["head"])


def _in_short(body: BodyHandOver, _known: Glossary) -> str:
    return f"To the next owner, with {body['count']:,} {'entry' if body['count'] == 1 else 'entries'}"


def _on_paper(_rig: Rig, handed_over: Chain[BodyHandOver]) -> SectionLine:
    body, maker = handed_over.body, handed_over.entry.record.made_by
    taken = f" It was taken by {maker}." if maker else ""
    told = f"What stands before it, entries 1 to {body['count']:,}, was entered by an earlier owner.{taken}"
    return SectionLine(head_of(handed_over), told, (f"Head of the log before: {body['head']}",))


KIND: Final[Kind[BodyHandOver]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(),
    extent=Extent.ALL,
    is_in_history=True,
    listing=Listing(title="Handed over", place=5, line=_on_paper, is_whole=True),
)
