"""What a record says after it was corrected by a form."""

import copy
from collections.abc import Iterator, Mapping
from typing import Any

from fieldlog.kinds import kind_of
from fieldlog.kinds.forms import FormReading
from fieldlog.model.record import Record


def readings_of(record: Record) -> tuple[FormReading, ...]:
    """Give the readings of a record that a form offers, in the order of the page."""
    return tuple(kind_of(record.kind).readings(record.body))


def corrected_body(record: Record, typed: Mapping[str, str]) -> dict[str, Any]:
    """Give the record's body with what was typed in place of its readings."""
    body = copy.deepcopy(dict(record.body))
    for reading in readings_of(record):
        reading.put(body, typed[reading.name])
    kind_of(record.kind).tidy(body)
    if "not_tested" in body:
        body["not_tested"] = list(_not_tested(record, body))
    return body


def _not_tested(record: Record, body: Mapping[str, Any]) -> Iterator[str]:
    """Keep the steps that are still not tested, and add those whose result was taken away."""
    offered = [reading for reading in readings_of(record) if reading.is_step]
    steps = {reading.name: reading.given(body) != "" for reading in offered}
    was = {reading.name: reading.given(record.body) != "" for reading in offered}
    for step in record.body["not_tested"]:
        if not steps.get(step, False):
            yield step
    for step, is_done in steps.items():
        if was[step] and not is_done:
            yield step
