"""What today's rules say otherwise of checks that were judged before, to be seen and to be taken along."""

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from flask import Blueprint, Response, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.model.record import StoredRecord
from fieldlog.reports.again import SecondJudgement, told_again
from fieldlog.reports.query import table_lines, title_of
from fieldlog.store.judged import Difference, differing, reached_by
from fieldlog.store.session import Store
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed

SHOWN, AT_ONCE = 50, 200
COLUMNS: Final = (
    *("id", "observed_at", "about", "outlet", "said", "said_first", "said_by", "now", "now_first", "now_by"),
    *("worse", "reason"),
)

blueprint = Blueprint("judged", __name__, template_folder="templates")


@blueprint.get("/judged")
def judged() -> ResponseReturnValue:
    """Show what today's rulebook judges otherwise, newest first; what was said stays beside it."""
    account, book = account_needed(), parts().rulebook
    before = request.args.get("before", "")
    last = int(before) if before.isascii() and before.isdecimal() and len(before) <= 15 else None
    with parts().store.reading() as tx:
        reached = reached_by(tx, book.id)
        found = list(differing(tx, account.id, last, SHOWN + 1)) if reached else []
    shown = []
    for entry, each in found[:SHOWN]:
        body = entry.record.body
        again = SecondJudgement(each.said, body["judgement"]["first"], each.verdict, each.first, each.reason)
        shown.append((entry, title_of(entry, ""), told_again(again, body["check"]["outlet"], book), each))
    older = shown[-1][0].seq if len(found) > SHOWN else None
    return render_template("judged/judged.html", shown=shown, reached=reached, older=older, book=book.id)


@blueprint.get("/judged.csv")
def as_table() -> Response:
    """Give all that is judged otherwise as a table."""
    lines = table_lines(COLUMNS, ({**row, "worse": "yes" if row["worse"] else "no"} for row in _rows()))
    return _file(lines, "text/csv; charset=utf-8", "judged-again.csv")


@blueprint.get("/judged.jsonl")
def as_json_lines() -> Response:
    """Give all that is judged otherwise as JSON Lines."""
    lines = (json.dumps(row, ensure_ascii=False, sort_keys=True) + "\n" for row in _rows())
    return _file(lines, "application/jsonl", "judged-again.jsonl")


def _file(lines: Iterable[str], mimetype: str, name: str) -> Response:
    answer = Response(lines, content_type=mimetype)
    answer.headers["Content-Disposition"] = f"attachment; filename={name}"
    return answer


def _rows() -> Iterator[Mapping[str, object]]:
    account, book = account_needed(), parts().rulebook
    return (_row(entry, each, book.id) for entry, each in _all(parts().store, account.id, book.id))


def _all(store: Store, account: str, book: str) -> Iterator[tuple[StoredRecord, Difference]]:
    """Give all that differs, newest first, a part at a time."""
    before: int | None = None
    while True:
        with store.reading() as tx:
            some = list(differing(tx, account, before, AT_ONCE)) if reached_by(tx, book) else []
        yield from some
        if len(some) < AT_ONCE:
            return
        before = some[-1][0].seq


def _row(entry: StoredRecord, each: Difference, book: str) -> Mapping[str, object]:
    body = entry.record.body
    judgement = body["judgement"]
    return {
        "id": entry.record.id,
        "observed_at": entry.record.observed_at,
        "about": title_of(entry, ""),
        "outlet": body["check"]["outlet"],
        "said": each.said,
        "said_first": judgement["first"] or "",
        "said_by": judgement["rulebook"],
        "now": each.verdict or "",
        "now_first": each.first or "",
        "now_by": book,
        "worse": each.is_worse,
        "reason": each.reason,
    }
