"""A signed record that was changed anywhere is refused; one that was not says what holds, and no more."""

import hashlib
import json
import random
from datetime import timedelta
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from fieldlog.bundle.checkpoint import Checkpoint, NoCheckpoint
from fieldlog.bundle.document import Scope, key_change
from fieldlog.bundle.integrity import fingerprint, name_of, signed
from fieldlog.bundle.refused import Refused, say
from fieldlog.bundle.strict import read_strictly
from fieldlog.bundle.verifying import CANNOT_KNOW, NOT_AN_INSPECTION, Verification, verified
from fieldlog.model.canonical import canonical
from fieldlog.model.restore import Restore
from tests.bundle.records import KEY, MADE_AT, document, logged, mutated, noted, text_of

DAY = timedelta(days=1)
KEYS = [Ed25519PrivateKey.from_private_bytes(bytes((number,)) * 32) for number in range(1, 5)]


def signed_anew(changed: dict[str, Any], key: Ed25519PrivateKey = KEY) -> bytes:
    """Sign what was changed by the very same key: only what contradicts itself is left to be found."""
    bare = {name: value for name, value in changed.items() if name != "proof"}
    return text_of(signed(bare, key, MADE_AT))


def checkpoint_of(entries: list[Any], count: int) -> Checkpoint:
    return Checkpoint(entries[0].record.id, count, entries[count - 1].head, "2026-11-20")


def test_a_record_that_was_not_changed_says_what_holds() -> None:
    held = verified(text_of(document()))

    assert held.fingerprint in held.sentences[0]
    assert "had 7 entries then; 5 are shown" in held.sentences[1]
    assert held.sentences[2].startswith("2 are named by hash, kind and month only")
    assert held.subject["rig"]["name"] == "Wren"


def test_what_is_shown_is_the_owner_s_choice() -> None:
    whole = document(scope=Scope(arrivals=True, photos=True))
    outlined = document()

    assert [each["kind"] for each in outlined["credentialSubject"]["outlined"]] == ["arrival-check", "photo"]
    assert whole["credentialSubject"]["outlined"] == []
    assert (
        verified(text_of(whole))
        .sentences[1]
        .endswith("7 are shown, each with the hash that stands in the log.")
    )
    told = json.dumps(outlined)
    park = json.dumps(whole["credentialSubject"]["entries"][3]["record"]["body"].get("place"))
    assert '"arrival-check"' in told and (park == "null" or park not in told)


def test_the_same_record_is_signed_in_the_same_bytes() -> None:
    entries = logged(noted())

    assert text_of(document(entries)) == text_of(document(entries))


def accepted(texts: list[bytes], whole: dict[str, Any]) -> list[Any]:
    """Give what was accepted and is another document than the one that was signed."""
    found = []
    for text in texts:
        try:
            held: Verification = verified(text)
        except Refused:
            continue
        if canonical(held.document) != canonical(whole):
            found.append(held.document)
    return found


def flipped(text: bytes, rng: random.Random, count: int) -> list[bytes]:
    """Flip one bit each."""
    changed = []
    for _ in range(count):
        copied = bytearray(text)
        copied[rng.randrange(len(copied))] ^= 1 << rng.randrange(8)
        changed.append(bytes(copied))
    return changed


def test_no_flipped_bit_is_accepted_as_something_else() -> None:
    whole = document()

    assert accepted(flipped(text_of(whole), random.Random(31), 1000), whole) == []


def test_nothing_that_was_changed_is_accepted() -> None:
    whole, rng = document(), random.Random(32)

    assert accepted([text_of(mutated(whole, rng)) for _ in range(500)], whole) == []


@pytest.mark.deep
def test_none_of_many_changes_is_accepted() -> None:
    print("seed 33, 10,000 flipped bits and 5,000 changed records")
    whole, rng = document(scope=Scope(arrivals=True, photos=True)), random.Random(33)

    assert accepted(flipped(text_of(whole), rng, 10_000), whole) == []
    assert accepted([text_of(mutated(whole, rng)) for _ in range(5000)], whole) == []


def changed_logs(entries: list[Any], rng: random.Random, count: int) -> list[dict[str, Any]]:
    """Change the log within the record: drop, exchange, alter or hide an entry, or end it sooner."""
    found = []
    for _ in range(count):
        whole = document(entries, Scope(arrivals=True, photos=True))
        log, shown = whole["credentialSubject"]["log"], whole["credentialSubject"]["entries"]
        at = rng.randrange(len(shown))
        act = rng.choice(("drop", "exchange", "alter", "hide", "shorten"))
        if act == "drop":
            del log["hashes"][at], shown[at]
            for position, entry in enumerate(shown, start=1):
                entry["position"] = position
            log["count"] -= 1
        elif act == "exchange":
            other = (at + 1) % len(shown)
            log["hashes"][at], log["hashes"][other] = log["hashes"][other], log["hashes"][at]
        elif act == "alter":
            shown[at]["record"]["made_by"] += "x"
        elif act == "hide":
            del shown[at]
        else:
            log["hashes"], log["count"] = log["hashes"][:-1], log["count"] - 1
            del shown[-1]
        found.append(whole)
    return found


def test_a_changed_log_is_found_even_where_the_issuer_signs_it() -> None:
    entries, rng = logged(noted()), random.Random(34)

    for changed in changed_logs(entries, rng, 60):
        with pytest.raises(Refused):
            verified(signed_anew(changed))


def test_a_log_begun_anew_does_not_pass_an_old_checkpoint() -> None:
    """The head of it fits, since the issuer computed it: only what somebody else kept shows it."""
    records = noted()
    kept = checkpoint_of(logged(records), 5)
    without = logged(records[:2] + records[3:])

    assert (
        verified(text_of(document(logged(records))), checkpoints=[kept])
        .sentences[-1]
        .startswith("Up to entry 5")
    )
    assert verified(text_of(document(without)))
    with pytest.raises(Refused, match="what stands before entry 5 is not what stood there on 2026-11-20"):
        verified(text_of(document(without)), checkpoints=[kept])
    with pytest.raises(Refused, match="had 5 entries on 2026-11-20 and has 4 now"):
        verified(text_of(document(logged(records[:4]))), checkpoints=[kept])
    with pytest.raises(Refused, match="of another log"):
        verified(text_of(document(logged(noted()))), checkpoints=[kept])


def test_a_backup_that_was_put_back_is_told_beside_a_checkpoint_that_does_not_pass() -> None:
    records = noted()
    kept, again = checkpoint_of(logged(records), 6), logged(records[:4] + records[5:])
    back = Restore(MADE_AT - 2 * DAY, MADE_AT - 9 * DAY, 4, again[3].head)

    with pytest.raises(Refused, match=r"a backup that was put back .* may explain it and does not prove it"):
        verified(text_of(document(again, restores=[back])), checkpoints=[kept])


def test_records_sent_again_after_a_restore_pass_the_checkpoint_of_before() -> None:
    entries = logged(noted())
    back = Restore(MADE_AT - 2 * DAY, MADE_AT - 9 * DAY, 4, entries[3].head)

    assert verified(text_of(document(entries, restores=[back])), checkpoints=[checkpoint_of(entries, 6)])


def test_keys_hand_over_and_what_each_signed_still_holds() -> None:
    records, changes = noted(), list[dict[str, Any]]()
    texts = []
    for number, key in enumerate(KEYS):
        texts.append(text_of(document(logged(records), key=key, changes=changes)))
        if number < 3:
            changes = [*changes, key_change(key, KEYS[number + 1], MADE_AT - (3 - number) * DAY)]
    first = fingerprint(name_of(KEYS[0].public_key()))

    assert all(verified(text, issuers=[first]) for text in texts)
    assert "followed 3 earlier" in verified(texts[-1]).sentences[1]
    with pytest.raises(Refused, match="none of those that you know"):
        verified(texts[0], issuers=[fingerprint(name_of(KEYS[3].public_key()))])


@pytest.mark.parametrize("is_signed_by_its_old_key", [True, False])
def test_a_change_of_keys_that_does_not_follow_is_refused(is_signed_by_its_old_key: bool) -> None:
    good = key_change(KEYS[0], KEYS[1], MADE_AT - DAY)
    bad = key_change(KEYS[2], KEYS[3], MADE_AT)
    if not is_signed_by_its_old_key:
        bad = key_change(KEYS[2], KEYS[3], MADE_AT) | {"from": name_of(KEYS[1].public_key())}

    with pytest.raises(Refused):
        verified(text_of(document(key=KEYS[3], changes=[good, bad])))


def test_a_retired_key_signs_nothing_any_more() -> None:
    change = key_change(KEYS[0], KEYS[1], MADE_AT - DAY)

    with pytest.raises(Refused, match="not the one that was handed over to last"):
        verified(text_of(document(key=KEYS[0], changes=[change])))


def test_another_issuer_than_the_signer_is_refused() -> None:
    changed = document() | {"issuer": name_of(KEYS[0].public_key())}

    with pytest.raises(Refused, match="another key signed it"):
        verified(signed_anew(changed))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (b'{"a": 1, "a": 2}', "stands twice"),
        (b'{"a": {"b": 1, "b": 1}}', "stands twice"),
        (b'{"a": NaN}', "not every reader"),
        (b'{"a": -Infinity}', "not every reader"),
        (b'{"a": 1e400}', "not every reader"),
        (b'{"a": 9007199254740993}', "not every reader"),
        (b'{"a": "\\ud800"}', "half a character"),
        (b'{"a": "\xff"}', "UTF-8"),
        (b"\xef\xbb\xbf{}", "no JSON"),
        (b"", "no JSON"),
        (b"{} {}", "no JSON"),
        (b"[" * 61 + b"]" * 61, "nested deeper"),
        (b"[" * 100_000, "no JSON"),
    ],
)
def test_a_text_that_may_be_read_in_two_ways_is_refused(text: bytes, why: str) -> None:
    with pytest.raises(Refused, match=why):
        read_strictly(text)


def test_what_no_signature_shows_is_said_in_words_that_stand() -> None:
    """The table of what signatures, logs and witnesses show: a signature alone shows none of these four."""
    told = [say(name) for name in CANNOT_KNOW]

    assert say(NOT_AN_INSPECTION) == "Entered by the owner. Not an inspection."
    assert [sentence.split()[0] for sentence in told] == ["Whether", "Whether", "Whether", "Whose"]
    assert not any(word in " ".join(told).lower() for word in ("safe", "certified"))


def test_a_checkpoint_is_read_from_its_own_line() -> None:
    kept = checkpoint_of(logged(noted()), 7)

    assert Checkpoint.read(f"  {kept}\n") == kept
    assert len(str(kept)) < 150
    for text in (
        "",
        str(kept)[:-1],
        str(kept).upper(),
        f"{kept} x",
        "fieldlog-checkpoint-2 " + str(kept)[22:],
    ):
        with pytest.raises(NoCheckpoint, match="one line"):
            Checkpoint.read(text)


def test_the_head_is_that_of_the_log() -> None:
    """A chain of SHA-256 over the last head and the record's hash, both as bytes, worked out here by hand."""
    entries = logged(noted()[:2])
    first = hashlib.sha256(
        bytes(32) + hashlib.sha256(canonical(entries[0].record.as_json())).digest()
    ).digest()
    second = hashlib.sha256(
        first + hashlib.sha256(canonical(entries[1].record.as_json())).digest()
    ).hexdigest()

    assert document(entries)["credentialSubject"]["log"]["head"] == second
