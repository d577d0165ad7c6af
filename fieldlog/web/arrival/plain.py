"""From the plain form to a judged and kept record."""

from collections.abc import Sequence
from dataclasses import replace

from fieldlog.model.account import Account
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record, observed_text
from fieldlog.store.records import record_with_id
from fieldlog.sync.inbox import wrong_with
from fieldlog.sync.judging import Assessment, judge
from fieldlog.web.arrival.forms import PlainForm
from fieldlog.web.layout.parts import parts


def judged_record(form: PlainForm, account: Account | None) -> tuple[Record, Assessment]:
    """Make the record of a form and judge it; without a verdict the record says nothing of one."""
    record = Record(
        id=form.text("id"),
        kind="arrival-check",
        observed_at=observed_text(parts().now()),
        made_by=account.name[:80] if account else "",
        body=form.body,
    )
    judged = judge(record, parts().rulebook_or_damage)
    if judged.answer is None:
        return record, judged
    explanations = judged.answer["faults"]
    said = {
        "verdict": judged.answer["verdict"],
        "rulebook": judged.answer["rulebook"],
        "first": explanations[0]["id"] if explanations else None,
    }
    return replace(record, body={**record.body, "judgement": said}), judged


def handed_in(record: Record, account: Account) -> Sequence[Problem]:
    """Hand the record in, once however often the form is sent; give what it was refused for."""
    with parts().store.reading() as tx:
        if record_with_id(tx, account.id, record.id) is not None:
            return ()
    return parts().inbox(account).receive([record.as_json()], parts().now())[0].problems


def not_handed_in(record: Record) -> Sequence[Problem]:
    """Give what a record that is not handed in would be refused for; it may lack a verdict."""
    return [each for each in wrong_with(record.as_json()) if each.at != "/body/judgement"]
