"""What phones go by: what comes round, what is looked at, how a change is proved, what a place is called."""

import json
from typing import Any

from fieldlog.book import labels
from tests.repository import ROOT


def _table(name: str) -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = json.loads((ROOT / f"schemas/facts/{name}.json").read_text("utf-8"))[
        "entries"
    ]
    return entries


def test_the_rules_are_those_of_the_tables_each_with_its_source(client: Any) -> None:
    rules = client.get("/rig-rules.json").json

    tables = {name: _table(name) for name in ("due", "looks", "proving", "labels", "incidents")}
    assert rules == tables | {"labels": [*tables["labels"], *labels()]}
    assert all(entry["source"] for table in rules.values() for entry in table)


def test_a_phone_that_has_the_rules_is_told_so_and_gets_nothing(client: Any) -> None:
    answer = client.get("/rig-rules.json")
    again = client.get("/rig-rules.json", headers={"If-None-Match": answer.headers["ETag"]})

    assert answer.headers["Cache-Control"] == "no-cache"
    assert (again.status_code, again.data) == (304, b"")


def test_nobody_can_write_the_rules(client: Any) -> None:
    for method in ("POST", "PUT", "DELETE"):
        assert client.open("/rig-rules.json", method=method).status_code in (400, 403, 405)
