"""What NEC Article 551 says of a trailer's wiring, as the advice on a rig map quotes it.

Source: NEC 551.40(C), 551.41(C), 551.54(C): from memory, but for the insulated neutral, of which a summary of
the article on park trailers is public; OSHA 29 CFR 1926.404(f)(3) for a generator's own bond. Advice from
memory has to say so.
"""

from typing import Any

import pytest

from fieldlog.engine.protection import answer
from fieldlog.tables import load

CLAUSES = {
    "one-circuit-unguarded": "NEC 551.40(C)",
    "one-circuit-guard-further-in": "NEC 551.40(C)",
    "unguarded-outside": "NEC 551.41(C)",
    "unguarded-near-water": "NEC 551.41(C)",
    "neutral-bonded": "NEC 551.54(C)",
}


@pytest.mark.parametrize(("key", "clause"), CLAUSES.items())
def test_advice_from_article_551_says_that_it_is_from_memory(key: str, clause: str) -> None:
    """NEC Article 551, from memory."""
    entry = load().entries[key]

    assert entry.source == clause
    assert "from memory, check the current code" in entry.known


@pytest.mark.parametrize(("amps", "is_held"), [(15, True), (20, True), (30, False)])
def test_a_rig_of_one_circuit_is_one_of_15_or_20_amperes(amps: float, is_held: bool) -> None:
    """NEC 551.40(C) with 551.42(A) and (B), from memory."""
    parts = [{"id": "inlet", "kind": "inlet", "amps": amps}, {"id": "r", "kind": "receptacle"}]
    found: Any = answer({"parts": parts, "runs": [{"from": "inlet", "to": "r"}]}, load())

    assert ("one-circuit-unguarded" in [one["id"] for one in found["findings"]]) is is_held


@pytest.mark.parametrize(("kind", "is_told"), [("inlet", True), ("supply", False), ("inverter", False)])
def test_neutral_and_ground_are_joined_at_a_source_and_nowhere_in_the_trailer(
    kind: str, is_told: bool
) -> None:
    """NEC 551.54(C), in part from memory; 29 CFR 1926.404(f)(3)(iii) for a source of its own."""
    found: Any = answer({"parts": [{"id": "x", "kind": kind, "bonded": True}]}, load())

    assert ("neutral-bonded" in [one["id"] for one in found["findings"]]) is is_told
