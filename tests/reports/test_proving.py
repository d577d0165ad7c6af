"""How far a change is proved, from a rig's log: on its page and in its service record."""

from typing import Any

from fieldlog.model.proving import listed
from fieldlog.model.rig import Rig, rig_of
from fieldlog.reports.change_lines import ChangeLine, change_lines
from fieldlog.reports.contents import contents
from fieldlog.reports.overview import overview
from fieldlog.reports.render import render_body
from fieldlog.rulebook import load
from fieldlog.tables import entries
from tests.builders import NOON, a_device, a_record, a_rig, an_id, an_outlet
from tests.model.log import a_log, correcting

TABLE = entries("facts/proving.json")
FIRST_LIST = [
    {name: told for name, told in rule.items() if name != "until"} for rule in listed(TABLE, "2026-11-25")
]
"""The steps as they were when the first list was the newest."""
RIG = a_rig()
DEVICE = a_device(RIG["id"])
SINK = an_outlet(RIG["id"], "Sink", DEVICE["id"])
BED = an_outlet(RIG["id"], "Bed")
DEAD = (
    "unplugged",
    "source-off",
    "meter-before",
    "no-volts",
    "meter-after",
    "ground-continuous",
    "neutral-isolated",
    "no-short",
)
LIVE = ("polarity", "under-load", "trips")
PLACES = [(pair, at_inlet) for at_inlet in (True, False) for pair in ("h-n", "h-g", "n-g")]
OF_SINK = ("no-volts", "ground-continuous", "polarity", "under-load")


def a_change(*parts: str, **body: Any) -> dict[str, Any]:
    told = {
        "what": "New cable",
        "why": "Cut",
        "parts": list(parts),
        "map": None,
        "wire": "12 AWG",
        "device": "",
    }
    return a_record("change", told | body, rig=RIG["id"], observed_at="2026-11-25T10:00:00.000+01:00")


CHANGE = a_change(SINK["id"])


def a_proof(
    step: str,
    outcome: str | None = "good",
    *,
    minute: int,
    pair: str | None = None,
    at_inlet: bool = False,
    **body: Any,
) -> dict[str, Any]:
    part = SINK["id"] if step in OF_SINK else DEVICE["id"] if step == "trips" else None
    part = "inlet" if at_inlet else part
    told = {
        "step": step,
        "part": part,
        "pair": pair,
        "outcome": outcome,
        "value": None,
        "unit": None,
        "record": None,
    }
    observed_at = f"2026-11-26T11:{minute:02}:00.000+01:00"
    members = {"rig": RIG["id"], "subject": CHANGE["id"], "observed_at": observed_at}
    return a_record("proof", told | {"note": ""} | body, **members)


def all_proofs(first: int = 0, **others: str | None) -> list[dict[str, Any]]:
    """Give a proof of every step of the change in its order; good, but for those named (with _ for -)."""
    made: list[dict[str, Any]] = []
    for step in (*DEAD, *LIVE):
        outcome = others.get(step.replace("-", "_"), "good")
        for pair, at_inlet in PLACES if step == "no-volts" else [(None, False)]:
            rest: dict[str, Any] = {"at_inlet": at_inlet, "note": "" if outcome else "Rain"}
            made.append(a_proof(step, outcome, minute=first + len(made), pair=pair, **rest))
    return made


def rig(*records: dict[str, Any]) -> Rig:
    found = rig_of(a_log(RIG, DEVICE, SINK, BED, *records), RIG["id"])
    assert found is not None
    return found


def line(*records: dict[str, Any]) -> ChangeLine:
    [found] = change_lines(rig(CHANGE, *records), FIRST_LIST)
    return found


def line_today(*records: dict[str, Any]) -> ChangeLine:
    [found] = change_lines(rig(CHANGE, *records), TABLE)
    return found


def test_what_an_older_list_proved_says_so_and_nothing_more_is_taken_for_shown() -> None:
    proved = line_today(*all_proofs())
    assert proved.words == (
        "Proved 2026-11-26 by the list of 2026-11-25, which asked for less than today’s: "
        "entered by the owner, not an inspection"
    )
    assert (proved.standing, proved.older_list) == ("16 of 16 steps stand good", "2026-11-25")

    later = a_proof("polarity", minute=50) | {"observed_at": "2026-11-30T11:00:00.000+01:00"}
    begun = line_today(*all_proofs(), later)
    assert (begun.words, begun.older_list) == ("Changed, not yet proved", "")
    results = {proof.asked: proof.result for proof in begun.proofs}
    assert results["Megohms from hot to ground at the inlet"] == "open"
    assert "no step of this change" in next(
        result for asked, result in results.items() if asked.startswith("Ohms from hot to neutral and from")
    )


def test_a_change_is_not_yet_proved_until_every_step_stands_good() -> None:
    assert line().words == "Changed, not yet proved"
    assert line(*all_proofs()[:-1]).standing == "15 of 16 steps stand good"
    assert not line(*all_proofs()[:-1]).is_proved
    assert line(*all_proofs()).words == "Proved 2026-11-26: entered by the owner, not an inspection"


def test_proofs_without_a_change_neither_prove_nor_fail_one() -> None:
    alone = [proof | {"subject": None} for proof in all_proofs()]
    bad = a_proof("ground-continuous", "bad", minute=50) | {"subject": None}

    assert line(*alone).standing == "0 of 16 steps stand good"
    assert line(*alone, bad).words == "Changed, not yet proved"
    assert line(*alone, *all_proofs(first=20), bad).is_proved


def test_a_step_left_out_keeps_a_change_from_being_proved_and_says_why() -> None:
    found = line(*all_proofs(under_load=None))

    assert (found.is_proved, found.words) == (False, "Changed, not yet proved")
    assert [proof.result for proof in found.proofs if "known load" in proof.asked] == ["not tested: Rain"]


def test_a_bad_step_with_power_is_said_and_only_all_steps_anew_prove_the_change() -> None:
    bad = all_proofs(trips="bad")

    assert line(*bad).words == "Changed, not yet proved: a step is bad"
    assert line(*bad, a_proof("trips", minute=50)).words == "Changed, not yet proved"
    assert line(*bad, *all_proofs(first=20)).is_proved


def test_an_appliance_is_asked_at_its_frame_and_a_rig_without_an_inlet_at_its_inlet_all_the_same() -> None:
    parts = [
        {"id": "b", "kind": "breaker", "name": "Breaker"},
        {"id": "f", "kind": "appliance", "name": "Fridge"},
    ]
    drawn = a_record(
        "rig-map", {"parts": parts, "runs": [{"from": "b", "to": "f"}], "modes": {}}, rig=RIG["id"]
    )
    [found] = change_lines(rig(drawn, a_change("b", map=drawn["id"])), FIRST_LIST)

    told = [(proof.of, proof.asked) for proof in found.proofs]
    assert ("Fridge", "Ohms from the inlet’s ground pin to the metal frame of this appliance") in told
    assert ("Inlet, hot–neutral", "AC volts between these contacts") in told
    assert ("", "Every other source off and unplugged, generator stopped, none plugged in anywhere?") in told


def test_a_correction_of_a_proof_counts_in_place_of_it() -> None:
    proofs = all_proofs()
    fixed = correcting(proofs[-1], "01a20000-0000-7000-8000-0000000000ff", outcome="bad")

    assert line(*proofs, fixed).words == "Changed, not yet proved: a step is bad"


def test_a_shops_breakdown_fails_a_change_and_its_good_word_proves_nothing() -> None:
    shop: dict[str, Any] = {"value": "900", "unit": "V", "note": "By Alder Bend; 60 s"}

    assert line(*all_proofs(), a_proof("dielectric", "bad", minute=40, **shop)).words.endswith(
        "a step is bad"
    )
    assert not line(a_proof("dielectric", minute=40, **shop)).is_proved
    assert line(*all_proofs(), a_proof("dielectric", minute=40, **shop)).is_proved


def test_what_is_not_yet_proved_is_the_first_open_point() -> None:
    told = overview(rig(CHANGE), load(), NOON.date())

    first = told.open_points[0]
    assert first.kind == "changed, not yet proved"
    assert first.sentence == "“New cable”, 2026-11-25: 0 of 33 steps stand good."
    proved = overview(rig(CHANGE, *all_proofs()), load(), NOON.date())
    assert "changed, not yet proved" not in [point.kind for point in proved.open_points]


def test_a_part_that_was_taken_off_the_map_is_named_as_such() -> None:
    [found] = change_lines(rig(a_change("gone", BED["id"])), FIRST_LIST)

    assert found.parts == "a part that is no longer on the map, Bed"


def test_a_rig_without_changes_has_no_lines() -> None:
    assert change_lines(rig(), FIRST_LIST) == ()


def test_the_service_record_lists_each_change_with_its_proofs() -> None:
    what = "New cable <b>"
    proofs = [
        a_proof("no-volts", minute=1, pair="h-n", value="0.2", unit="V"),
        a_proof("unplugged", minute=2),
    ]
    change = {**CHANGE, "body": {**CHANGE["body"], "what": what}}
    page = render_body(contents(rig(change, *proofs), load(), made_at=NOON, address="http://here/"))

    section = page.split("Changes to the wiring", 1)[1].split("</section>", 1)[0]
    assert "Changed, not yet proved" in section and "1 of 33 steps stand good" in section
    assert "New cable &lt;b&gt; (Cut). Parts: Sink. Used: 12 AWG." in section
    assert (
        "2026-11-26, entry 6: AC volts between these contacts (Sink, hot–neutral): does not count" in section
    )
    assert "0.2 V" in section


def test_a_record_of_a_rig_without_changes_does_not_speak_of_them() -> None:
    page = render_body(contents(rig(), load(), made_at=NOON, address="http://here/"))

    assert "Changes to the wiring" not in page


def test_a_corrected_change_and_a_corrected_proof_are_told_as_corrections() -> None:
    proof = a_proof("no-volts", minute=1, pair="h-n", value="0.2", unit="V")
    fixed = [
        correcting(CHANGE, an_id(), "Misnamed.", what="Old cable"),
        correcting(proof, an_id(), value="0.3"),
    ]
    page = render_body(contents(rig(CHANGE, proof, *fixed), load(), made_at=NOON, address="http://here/"))

    assert "Old cable (Cut)" in page.split("Changes to the wiring", 1)[1]
    told = page.split("<h2>Corrections</h2>", 1)[1]
    assert "Change to the wiring: Misnamed." in told.replace("change to the wiring", "Change to the wiring")
    assert "0.3" in told


def test_a_proof_that_was_noted_again_stays_in_the_record_before_the_one_that_counts() -> None:
    bad = a_proof("no-short", "bad", minute=30, value="3", unit="ohm")
    again = a_proof("no-short", minute=31, note="OL")

    shorts = [proof for proof in line(bad, again).proofs if proof.asked.startswith("Ohms from hot")]

    assert [proof.number for proof in shorts] == [6, 7]
    assert shorts[0].result == "bad: 3 Ω; noted again later, entry 7"
    assert "noted again" not in shorts[1].result
    page = render_body(contents(rig(CHANGE, bad, again), load(), made_at=NOON, address="http://127.0.0.1/x"))
    assert "bad: 3 Ω; noted again later, entry 7" in page


def test_a_proof_of_a_step_that_the_change_no_longer_takes_stays_in_the_record() -> None:
    elsewhere = a_proof("polarity", "bad", minute=30)
    elsewhere["body"]["part"] = BED["id"]

    [found] = [proof for proof in line(elsewhere).proofs if proof.of == "Bed"]

    assert (found.number, found.result) == (
        6,
        "bad; no step of this change by the map and the list as they are now",
    )


def test_a_change_is_proved_on_the_day_of_what_counts() -> None:
    early = a_proof("under-load", minute=0)
    early["body"]["part"] = BED["id"]
    early["observed_at"] = "2026-11-28T11:00:00.000+01:00"

    assert line(*all_proofs(), early).words.startswith("Proved 2026-11-26")


def test_without_its_proofs_a_change_says_the_same_of_how_it_stands() -> None:
    whole = line(*all_proofs())
    [bare] = change_lines(rig(CHANGE, *all_proofs()), FIRST_LIST, has_proofs=False)

    assert whole.proofs and not bare.proofs
    assert (bare.words, bare.standing) == (whole.words, whole.standing)
