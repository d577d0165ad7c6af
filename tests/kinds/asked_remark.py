"""What test_one_more_kind.py asks of a copy of the program that knows one more kind of record."""

import json
import subprocess
from pathlib import Path

import fieldlog
from fieldlog.store.rigs import rig_with_id
from fieldlog.store.session import Store
from tests.builders import a_record, a_rig, an_id
from tests.conftest import Person
from tests.node import node_program

ROOT = Path(fieldlog.__file__).resolve().parents[1]
BODY = {"what": "A mouse in the cord locker", "note": ""}
DRAW = "import {{ {0} }} from '{1}'; console.log(JSON.stringify({2}));"


def answer_of_the_phone(name: str, script: str, asked: str) -> object:
    text = DRAW.format(name, ROOT / "static/js" / script, asked)
    asked_of_node = [node_program(), "--input-type=module", "-e", text]
    done = subprocess.run(asked_of_node, capture_output=True, check=True)
    return json.loads(done.stdout)


def test_a_record_of_the_kind_is_kept_by_its_schema_and_its_rule(owner: Person) -> None:
    rig = a_rig()
    bare = a_record("remark", {"what": "x"}, rig=rig["id"])
    twice = a_record("remark", {"what": "x", "note": "x"}, rig=rig["id"])

    receipts = owner.send(rig, a_record("remark", BODY, rig=rig["id"]), bare, twice)

    assert [each["status"] for each in receipts] == ["stored", "stored", "refused", "refused"]
    assert [each["problems"][0]["at"] for each in receipts[2:]] == ["/body/note", "/body/note"]


def test_every_page_tells_it_and_a_form_corrects_it(owner: Person, store: Store) -> None:
    rig = a_rig()
    remark = a_record("remark", BODY, rig=rig["id"])
    owner.send(rig, remark)
    path = f"/history/{remark['id']}/corrections/new"

    fields = {"id": an_id(), "reason": "Two of them", "what": "Two mice", "note": ""}
    assert owner.submit(path, **fields).status_code == 303

    assert "<b>Remark: Two mice</b>" in owner.client.get("/history").text
    assert "<dt>Remarked</dt><dd>Two mice</dd>" in owner.client.get(f"/history/{fields['id']}").text
    paper = owner.client.get(f"/rigs/{rig['id']}/record").text
    assert f"Remarked: {BODY['what']} → Two mice" in paper
    assert "<h2>Remarks</h2>" in paper and "<dd>Two mice</dd>" in paper
    assert owner.account is not None
    with store.reading() as tx:
        found = rig_with_id(tx, owner.account.id, rig["id"])
    assert found is not None and [each.body["what"] for each in found.newest("remark")] == ["Two mice"]


def test_the_phone_names_it_and_reads_it_from_a_file(owner: Person) -> None:
    right, wrong = a_record("remark", BODY), a_record("remark", {**BODY, "what": 5})
    asked = json.dumps([right, wrong])

    assert answer_of_the_phone("KINDS", "phone/kinds.js", "KINDS.remark") == "Remark"
    places = answer_of_the_phone("recordWrongAt", "outbox/filed-records.js", f"{asked}.map(recordWrongAt)")
    assert places == [None, "/body/what"]
    labels = json.loads(owner.client.get("/rig-rules.json").data)["labels"]
    assert {each["id"]: each["places"] for each in labels}["remark"]["/body/what"] == "What was remarked"
