"""What an owner shares, for whoever holds its secret; that arrives in a body, never in an address."""

import re
from typing import Final

from flask import Blueprint, Response, current_app, jsonify, make_response, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput, NotFound
from fieldlog.model.problem import Problem
from fieldlog.sync.photos import is_hash
from fieldlog.sync.sharing import Sharing
from fieldlog.sync.signing_keys import signing_keys
from fieldlog.sync.wire import parse_strictly
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.shared_record import answer, criteria
from fieldlog.web.security import csrf, json_from_our_page
from fieldlog.web.shared.pacing import admit, admit_to_picture, was_right

POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_SECRET: Final = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)
NOT_ONE: Final = "This is no whole link: open it again from where you have it, to its very end."

blueprint = Blueprint("shared", __name__, template_folder="templates")
csrf.exempt(blueprint)  # json_from_our_page checks where a request comes from


@blueprint.get("/shared")
def shared() -> Response:
    """Give the page; what it shows it asks for by what stands behind the # of its address."""
    return _for_a_stranger(make_response(render_template("shared/shared.html", criteria=criteria())))


@blueprint.post("/shared/opened")
def open_shared() -> ResponseReturnValue:
    """Give what a secret opens."""
    secret = _secret(json_from_our_page())
    now = parts().now()
    counted = admit(parts().store, secret, request.remote_addr or "", now)
    sharing = Sharing(store=parts().store, secret=str(current_app.secret_key), new_id=parts().new_id, now=now)
    opened = sharing.opened(secret, lambda: parts().rulebook, lambda: signing_keys(parts().settings.signing))
    was_right(parts().store, counted)
    return _for_a_stranger(jsonify(answer(opened.standing, opened.share.terms, opened.record)))


@blueprint.post("/shared/picture")
def show_picture() -> ResponseReturnValue:
    """Give a photo that a secret shows, to be shown as a picture and never as a page."""
    body = json_from_our_page()
    secret, now = _secret(body), parts().now()
    name = parse_strictly(body).get("hash")
    counted = admit_to_picture(parts().store, secret, request.remote_addr or "", now)
    if not is_hash(name):
        raise NotFound("photo")
    sharing = Sharing(store=parts().store, secret=str(current_app.secret_key), new_id=parts().new_id, now=now)
    response = make_response(sharing.picture(secret, name, parts().blobs))
    was_right(parts().store, counted)
    response.mimetype = "image/jpeg"
    response.headers["Content-Disposition"] = "attachment; filename=photo.jpg"
    return _for_a_stranger(response)


def _secret(body: bytes) -> str:
    sent = parse_strictly(body)
    secret = sent.get("secret") if isinstance(sent, dict) else None
    if not isinstance(secret, str):
        raise BadInput([Problem("/secret", NOT_ONE)])
    if not _SECRET.fullmatch(secret):
        raise NotFound("link")
    return secret


def _for_a_stranger(response: Response) -> Response:
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    response.headers["Cache-Control"] = "no-store"
    return response
