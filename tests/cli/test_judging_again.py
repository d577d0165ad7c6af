"""fieldlog judge --all, and the page that shows what it found."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from sqlalchemy import text

from fieldlog import clock, rulebook
from fieldlog.app import open_current_store
from fieldlog.cli import main
from fieldlog.config import Config
from fieldlog.model.account import Account
from fieldlog.store.judged import begin, reached_by
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from fieldlog.sync import judging_again
from fieldlog.sync.inbox import Inbox
from fieldlog.web.people.accounts import create_account
from tests.builders import a_check, a_judgement, an_arrival_check

OTHER = "sha256:" + "0" * 64
REVERSED = {"h-n": "120.0 V", "h-g": "0.3 V", "n-g": "120.0 V"}


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    monkeypatch.setenv("FIELDLOG_DATA", str(tmp_path))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    opened = open_current_store(Config.from_environment())
    yield opened
    opened.close()


@pytest.fixture
def kim(store: Store) -> Account:
    return create_account(store, "Kim", "rain on the awning", now=clock.now, new_id=clock.new_id)


def send(store: Store, kim: Account, *records: dict[str, object]) -> None:
    receipts = Inbox(store, rulebook.load(), kim).receive(list(records), clock.now())
    assert {receipt.status for receipt in receipts} == {"stored"}, receipts


def checks(count: int, verdict: str = "use", **members: object) -> list[dict[str, object]]:
    made = [an_arrival_check(check=a_check(**members)) for _ in range(count)]
    for each in made:
        each["body"]["judgement"] = a_judgement(verdict, OTHER)
    return made


def judge() -> Result:
    result = CliRunner().invoke(main, ["judge", "--all"])
    assert result.exit_code == 0, result.output
    return result


def test_what_is_judged_otherwise_is_told_and_what_was_said_stays(store: Store, kim: Account) -> None:
    send(store, kim, *checks(1, volts=REVERSED), *checks(2), an_arrival_check())
    with store.reading() as tx:
        before = [(entry.hash, entry.record) for entry in records_after(tx, kim.id, 0, 10)]

    found = [json.loads(line) for line in judge().stdout.splitlines() if line.startswith("{")]

    assert [(one["said"], one["verdict"], one["is_worse"]) for one in found] == [("use", "do-not-use", True)]
    assert found[0]["reason"]
    with store.reading() as tx:
        assert [(entry.hash, entry.record) for entry in records_after(tx, kim.id, 0, 10)] == before


@pytest.mark.parametrize(
    ("there", "spoiled"),
    [('"121.3 V"', '"121.3"'), ('"check":{', '"check":7,"was":{'), ('"look":[]', '"look":3')],
)
def test_a_check_that_cannot_be_read_any_more_is_told_as_not_judged(
    store: Store, kim: Account, there: str, spoiled: str
) -> None:
    send(store, kim, *checks(2))
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        change = text("UPDATE records SET text = replace(text, :there, :spoiled) WHERE seq = 1")
        tx.execute(change, {"there": there, "spoiled": spoiled})
        assert spoiled in tx.execute(text("SELECT text FROM records WHERE seq = 1")).scalar_one()

    found = [json.loads(line) for line in judge().stdout.splitlines() if line.startswith("{")]

    assert [(one["said"], one["verdict"], one["is_worse"]) for one in found] == [("use", None, True)]
    assert found[0]["reason"]


def test_a_second_run_finds_all_done_and_judges_only_what_came_since(store: Store, kim: Account) -> None:
    send(store, kim, *checks(3, volts=REVERSED))
    judge()

    assert "{" not in judge().stdout
    send(store, kim, *checks(1, volts=REVERSED))
    assert judge().stdout.count('"is_worse": true') == 1


def test_one_that_was_broken_off_goes_on_where_it_was(
    store: Store, kim: Account, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(judging_again, "AT_ONCE", 2)
    send(store, kim, *checks(5, volts=REVERSED))
    book = rulebook.load()
    parts = judging_again.judge_all(store, book, lambda first, newest: None)
    first = next(parts)
    parts.close()
    with store.reading() as tx:
        reached = reached_by(tx, book.id)

    assert reached is not None and (reached.checks, len(first.found)) == (2, 2)
    assert judge().stdout.count('"is_worse": true') == 3


def test_under_another_rulebook_all_is_judged_anew(store: Store, kim: Account) -> None:
    send(store, kim, *checks(2, volts=REVERSED))
    with store.writing() as tx:
        begin(tx, "sha256:another")

    assert judge().stdout.count('"is_worse": true') == 2


def test_the_command_asks_what_to_judge() -> None:
    result = CliRunner().invoke(main, ["judge"])

    assert result.exit_code == 2
    assert "--all" in result.output
