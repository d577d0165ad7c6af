"""The signed record: what is in it is shown first; then it is given, with a checkpoint to keep apart."""

from collections import Counter
from collections.abc import Mapping
from typing import Any

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.bundle.document import Scope
from fieldlog.bundle.integrity import fingerprint
from fieldlog.reports.key_age import key_age_line
from fieldlog.reports.qr import qr_path
from fieldlog.sync.signed_record import as_file, checkpoint, signed_record
from fieldlog.sync.signing_keys import signing_keys
from fieldlog.web.layout.files import file_answer
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import rig_name_needed
from fieldlog.web.security import account_needed
from fieldlog.words.kinds import kind_name

blueprint = Blueprint("signed", __name__, template_folder="templates")


@blueprint.get("/rigs/<rig_id>/signed")
def signed(rig_id: str) -> ResponseReturnValue:
    """Show what a reader will see, whose key signs it, and where the log stands."""
    name, scope = rig_name_needed(rig_id), _scope(request.args)
    document = _document(rig_id, scope)
    subject = document["credentialSubject"]
    kept = str(checkpoint(parts().store, account_needed().id, rig_id, made_at=parts().now()))
    return render_template(
        "signed/signed.html",
        rig_id=rig_id,
        name=name,
        scope=scope,
        shown=_counted(entry["record"]["kind"] for entry in subject["entries"]),
        named=_counted(entry["kind"] for entry in subject["outlined"]),
        key=fingerprint(document["issuer"]),
        key_age=key_age_line(signing_keys(parts().settings.signing).since, parts().now()),
        checkpoint=kept,
        qr=qr_path(kept),
    )


@blueprint.get("/rigs/<rig_id>/signed.json")
def signed_json(rig_id: str) -> ResponseReturnValue:
    """Give the signed record as a file."""
    name = rig_name_needed(rig_id)
    text = as_file(_document(rig_id, _scope(request.args)))
    return file_answer(text, f"signed-record-{name}", "json", shown="attachment")


def _scope(given: Mapping[str, str]) -> Scope:
    return Scope(arrivals="arrivals" in given, photos="photos" in given)


def _document(rig_id: str, scope: Scope) -> dict[str, Any]:
    return signed_record(
        parts().store,
        parts().rulebook,
        account_needed().id,
        rig_id,
        keys=signing_keys(parts().settings.signing),
        scope=scope,
        made_at=parts().now(),
    )


def _counted(kinds: Any) -> list[tuple[str, int]]:
    return sorted((kind_name(kind), count) for kind, count in Counter(kinds).items())
