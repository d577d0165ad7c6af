"""Old verdicts beside what today's rules say of the same readings; nothing that was said is changed.

The twin is static/js/check/worse-now.js; both are tested from tests/cases/judged-again.json.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.engine import assess, verdict_and_first
from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.measured import check_input
from fieldlog.model.record import Record
from fieldlog.model.rig import Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.reasons import reason_of
from fieldlog.words.naming import explanation_name, verdict_name, words_for

GRAVITY: Final = ("use", "use-limited", "test-more", "do-not-use")
"""The verdicts, the gravest last."""
USABLE: Final = ("use", "use-limited")


@dataclass(frozen=True)
class SecondJudgement:
    """What a check said when it was made, and what today's rules say of it.

    verdict is None where they cannot judge it. reason says why, of either; it is empty where both say the
    same verdict.
    """

    said: str
    said_first: str | None
    verdict: str | None
    first: str | None = None
    reason: str = ""

    @property
    def is_worse(self) -> bool:
        """Say whether it was usable, and is judged worse now; what cannot be judged now is worse."""
        if self.said not in USABLE:
            return False
        return self.verdict is None or GRAVITY.index(self.verdict) > GRAVITY.index(self.said)

    @property
    def differs(self) -> bool:
        """Say whether the verdict or its first explanation is another."""
        return (self.verdict, self.first) != (self.said, self.said_first)


@dataclass(frozen=True)
class Downgrade:
    """Something that stands as usable and is judged worse now: which outlet or entry, in a sentence."""

    what: str
    id: str
    sentence: str


def judged_again(body: Mapping[str, Any], rulebook: Rulebook) -> SecondJudgement | None:
    """Judge the body of a check by a rulebook; None where it was judged by that one."""
    judgement = body["judgement"]
    if judgement["rulebook"] == rulebook.id:
        return None
    said, first = str(judgement["verdict"]), judgement["first"]
    try:
        read = check_input(body["check"])
        verdict, now = verdict_and_first(read, rulebook)
        reason = "" if verdict == said else _reason(body, read, rulebook)
    except BadInput as bad:
        return SecondJudgement(
            said, first, None, reason=" ".join(problem.problem for problem in bad.problems)
        )
    except (FieldlogError, ValueError) as error:  # ValueError: no measured value stands where one should
        return SecondJudgement(said, first, None, reason=str(error))
    return SecondJudgement(said, first, verdict, now, reason)


def told_again(again: SecondJudgement, outlet: str, rulebook: Rulebook) -> str:
    """Say what was said, what today's rules say, and why."""
    said = verdict_name(again.said, rulebook).lower()
    if again.verdict is None:
        return f"It said {said}; by today’s rules it cannot be judged: {again.reason}"
    if again.verdict == again.said:
        there, here = (explanation_name(one, outlet, rulebook) for one in (again.said_first, again.first))
        return f"It said {said}, and so do today’s rules. It put “{there}” first; today “{here}” comes first."
    return (
        f"It said {said}; by today’s rules: {verdict_name(again.verdict, rulebook).lower()}. {again.reason}"
    )


def worse_now(rig: Rig, rulebook: Rulebook) -> Iterator[Downgrade]:
    """Give what of a rig stands as usable and is judged worse now: its outlets, its last pedestal."""
    for outlet in rig.outlets:
        if outlet.last_test is not None:
            yield from worse_of(outlet.last_test.entry.record, rulebook, ("outlet", outlet.id), outlet.name)
    for last in rig.arrivals[:1]:
        yield from worse_pedestal(last.entry.record, rulebook)


def worse_pedestal(arrival: Record, rulebook: Rulebook) -> Iterator[Downgrade]:
    """Give the pedestal of an arrival check, where it stands as usable and is judged worse now."""
    yield from worse_of(arrival, rulebook, ("entry", arrival.id), "the last pedestal")


def worse_of(record: Record, rulebook: Rulebook, at: tuple[str, str], name: str) -> Iterator[Downgrade]:
    """Give a check where it stands as usable and is judged worse now."""
    again = judged_again(record.body, rulebook)
    if again is not None and again.is_worse:
        day, outlet = record.observed.date().isoformat(), record.body["check"]["outlet"]
        yield Downgrade(*at, f"“{name}”, {day}: {told_again(again, outlet, rulebook)}".strip())


def _reason(body: Mapping[str, Any], read: Any, rulebook: Rulebook) -> str:
    words = words_for(body["check"]["outlet"], rulebook)
    return reason_of(assess(read, rulebook), words, body.get("not_tested", ()))
