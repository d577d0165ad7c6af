"""Which steps of a round are due: what the first page counts, the round lists and the rig's page tells.

The twin is static/js/round/steps.js; both are held together by tests/reports/test_due_twins.py.
"""

from collections.abc import Iterable, Iterator

from fieldlog.model.due_items import DueItem


def due_steps(owed: Iterable[DueItem]) -> tuple[str, ...]:
    """Give the keys of the steps that are due, each once, as addresses of the round name them.

    What is shown with the power off, and what only an incident asks for outside a round, is no step.
    """
    return tuple(dict.fromkeys(key for item in owed if item.is_due for key in _keys(item)))


def _keys(item: DueItem) -> Iterator[str]:
    what, subject = item.thing.what, item.thing.subject
    if what in ("cord", "skin", "alarms", "surge"):
        yield f"look-{what}"
    if what == "cord":
        yield "look-inlet"
    if subject is not None:
        if what in ("set", "set-fixed"):
            yield f"set-{subject}"
        elif what in ("device", "outlet", "outlet-loaded"):
            yield f"{what.removesuffix('-loaded')}-{subject}"
        elif what == "outlet-look":
            yield f"look-{subject}"
