"""Judges all checks of the store again by today's rulebook, in parts: broken off, it goes on where it was."""

import json
from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.again import SecondJudgement, judged_again
from fieldlog.store import judged
from fieldlog.store.judged import Difference, JudgingReach
from fieldlog.store.session import Store

AT_ONCE: Final = 500
"""Checks of one transaction: what is lost where it is broken off, and for how long others wait to write."""


@dataclass(frozen=True)
class JudgingPart:
    """What one part came to: up to which number, how many checks so far, and what differs."""

    reached: JudgingReach
    found: tuple[Difference, ...]


def judge_all(
    store: Store, rulebook: Rulebook, until: Callable[[int, int], None]
) -> Generator[JudgingPart, None, None]:
    """Judge every check that was not judged again by this rulebook yet; each part is kept as it is given.

    `until` is told from which number on it begins, and the number of the newest record.
    """
    with store.writing() as tx:
        reached, newest = judged.begin(tx, rulebook.id), judged.newest_seq(tx)
    until(reached.last_seq, newest)
    while reached.last_seq < newest:
        with store.reading() as tx:
            rows = judged.checks_after(tx, reached.last_seq, AT_ONCE)
        found = tuple(each for row in rows if (each := _judged(row, rulebook)) is not None)
        last = rows[-1].seq if len(rows) == AT_ONCE else newest
        reached = JudgingReach(last, reached.checks + len(rows))
        with store.writing() as tx:
            judged.note(tx, rulebook.id, reached, found)
        yield JudgingPart(reached, found)


def _judged(row: Any, rulebook: Rulebook) -> Difference | None:
    """Judge one; a text that is no check any more is named by those who walk the log."""
    try:
        body = json.loads(row.text)["body"]
        said = str(body["judgement"]["verdict"])
    except (ValueError, TypeError, KeyError):
        return None
    try:
        again = judged_again(body, rulebook)
    except (TypeError, KeyError, AttributeError) as error:  # what broke on the way confirms no verdict
        again = SecondJudgement(said, None, None, reason=f"It could not be judged ({type(error).__name__}).")
    if again is None or not again.differs:
        return None
    told = (again.said, again.verdict, again.first, again.reason, again.is_worse)
    return Difference(row.seq, row.account, *told)
