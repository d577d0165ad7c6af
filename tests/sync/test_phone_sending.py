"""What waits on a phone reaches the server, once, whatever the server answers in between."""

from dataclasses import replace

import pytest

from fieldlog.model.account import Account
from fieldlog.model.bounds import Bounds
from tests.builders import a_rig, an_arrival_check, an_id, an_outlet
from tests.sync.held import STAYS_ON_ITS_WAY, Between, Held, a_problem, answers, ids_in, is_batch
from tests.sync.phones import Answer, Ask

DAY_MS = 24 * 60 * 60_000
MINUTE_MS = 60_000


def refusing(identity: str, status: int, seen: list[list[str]], *headers: tuple[str, str]) -> Between:
    """Answer every batch that carries one record with a status, and let the others through."""

    def between(ask: Ask) -> Answer | None:
        if not is_batch(ask):
            return None
        seen.append(ids_in(ask))
        return answers(status, a_problem("Something broke here."), *headers) if identity in seen[-1] else None

    return between


def answering_batches(answer: Answer) -> Between:
    return lambda ask: answer if is_batch(ask) else None


def let_all_through(_: Ask) -> None:
    return None


@pytest.mark.parametrize(("status", "saved"), [(500, "phone"), (422, "refused")])
def test_one_record_that_is_never_taken_holds_up_no_other(
    held: Held, account: Account, status: int, saved: str
) -> None:
    ids = held.keep_checks(100)
    seen: list[list[str]] = []
    held.between = refusing(ids[41], status, seen)
    held.sync()
    held.sync()

    assert held.stored(account) == ids[:41] + ids[42:]
    aside = held.ask("return queue.refusedRows();")
    assert [(row["id"], row["saved"]) for row in aside] == [(ids[41], saved)]
    assert "Something broke here." in aside[0]["problems"][0]["problem"]
    assert sum(ids[41] in sent for sent in seen) <= 6


def test_a_record_on_which_the_server_fails_is_tried_again_by_itself_at_most_six_times_an_hour(
    held: Held, account: Account
) -> None:
    ids = held.keep_checks(12)
    seen: list[list[str]] = []
    held.between = refusing(ids[0], 500, seen)
    for _ in range(20):
        held.sync()
        held.pass_by(3 * MINUTE_MS)
    tries = sum(ids[0] in sent for sent in seen)
    held.between = let_all_through
    held.pass_by(80 * MINUTE_MS)
    held.sync()

    assert 3 <= tries <= 6
    assert sorted(held.stored(account)) == sorted(ids)
    assert held.ask("return queue.refusedRows();") == []


def test_a_server_that_takes_nothing_is_left_alone_and_nothing_is_lost(held: Held, account: Account) -> None:
    held.keep_checks(60)
    asked: list[str] = []

    def ill(ask: Ask) -> Answer | None:
        if not ask.address.startswith("/api/records"):
            return None
        asked.append(ask.method)
        return answers(500, a_problem("The disk is full."))

    held.between = ill
    held.sync()

    assert len(asked) <= 6
    assert held.saved() == {"phone": 60}
    assert held.ask("return flush.standing.problem;") == "The disk is full."


def test_a_session_that_ends_in_the_middle_loses_nothing(held: Held, account: Account) -> None:
    ids = held.keep_checks(250)
    batches: list[int] = []

    def ends(ask: Ask) -> Answer | None:
        if is_batch(ask):
            batches.append(len(ids_in(ask)))
        is_over = len(batches) == 2 and ask.address.startswith("/api/records")
        return answers(401, a_problem("Sign in first.")) if is_over else None

    held.between = ends
    held.sync()
    assert held.saved() == {"server": 100, "phone": 150}
    assert held.ask("return [flush.standing.signedIn, flush.standing.reached];") == [False, True]
    held.between = let_all_through
    held.sign_out_elsewhere()
    held.sync()
    assert held.saved() == {"server": 100, "phone": 150}
    held.sign_in(account)
    held.sync()

    assert held.saved() == {"server": 250}
    assert held.stored(account) == ids


def test_a_queue_of_ninety_days_loses_nothing(held: Held, account: Account) -> None:
    ids = held.keep_checks(30)
    held.set_clock(90 * DAY_MS)
    later = held.keep_checks(1)
    held.reload()
    assert held.saved() == {"phone": 31}
    held.sync()

    assert held.saved() == {"server": 31}
    assert held.stored(account) == ids + later


def test_over_a_way_too_slow_for_a_large_batch_smaller_ones_go(held: Held, account: Account) -> None:
    ids = held.keep_checks(60)
    waiting: list[Ask] = []

    def slow(ask: Ask) -> Answer | None:
        if not is_batch(ask) or len(ids_in(ask)) <= 20:
            return None
        waiting.append(ask)  # it is on its way for longer than the phone waits
        return STAYS_ON_ITS_WAY

    held.between = slow
    held.sync()
    assert held.phone.is_at("script")
    held.pass_by(11_000)
    assert not held.phone.is_at("script")

    assert len(waiting) == 1
    assert held.saved() == {"server": 60}
    assert held.stored(account) == ids


def test_a_wrong_clock_is_noticed_and_told(held: Held, account: Account) -> None:
    (identity,) = held.keep_checks(1)
    held.set_clock(-60 * MINUTE_MS)
    held.sync()

    assert held.ask("return (await db.get('kept', 'clock')).offset_s;") == pytest.approx(3600, abs=10)
    assert held.row(identity)["clock_offset_s"] == pytest.approx(3600, abs=10)
    assert "clock-differs" in [flag["flag"] for flag in held.row(identity)["flags"]]


def test_a_letter_that_the_server_does_not_read_is_no_records_fault(held: Held) -> None:
    held.keep_checks(12)
    held.between = answering_batches(answers(422, a_problem("That is no time.", at="/sent_at")))
    held.sync()

    assert held.saved() == {"phone": 12}
    assert held.ask("return flush.standing.problem;") == "That is no time."


@pytest.mark.parametrize("status", [429, 503])
def test_a_server_that_asks_to_be_left_alone_is(held: Held, account: Account, status: int) -> None:
    ids = held.keep_checks(3)
    seen: list[list[str]] = []
    held.between = refusing(ids[0], status, seen, ("Retry-After", "120"))
    held.sync()
    held.pass_by(110_000)
    held.reload()
    held.sync()
    assert len(seen) == 1
    assert held.saved() == {"phone": 3}
    assert [held.row(identity).get("tries") for identity in ids] == [None] * 3
    held.between = let_all_through
    held.pass_by(15_000)
    held.sync()

    assert held.stored(account) == ids


def test_only_a_receipt_that_names_the_same_text_counts_as_arrived(held: Held) -> None:
    (identity,) = held.keep_checks(1)
    for answer in (
        Answer(200, "text/html", b"<h1>Welcome</h1>"),
        answers(200, {"welcome": True}),
        answers(200, {"receipts": [{"id": identity, "status": "stored", "hash": None}]}),
        Answer(302, "text/html", b"", (("Location", "/sign-in"),)),
    ):
        held.between = answering_batches(answer)
        held.sync()
        assert held.saved() == {"phone": 1}, answer


def test_a_receipt_for_another_text_is_told_and_the_text_stays(held: Held) -> None:
    (identity,) = held.keep_checks(1)
    receipt = {"id": identity, "status": "known", "hash": "0" * 64, "seq": 1, "problems": []}
    held.between = answering_batches(answers(200, {"receipts": [receipt]}))
    held.sync()

    row = held.row(identity)
    assert (row["saved"], row["problems"][0]["at"]) == ("refused", "/id")
    assert "another text" in row["problems"][0]["problem"]


def test_a_record_refused_for_want_of_another_goes_by_itself_once_that_one_is_there(
    held: Held, account: Account
) -> None:
    rig = a_rig()
    outlet = an_outlet(rig["id"])
    held.keep(outlet)
    held.sync()
    assert held.row(outlet["id"])["saved"] == "refused"
    assert held.row(outlet["id"])["problems"][0]["at"] == "/rig"
    held.keep(rig)
    held.sync()

    assert held.saved() == {"server": 2}
    assert held.stored(account) == [rig["id"], outlet["id"]]


def test_a_mended_record_keeps_its_number_its_earlier_text_and_arrives(held: Held, account: Account) -> None:
    wrong = an_arrival_check()
    wrong["body"]["check"]["volts"]["h-n"] = "121,3 V"
    held.keep(wrong)
    held.sync()
    assert held.row(wrong["id"])["saved"] == "refused"
    right = an_arrival_check(id=wrong["id"])
    held.ask("await mending.mend(given.id, given);", right)
    held.sync()

    row = held.row(wrong["id"])
    assert (row["saved"], row["record"], row["before"]) == ("server", right, [wrong])
    assert held.records(account) == [right]


def test_a_record_whose_number_is_taken_gets_another_and_what_speaks_of_it_follows(
    held: Held, account: Account
) -> None:
    taken = an_id()
    held.hand_in(account, an_arrival_check(id=taken))
    rig = a_rig(id=taken)
    outlet = an_outlet(taken)
    held.keep(rig, outlet)
    held.ask("await db.put('drafts', 'rig', { saved: { rig: { id: given } } });", taken)
    held.sync()
    assert held.row(taken)["problems"][0]["at"] == "/id"
    fresh = held.ask("return (await mending.mend(given.id, given)).id;", rig)
    held.sync()

    assert fresh != taken
    assert held.saved() == {"server": 3}
    assert held.row(fresh)["record"]["rig"] == fresh
    assert held.row(outlet["id"])["record"]["rig"] == fresh
    assert held.ask("return (await db.get('drafts', ['rig', given])).saved.rig.id;", account.name) == fresh
    assert sorted(held.stored(account)) == sorted([taken, fresh, outlet["id"]])


def test_a_record_that_is_mended_while_it_is_on_its_way_keeps_what_was_typed(held: Held) -> None:
    sent = an_arrival_check()
    typed = an_arrival_check(id=sent["id"], made_by="Robin")
    held.keep(sent)

    held.ask(
        """const real = fetch;
        globalThis.fetch = async (address, options) => {
          if (options?.method === "POST") {
            globalThis.fetch = real;
            await mending.mend(given.id, given);
          }
          return real(address, options);
        };""",
        typed,
    )
    held.sync()

    row = held.row(sent["id"])
    assert row["record"]["made_by"] == "Robin"
    assert row["saved"] != "server"
    assert held.asked.count("POST records") == 2, "what was typed goes as well; its own answer counts"


def test_what_is_discarded_can_be_put_back(held: Held) -> None:
    ids = held.keep_checks(3)
    gone = held.ask("return mending.discard(given);", ids[:2])
    assert held.saved() == {"phone": 1}
    held.ask("await mending.restore(given);", gone)

    assert held.saved() == {"phone": 3}


def test_photos_that_cannot_go_hold_up_no_record(held: Held, account: Account) -> None:
    held.between = lambda ask: answers(500) if ask.address.startswith("/api/photos/") else None
    ids = held.keep_checks(2)
    held.sync()

    assert held.stored(account) == ids
    assert held.ask("return flush.standing.problem;") is None


def test_a_server_without_room_is_told_and_neither_loses_nor_blames_a_record(
    held: Held, account: Account
) -> None:
    settings = held.parts.settings
    ids = held.keep_checks(12)
    held.set_parts(settings=replace(settings, bounds=Bounds(records=5)))
    elsewhere = an_arrival_check()
    held.hand_in(account, elsewhere)
    held.asked.clear()
    held.sync()

    assert held.asked.count("POST records") == 1
    assert held.saved() == {"phone": 12, "server": 1}, "what is new elsewhere comes all the same"
    assert [held.row(identity).get("tries") for identity in ids] == [None] * 12
    standing = held.ask("const { reached, problem } = flush.standing; return { reached, problem };")
    assert standing["reached"] and standing["problem"].startswith("This account may have 5 records.")

    held.set_parts(settings=settings)
    held.pass_by(20 * MINUTE_MS)
    assert held.stored(account) == [elsewhere["id"], *ids]
