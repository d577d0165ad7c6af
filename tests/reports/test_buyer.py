"""What a buyer asks of a record: told by the records that count, and "not noted" where they do not tell."""

import json
import random
from collections.abc import Sequence
from typing import Any

from fieldlog.kinds import kind_of
from fieldlog.reports.buyer import asked_lines
from fieldlog.sync.shape import problems_of_shape
from fieldlog.tables import entries
from tests.builders import a_change, a_device, a_look, a_photo, a_proof, a_rig, a_trip_test, an_id
from tests.model.log import correcting
from tests.node import answers_of_node

TABLE = entries("facts/buyer.json")


def told(records: Sequence[dict[str, Any]], hidden: Sequence[str] = ()) -> dict[str, tuple[str, ...]]:
    """Answer what is asked, in both languages alike."""
    lines = asked_lines(records, TABLE, hidden)
    (theirs,) = answers_of_node("buyer.mjs", [TABLE, {"records": records, "hidden": hidden}])
    assert json.loads(theirs) == [{"label": line.label, "told": list(line.told)} for line in lines]
    return {str(asked["id"]): line.told for asked, line in zip(TABLE, lines, strict=True)}


def with_body(record: dict[str, Any], **members: Any) -> dict[str, Any]:
    changed = record | {"body": record["body"] | members}
    assert problems_of_shape(changed) == []
    return changed


def test_of_a_rig_of_which_nothing_is_noted_each_line_says_so() -> None:
    assert set(told([a_rig()]).values()) == {("not noted",)}


def test_what_is_there_and_was_left_out_is_not_shown_rather_than_not_noted() -> None:
    found = told([a_rig()], ["photo"])

    assert (found["photos"], found["plate"]) == (("not shown",), ("not noted",))


def test_each_line_is_told_by_its_records() -> None:
    rig = with_body(
        a_rig(), plate_ends="A12345", year="1998", papers="Permit 7, 2024", tested_with="Meter 3, number 9"
    )
    device = with_body(a_device(rig["id"], "GFCI in the galley", made="2021-02"), marked="X 15 A, 2107")
    change = with_body(a_change(rig["id"]), wire="12 AWG", device="GFCI 20 A")
    bond = with_body(a_proof(rig["id"]), step="frame-bond", value="0.2", unit="ohm", part=None, pair=None)
    apart = with_body(a_proof(rig["id"]), step="neutral-ground-apart", value="20", unit="Mohm", pair=None)
    alarms = with_body(a_look(rig["id"]), of="alarms", points={"alarm-smoke": "good"}, ends={"co": "2031-05"})
    day = bond["observed_at"][:10]

    found = told([rig, device, change, bond, apart, alarms, a_photo(rig["id"])])

    assert found["plate"] == ("A12345",)
    assert found["papers"] == ("Permit 7, 2024",)
    assert found["devices"][0].startswith("GFCI in the galley, marked X 15 A, 2107, made 2021-02")
    assert found["wire"] == (f"{day}, 12 AWG, GFCI 20 A",)
    assert found["bond"] == (f"{day}, 0.2, ohm",)
    assert found["insulation"] == (f"{day}, 20, Mohm",)
    assert found["alarms"] == ("carbon monoxide alarm 2031-05",)


def test_a_photo_of_which_nobody_said_what_it_shows_is_told_by_its_day() -> None:
    photo, rig = a_photo(an_id()), a_rig()
    day = photo["observed_at"][:10]

    assert told([rig, photo])["photos"] == (day,)
    assert told([rig, with_body(photo, what="The plate")])["photos"] == (f"{day}, The plate",)


def test_a_correction_counts_and_what_it_stands_in_for_is_told_no_more() -> None:
    rig = with_body(a_rig(), plate_ends="A12345")
    later = correcting(rig, an_id(), plate_ends="B99999")
    beside = correcting(rig, an_id(), plate_ends="C00000")

    assert told([rig, later])["plate"] == ("B99999",)
    assert told([rig, beside, later])["plate"] == told([rig, later, beside])["plate"] == ("C00000",)


def test_what_is_gone_for_good_is_left_out_and_names_of_who_tested_stand_once() -> None:
    rig = a_rig()
    gone = with_body(a_device(rig["id"], made="2021-02"), retired=True)
    presses = [a_trip_test(rig["id"], gone["id"]) | {"made_by": "Kim"} for _ in range(2)]

    found = told([rig, gone, *presses])

    assert (found["devices"], found["tested-by"]) == (("not noted",), ("Kim",))


HELD = ("", "{}", "{day}", "$&", 1.0, 0.37, None, {"co": "2031-05"})
PLACES = {place.split("/")[2] for asked in TABLE for place, _ in asked["tell"] if "/body/" in place}


def drawn(rng: random.Random) -> dict[str, Any]:
    """Draw a log: texts, numbers and holes where the table looks, corrections of one another."""
    ids, records = [an_id() for _ in range(12)], []
    for at, identity in enumerate(ids):
        body = {place: rng.choice(HELD) for place in sorted(PLACES)}
        body |= {"step": rng.choice(["frame-bond", "x"]), "retired": rng.random() < 0.1}
        record = {
            "id": identity,
            "kind": rng.choice([str(each) for asked in TABLE for each in asked["kinds"]]),
            "body": body,
            "corrects": rng.choice(ids[:at]) if at and rng.random() < 0.4 else None,
            "made_by": rng.choice(["", "Kim"]),
            "observed_at": "2026-11-20T10:00:00.000-06:00",
        }
        records.append(record)
    return {"records": records, "hidden": rng.sample(["photo", "look"], rng.randrange(3))}


def test_drawn_logs_are_answered_alike() -> None:
    rng = random.Random(3)
    logs = [drawn(rng) for _ in range(60)]

    theirs = answers_of_node("buyer.mjs", [TABLE, *logs])

    for log, answer in zip(logs, theirs, strict=True):
        ours = asked_lines(log["records"], TABLE, log["hidden"])
        assert json.loads(answer) == [{"label": line.label, "told": list(line.told)} for line in ours]


def test_the_table_asks_kinds_that_there_are() -> None:
    assert all(kind_of(kind) for asked in TABLE for kind in asked["kinds"])
