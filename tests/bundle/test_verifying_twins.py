"""The command and the one file that needs no server take and refuse the same records for the same reason."""

import base64
import io
import json
import random
from collections.abc import Sequence
from datetime import timedelta
from typing import Any

import pikepdf
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from fieldlog.bundle.carried import record_in
from fieldlog.bundle.checkpoint import Checkpoint
from fieldlog.bundle.document import Scope, key_change
from fieldlog.bundle.integrity import fingerprint, name_of, signed
from fieldlog.bundle.refused import Refused, say
from fieldlog.bundle.verifying import verified
from fieldlog.model.restore import Restore
from fieldlog.reports.render import render_pdf
from fieldlog.tables import SCHEMAS
from fieldlog.words.wording import SIGNED_RECORD_FILE
from tests.builders import a_hand_over, an_id
from tests.bundle.records import KEY, MADE_AT, document, logged, mutated, noted, text_of
from tests.node import answers_of_node
from tests.reports.contents_made_up import small_contents

Case = tuple[bytes, Sequence[Checkpoint], Sequence[str]]
TABLES = {
    "schema": json.loads((SCHEMAS / "bundle.schema.json").read_text(encoding="utf-8")),
    "words": json.loads((SCHEMAS / "verifying.json").read_text(encoding="utf-8"))["words"],
}
DAY = timedelta(days=1)
OLD = Ed25519PrivateKey.from_private_bytes(bytes(32))


def by_command(case: Case) -> dict[str, Any]:
    text, checkpoints, issuers = case
    try:
        held = verified(record_in(text), checkpoints=checkpoints, issuers=issuers)
        return {"held": list(held.sentences)}
    except Refused as refused:
        return {"refused": refused.why}


def by_one_file(cases: Sequence[Case]) -> list[dict[str, Any]]:
    asked = [
        {
            "text": base64.b64encode(text).decode(),
            "checkpoints": [str(c) for c in kept],
            "issuers": list(known),
        }
        for text, kept, known in cases
    ]
    return [json.loads(line) for line in answers_of_node("verify.mjs", [TABLES, *asked])]


def assert_alike(cases: Sequence[Case]) -> None:
    for case, theirs in zip(cases, by_one_file(cases), strict=True):
        ours = by_command(case)
        # Which of several misshapen places is named first, is each one's own.
        is_shape = "not as a signed record" in ours.get("refused", "")
        assert theirs.keys() == ours.keys() and (is_shape or theirs == ours), case[0][:300]


def good(rng: random.Random) -> Case:
    """Draw a record that holds, with what a reader may hold it against."""
    records = noted()[: rng.randrange(1, 8)]
    records[0]["made_by"] = rng.choice(["", "Ä 😀 \u2028 ", 'a "quoted" \\ word', "\u0000"])
    log = logged(records)
    kept = [
        Checkpoint(log[0].record.id, each.position, each.head, "2026-11-20")
        for each in log
        if rng.random() < 0.3
    ]
    changes = [key_change(OLD, KEY, MADE_AT - DAY)] if rng.random() < 0.5 else []
    known = [fingerprint(name_of((OLD if changes else KEY).public_key()))] if rng.random() < 0.5 else []
    scope = Scope(arrivals=rng.random() < 0.5, photos=rng.random() < 0.5)
    return text_of(document(log, scope, changes=changes)), kept, known


def spoiled(rng: random.Random) -> Case:
    """Draw one that was changed, often signed anew, so that more than the signature is asked."""
    text, kept, known = good(rng)
    if rng.random() < 0.2:
        at = rng.randrange(len(text))
        return text[:at] + bytes((rng.randrange(256),)) + text[at + 1 :], kept, known
    changed = mutated(json.loads(text), rng)
    if rng.random() < 0.6 and "@context" in changed:
        bare = {name: value for name, value in changed.items() if name != "proof"}
        changed = signed(bare, KEY, MADE_AT)
    return text_of(changed), kept, known


def test_both_take_and_refuse_the_same() -> None:
    rng = random.Random(51)

    assert_alike([*(good(rng) for _ in range(60)), *(spoiled(rng) for _ in range(240))])


@pytest.mark.deep
def test_both_take_and_refuse_the_same_of_many() -> None:
    print("seed 52, 2,000 records that hold and 2,000 that were changed")
    rng = random.Random(52)

    assert_alike([*(good(rng) for _ in range(2000)), *(spoiled(rng) for _ in range(2000))])


@pytest.mark.parametrize(
    ("body", "is_so"),
    [
        ({"count": 7}, True),
        ({"count": 6}, False),
        ({"count": 7, "head": "ab" * 32}, False),
        ({"count": "7"}, False),
        ({"count": True}, False),
        ({"count": None}, False),
    ],
)
def test_both_say_whether_the_log_ended_where_a_hand_over_says(body: dict[str, Any], is_so: bool) -> None:
    records = noted()
    end = {"head": logged(records)[-1].head}
    log = logged([*records, a_hand_over(records[0]["id"], body=end | body)])
    case = (text_of(document(log)), (), ())

    assert_alike([case])
    told = [each for each in by_command(case)["held"] if "Entry 8" in each]
    what = "holds-handed-over" if is_so else "handed-over-elsewhere"
    assert told == [say(what, position=8, day="2026-11-25", count=7)]


def test_both_say_nothing_of_the_correction_of_a_hand_over() -> None:
    records = noted()
    log = logged([*records, a_hand_over(records[0]["id"], corrects=an_id(), reason="Another day")])
    case = (text_of(document(log)), (), ())

    assert_alike([case])
    assert not any("Entry 8" in each for each in by_command(case)["held"])


@pytest.mark.parametrize(
    "text",
    [
        b'{"a": 1, "a": 2}',
        b'{"a": NaN}',
        b'{"a": -Infinity}',
        b'{"a": 1e400}',
        b'{"a": 9007199254740993}',
        b'{"a": 100000000000000000000}',
        b'{"a": "\\ud800"}',
        b'{"a": "\\ud83d\\ude00"}',
        b'{"a": "\xff"}',
        b"\xef\xbb\xbf{}",
        b"",
        b"{} {}",
        b"{'a': 1}",
        b'{"a": 01}',
        b'{"a": 1.}',
        b'{"a": .5}',
        b'{"a": "\t"}',
        b"[1, 2,]",
        b"[" * 60 + b"]" * 60,
        b"[" * 61 + b"]" * 61,
        b'"\\x41"',
        b"nul",
        b"\x0c{}",
        b'{"__proto__": {"a": 1}}',
    ],
)
def test_both_read_strictly_alike(text: bytes) -> None:
    assert_alike([(text, (), ())])


def carrying(*files: tuple[str, bytes]) -> bytes:
    """Give a PDF with files in it, written by another library than the one that draws records."""
    made = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        for number, (named, content) in enumerate(files):
            held = pikepdf.AttachedFileSpec(pdf, content, filename=named)
            pdf.attachments[named if number == 0 else f"{named}{number}"] = held
        pdf.save(made, static_id=True)
    return made.getvalue()


def test_both_take_it_out_of_a_pdf() -> None:
    text = text_of(document())
    drawn = render_pdf(small_contents(), signed=text)
    one, none, another = (
        carrying((SIGNED_RECORD_FILE, text)),
        carrying(),
        carrying((SIGNED_RECORD_FILE, b"not this")),
    )
    cut = [drawn[:at] for at in (4, 5, 600)]

    assert [by_command((file, (), ())).keys() for file in (drawn, one)] == [{"held"}, {"held"}]
    assert_alike([(file, (), ()) for file in (drawn, one, none)])
    assert {"held"} not in [each.keys() for each in by_one_file([(file, (), ()) for file in (another, *cut)])]


def test_both_tell_of_a_backup_that_was_put_back() -> None:
    records = noted()
    before, after = logged(records), logged(records[:4] + records[5:])
    back = Restore(MADE_AT - 2 * DAY, MADE_AT - 9 * DAY, 4, after[3].head)
    kept = Checkpoint(before[0].record.id, 6, before[5].head, "2026-11-20")
    shorter = Checkpoint(before[0].record.id, 7, before[6].head, "2026-11-20")
    other = Checkpoint("0" * 8 + before[0].record.id[8:], 1, before[0].head, "2026-11-20")

    assert_alike(
        [
            (text_of(document(after, restores=[back])), [kept], ()),
            (text_of(document(after)), [kept], ()),
            (text_of(document(after)), [shorter], ()),
            (text_of(document(before)), [other], ()),
            (text_of(document(before)), [kept], [fingerprint(name_of(OLD.public_key()))]),
        ]
    )
