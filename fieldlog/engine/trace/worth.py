"""What readings are worth: earths proved or not, loops that do not close, readings that were replaced."""

from collections.abc import Iterator

from fieldlog.engine.earth import all_read, full_volts, is_earth_proved, is_to_earth
from fieldlog.engine.loops import CheckAsCounted, loops_of, misses_by
from fieldlog.engine.trace.figures import said
from fieldlog.model.check import Check, ReadingSet
from fieldlog.model.rulebook import Rulebook


def worth_lines(check: Check, weighed: CheckAsCounted, rulebook: Rulebook) -> Iterator[str]:
    """Write what proves each earth, what does not add up, and what was left out or replaced."""
    for place, one in enumerate(check.sets):
        read = all_read(one)
        if any(is_to_earth(pair) for pair in read):
            full, share = full_volts(read), rulebook.limit("earth-proved-share")
            word = "proved" if is_earth_proved(one, check, rulebook) else "not proved"
            yield f"Earth of set {place}: {word}; proved from {said(share)} x {said(full)} V"
        yield from _loop_lines(one, check, rulebook)
    for pair, volts in weighed.replaced:
        yield f"Replaced: {pair} {said(volts)} V by the later reading"
    if weighed.doubt is not None:
        yield f"In doubt: {', '.join(weighed.doubt.pairs)}; no wiring fits these readings"


def _loop_lines(one: ReadingSet, check: Check, rulebook: Rulebook) -> Iterator[str]:
    for loop in loops_of(rulebook.family_of(check.outlet)):
        if all(pair in one.volts for pair in loop):
            miss = misses_by(loop, one.volts, one.meter, rulebook)
            if miss > 0.0:
                read = ", ".join(f"{pair} {said(one.volts[pair])}" for pair in loop)
                yield f"Does not close by {said(miss)} V beyond errors and margin: {read}"
