"""What today's rules say otherwise of checks that were judged before."""

from typing import Final

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.reports.again import SecondJudgement, told_again
from fieldlog.reports.query import title_of
from fieldlog.store.judged import differing, reached_by
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed

SHOWN: Final = 50

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
