"""A library that knows nothing of ours takes and refuses the same signatures: openvc-core, eddsa-jcs-2022."""

import copy
import random
from typing import Any

from openvc.errors import OpenvcError
from openvc.proof.di_jcs import EddsaJcsProofSuite

from fieldlog.bundle.integrity import signer_of
from fieldlog.bundle.refused import Refused
from tests.bundle.records import document, logged, noted

SEED, EACH = 11, 40


def by_theirs(whole: dict[str, Any]) -> bool:
    try:
        EddsaJcsProofSuite().verify(whole)
    except OpenvcError:
        return False
    return True


def by_ours(whole: dict[str, Any]) -> bool:
    try:
        return bool(signer_of(whole) == whole["issuer"])
    except Refused:
        return False


def altered(whole: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """Change one thing that was signed, or the signature."""
    other = copy.deepcopy(whole)
    subject, proof = other["credentialSubject"], other["proof"]
    entry = rng.choice(subject["entries"])
    rng.choice(
        (
            lambda: entry["record"].update(observed_at="2020-01-01T00:00:00.000+00:00"),
            lambda: entry["record"]["body"].update(note="nothing was wrong"),
            lambda: subject["log"].update(count=subject["log"]["count"] + 1),
            lambda: subject["log"]["hashes"].reverse(),
            lambda: subject["rig"].update(name="Robin"),
            lambda: other.update(validFrom="2026-11-29T12:00:00Z"),
            lambda: proof.update(created="2026-11-29T12:00:00Z"),
            lambda: proof.update(proofValue=proof["proofValue"][:-1] + "11"),
            lambda: other.update(more=1),
        )
    )()
    return other


def test_it_takes_what_we_signed_and_refuses_what_was_altered_since() -> None:
    rng = random.Random(SEED)
    good = [document(logged(noted()[: rng.randrange(2, 8)])) for _ in range(EACH)]
    bad = [other for whole in good if (other := altered(whole, rng)) != whole]

    assert [by_theirs(whole) for whole in good] == [by_ours(whole) for whole in good] == [True] * EACH
    assert [by_theirs(whole) for whole in bad] == [by_ours(whole) for whole in bad] == [False] * len(bad)
    assert len(bad) > EACH // 2
