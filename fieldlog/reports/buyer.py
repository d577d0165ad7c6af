"""What a buyer or an insurer asks of a rig's record: each line told by the records, or not noted."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.model.canonical import canonical

NOT_NOTED: Final = "not noted"
NOT_SHOWN: Final = "not shown"
Json = Mapping[str, Any]


@dataclass(frozen=True)
class BuyerLine:
    """One thing that is asked for, and what is told of it, the newest first."""

    label: str
    told: tuple[str, ...]


def asked_lines(
    records: Sequence[Json], table: Sequence[Json], hidden: Collection[str] = ()
) -> tuple[BuyerLine, ...]:
    """Answer what is asked.

    Parameters
    ----------
    records : sequence of mapping
        Records as JSON, in the order of their log.
    table : sequence of mapping
        Entries of schemas/facts/buyer.json.
    hidden : collection of str
        Kinds of which records are there that are not among these.

    Returns
    -------
    tuple of BuyerLine
        In the order of the table; where nothing is told, it says whether that is not noted or not shown.
    """
    standing = _standing(records)
    return tuple(BuyerLine(str(asked["label"]), _told(asked, standing, hidden)) for asked in table)


def _standing(records: Sequence[Json]) -> list[Json]:
    """Give the newest first those that count: of each chain the one that no other corrects, greatest id."""
    by_id = {record["id"]: record for record in records}
    gone = {each for record in records for each in _corrected(record)}
    counting: dict[str, Json] = {}
    for record in records:
        root = _root(record, by_id)
        other = counting.get(root)
        if record["id"] not in gone and (other is None or other["id"] < record["id"]):
            counting.pop(root, None)
            counting[root] = record
    return list(reversed(counting.values()))


def _corrected(record: Json) -> Iterator[str]:
    if record.get("corrects"):
        yield record["corrects"]
        yield from record.get("also_corrects") or ()


def _root(record: Json, by_id: Mapping[str, Json]) -> str:
    seen, found = {record["id"]}, record["id"]
    following = record.get("corrects")
    while following and following not in seen:
        seen.add(following)
        found = following
        following = by_id.get(following, {}).get("corrects")
    return str(found)


def _told(asked: Json, standing: Sequence[Json], hidden: Collection[str]) -> tuple[str, ...]:
    told = dict.fromkeys(_sentence(asked, record) for record in standing if _is_asked(asked, record))
    found = tuple(told)[: asked["most"]]
    if found:
        return found
    return (NOT_SHOWN if any(kind in hidden for kind in asked["kinds"]) else NOT_NOTED,)


def _is_asked(asked: Json, record: Json) -> bool:
    if record["kind"] not in asked["kinds"] or _at(record, "/body/retired") == "true":
        return False
    if "where" in asked:
        place, values = asked["where"]
        if _at(record, place) not in values:
            return False
    return any(_at(record, place) for place in asked.get("needs", [place for place, _ in asked["tell"]]))


def _sentence(asked: Json, record: Json) -> str:
    parts = ((_at(record, place), said) for place, said in asked["tell"])
    return ", ".join(
        said.replace("{day}", held[:10], 1).replace("{}", held, 1) for held, said in parts if held
    )


def _at(record: Json, place: str) -> str:
    """Give what stands at a place as text, "" for nothing."""
    value: Any = record
    for step in place.split("/")[1:]:
        value = value.get(step) if isinstance(value, Mapping) else None
    if value is None:
        return ""
    return value if isinstance(value, str) else canonical(value).decode()
