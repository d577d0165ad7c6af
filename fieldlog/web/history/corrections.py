"""Makes the record that corrects another."""

from dataclasses import replace
from typing import Any

from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rulebook import Rulebook
from fieldlog.sync.judging import judge
from fieldlog.sync.rules import problems_by_itself
from fieldlog.sync.shape import problems_of_shape
from fieldlog.web.history.forms import CorrectionForm
from fieldlog.web.history.readings import corrected_body


def correction_of(
    record: Record, form: CorrectionForm, *, made_by: str, rulebook: Rulebook | FieldlogError
) -> Record:
    """Give a new record with what the form says, judged anew; the time of observation stays."""
    typed = {reading.name: form[reading.name].data or "" for reading in form.readings}
    made = replace(
        record,
        id=str(form.id.data),
        made_by=made_by,
        body=corrected_body(record, typed),
        corrects=record.id,
        reason=(form.reason.data or "").strip(),
        also_corrects=None,
    )
    problems = problems_of_shape(made.as_json()) or problems_by_itself(made)
    if problems:
        raise BadInput(problems)
    return (
        replace(made, body={**made.body, "judgement": _judgement(made, rulebook)})
        if record.is_check
        else made
    )


def _judgement(record: Record, rulebook: Rulebook | FieldlogError) -> dict[str, Any]:
    judged = judge(record, rulebook)
    if judged.answer is None:
        raise BadInput(
            [Problem("", f"With these readings there is no verdict, so nothing was kept: {judged.reason}")]
        )
    first = judged.answer["faults"][0]["id"] if judged.answer["faults"] else None
    return {"verdict": judged.answer["verdict"], "rulebook": judged.answer["rulebook"], "first": first}
