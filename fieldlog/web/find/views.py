"""Finding records of one's own by words, kind, verdict, day, flag and rig, and taking them along."""

from collections.abc import Callable, Iterable, Iterator
from typing import Final

from flask import Blueprint, Response, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.model.record import StoredRecord
from fieldlog.reports.query import ANY, Query, csv_lines, json_lines, title_of
from fieldlog.store.chains import current_records
from fieldlog.store.session import Store
from fieldlog.web.find.forms import FindForm
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.results import known_for, one_a_rig, result_of
from fieldlog.web.security import account_needed

SHOWN, AT_ONCE, MOST_READ = 50, 200, 2000
"""Own choices: a page looks through so many records at most, and then says how far it came."""
NAMED: Final = ("outlet", "device", "rig")

Found = tuple[StoredRecord, str]

blueprint = Blueprint("find", __name__, template_folder="templates")


@blueprint.get("/find")
def find() -> ResponseReturnValue:
    """Show the form, and what is found, newest first."""
    account, form = account_needed(), _form()
    if not form.validate():
        return _page(form, [], None, is_asked=False), 400
    store, before = parts().store, request.args.get("before", "")
    found: list[Found] = []
    last, read = (int(before) if _is_number(before) else None), 0
    for entry, about, is_sought in _looked_through(store, account.id, form.query, last):
        last, read = entry.seq, read + 1
        if is_sought:
            found.append((entry, about))
        if len(found) == SHOWN or read == MOST_READ:
            return _page(form, found, last, is_asked=True)
    return _page(form, found, None, is_asked=True)


@blueprint.get("/find.csv")
def as_table() -> Response:
    """Give all that is found as a table."""
    return _file(csv_lines, "text/csv; charset=utf-8", "records.csv")


@blueprint.get("/find.jsonl")
def as_json_lines() -> Response:
    """Give all that is found as JSON Lines."""
    return _file(json_lines, "application/jsonl", "records.jsonl")


def _form() -> FindForm:
    with parts().store.reading() as tx:
        rigs = current_records(tx, account_needed().id, kinds=["rig"])
    given = request.args.copy()
    if "flagged" in given:  # an address of before flags were told apart
        given.setdefault("flag", ANY)
    return FindForm(given, {entry.root: str(entry.record.body["name"]) for entry in reversed(rigs)})


def _file(lines: Callable[[Iterable[Found]], Iterator[str]], mimetype: str, name: str) -> Response:
    account, form = account_needed(), _form()
    if not form.validate():
        wrong = (f"{name}: {told}\n" for name, each in form.errors.items() for told in each)
        return Response("".join(wrong), 400, mimetype="text/plain")
    store, query = parts().store, form.query
    looked = _looked_through(store, account.id, query, None)
    found = ((entry, about) for entry, about, is_sought in looked if is_sought)
    answer = Response(lines(found), content_type=mimetype)
    answer.headers["Content-Disposition"] = f"attachment; filename={name}"
    return answer


def _page(form: FindForm, found: list[Found], older: int | None, *, is_asked: bool) -> str:
    asked = {name: values for name, values in request.args.lists() if name != "before"}
    results = _results([entry for entry, _ in found])
    shown = [
        (entry, title_of(entry, about), result) for (entry, about), result in zip(found, results, strict=True)
    ]
    return render_template(
        "find/find.html",
        form=form,
        shown=shown,
        older=older,
        asked=asked,
        is_asked=is_asked,
        most_read=MOST_READ,
    )


def _results(entries: list[StoredRecord]) -> list[str]:
    """Say of each what it came to."""
    account, book = account_needed().id, parts().rulebook_or_damage
    with parts().store.reading() as tx:
        rigs = {each.record.rig: known_for(tx, account, each.record) for each in one_a_rig(entries)}
    return [result_of(each.record, book, rigs[each.record.rig]) for each in entries]


def _looked_through(
    store: Store, account: str, query: Query, before: int | None
) -> Iterator[tuple[StoredRecord, str, bool]]:
    """Give what counts of each chain, newest first, what it is about, and whether it is looked for."""
    kinds = [query.kind] if query.kind else []
    with store.reading() as tx:
        names = {
            entry.root: str(entry.record.body.get("name", ""))
            for entry in current_records(tx, account, kinds=NAMED)
        }
    while True:
        with store.reading() as tx:
            some = current_records(tx, account, kinds=kinds, before=before, limit=AT_ONCE)
        for entry in some:
            about = names.get(entry.record.subject or "", "")
            yield entry, about, query.finds(entry, about)
        if len(some) < AT_ONCE:
            return
        before = some[-1].seq


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 15
