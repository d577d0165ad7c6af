"""/healthz."""

import platform
from typing import Any

from flask import Flask

from fieldlog import rulebook
from fieldlog.errors import RulebookDamaged
from fieldlog.store import migrations
from fieldlog.store.session import Store, sqlite_version
from tests.builders import an_arrival_check
from tests.conftest import Person


def test_a_ready_app_names_the_versions_in_use(client: Any) -> None:
    answer = client.get("/healthz")

    assert answer.status_code == 200
    assert (answer.json["ready"], answer.json["wrong"]) == (True, [])
    versions = answer.json["versions"]
    assert versions["python"] == platform.python_version()
    assert versions["sqlite"] == sqlite_version()
    assert versions["rulebook"] == rulebook.load().id
    assert versions["schema"] == migrations.newest_revision()
    assert versions["app"]


def test_a_damaged_rulebook_is_not_ready_and_says_so(app: Flask, client: Any) -> None:
    object.__setattr__(
        app.extensions["fieldlog"],
        "rulebook_or_damage",
        RulebookDamaged("its content does not match its id."),
    )

    answer = client.get("/healthz")

    assert answer.status_code == 503
    assert "does not match its id" in answer.json["wrong"][0]
    assert client.get("/rulebook.json").status_code == 503


def test_an_older_database_is_not_ready_and_says_so(store: Store, client: Any) -> None:
    with store.writing() as tx:
        tx.exec_driver_sql("UPDATE alembic_version SET version_num = '0000'")

    answer = client.get("/healthz")

    assert answer.status_code == 503
    assert "stands at 0000" in answer.json["wrong"][0]


def test_a_database_that_does_not_answer_is_not_ready_and_says_so(
    store: Store, client: Any, config: Any
) -> None:
    store.close()
    for path in config.data.glob("fieldlog.sqlite3*"):
        path.unlink()
    (config.data / "fieldlog.sqlite3").mkdir()

    answer = client.get("/healthz")

    assert answer.status_code == 503
    assert "does not answer" in answer.json["wrong"][0]


def test_the_rulebook_is_served_as_it_is_named(client: Any) -> None:
    answer = client.get("/rulebook.json")

    assert rulebook.checked(answer.json).id == rulebook.load().id
    again = client.get("/rulebook.json", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


def test_an_altered_record_is_told_and_reading_goes_on(app: Flask, owner: Person, store: Store) -> None:
    owner.send(an_arrival_check())
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        tx.exec_driver_sql("UPDATE records SET text = replace(text, '121.3 V', '221.3 V')")
    app.extensions["fieldlog"].watch.walk_all()

    answer = owner.client.get("/healthz")

    assert answer.status_code == 503
    assert answer.json is not None and "does not hold at its entry 1" in answer.json["wrong"][0]
    assert owner.client.get("/history").status_code == 200
