"""What a correction changed, line by line."""

from collections import Counter
from collections.abc import Iterator

from fieldlog.kinds import parts_of_record
from fieldlog.kinds.checks import PLACE
from fieldlog.kinds.kind import NOTED, Glossary, Names
from fieldlog.model.record import Record
from fieldlog.words.wording import step_words


def changes_between(before: Record, after: Record, names: Names) -> tuple[str, ...]:
    """Give each line that differs as "what: before → after", with names in place of ids.

    A judgement follows from the readings, and where the rig stood is nobody's business but the owner's.
    """
    old, new = dict(_lines(before, names)), dict(_lines(after, names))
    whats = [*old, *(what for what in new if what not in old)]
    differing = [what for what in whats if old.get(what) != new.get(what)]
    return tuple(
        f"{_named(what)}: {old.get(what, 'not given')} → {new.get(what, 'not given')}" for what in differing
    )


def _lines(record: Record, names: Names) -> Iterator[tuple[tuple[str, str, int], str]]:
    seen: Counter[tuple[str, str]] = Counter()
    for part in parts_of_record(record, Glossary(names)):
        for line in part.lines if part.title != PLACE else ():
            seen[part.title, line.label] += 1
            yield (part.title, line.label, seen[part.title, line.label]), line.value
    if "not_tested" in record.body:
        steps = ", ".join(step_words(step) for step in record.body["not_tested"])
        yield (NOTED, "Not tested", 1), steps or "nothing"


def _named(what: tuple[str, str, int]) -> str:
    title, label, number = what
    again = f" ({number})" if number > 1 else ""
    return f"{label}{again}" if title == NOTED else f"{title}, {label}{again}"
