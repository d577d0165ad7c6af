"""What phones ask of the logs: what is new, and whether the server still has what they hold."""

from collections.abc import Mapping, Set
from typing import Any

from flask import jsonify
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput, OtherAccount
from fieldlog.model.problem import Problem
from fieldlog.sync.fetching import Logs, named_photos, named_records, seen_of
from fieldlog.sync.wire import parse_strictly
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed, json_from_our_page
from fieldlog.web.sync.blueprint import blueprint

PAGE = 200


@blueprint.post("/api/log")
def fetch_log() -> ResponseReturnValue:
    """Give what is new in the account's logs after what a phone has seen of each."""
    asked, logs = _asked({"account", "logs"}, {"limit"})
    limit = asked.get("limit", PAGE)
    if not isinstance(limit, int) or isinstance(limit, bool) or not 1 <= limit <= PAGE:
        raise BadInput([Problem("/limit", f"limit is not a whole number of 1 to {PAGE}; correct it.")])
    return jsonify(logs.page(seen_of(asked["logs"]), limit))


@blueprint.post("/api/known")
def tell_missing() -> ResponseReturnValue:
    """Give what is not here of the records and photos that a phone is about to drop."""
    asked, logs = _asked({"account", "records", "photos"})
    return jsonify({"missing": logs.missing(named_records(asked["records"]), named_photos(asked["photos"]))})


def _asked(needed: Set[str], more: Set[str] = frozenset()) -> tuple[Mapping[str, Any], Logs]:
    """Read what is asked, for the account that is signed in and no other."""
    data = json_from_our_page()
    account = account_needed()
    value = parse_strictly(data)
    if not isinstance(value, Mapping) or not needed <= set(value) <= needed | more:
        names = ", ".join(sorted(needed | more))
        raise BadInput([Problem("", f"The body is not an object with the members {names}.")])
    if value["account"] != account.name:
        raise OtherAccount
    return value, Logs(parts().store, account)
