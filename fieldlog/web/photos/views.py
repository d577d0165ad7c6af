"""Photos: sent by their hash after their records, and shown again to the account that sent them."""

from collections.abc import Mapping
from typing import Final

from flask import Blueprint, Response, jsonify, make_response, request
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound
from fieldlog.model.problem import Problem
from fieldlog.sync.photo_parts import MOST_PART_BYTES, PartInbox
from fieldlog.sync.photos import MOST_BYTES, TOO_LARGE, PhotoReceipt, is_hash
from fieldlog.sync.pictures import NO_PICTURE, TYPES
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed, csrf, our_page_needed

# By where the first problem lies; all others are 422.
STATUS: Final[Mapping[str, int]] = {"/type": 415, "/bytes": 413, "/pixels": 413}

TOO_LARGE_PART: Final = "A part has at most 256 kB; send smaller ones."

blueprint = Blueprint("photos", __name__)
csrf.exempt(blueprint)  # our_page_needed checks where the request comes from


@blueprint.put("/api/photos/<photo_hash>")
def receive_photo(photo_hash: str) -> ResponseReturnValue:
    """Take a photo in."""
    our_page_needed()
    account = account_needed()
    name = _hash_needed(photo_hash)
    if request.mimetype not in TYPES:
        return _refused(name, Problem("/type", NO_PICTURE))
    if (request.content_length or 0) > MOST_BYTES:
        return _refused(name, Problem("/bytes", TOO_LARGE))
    request.max_content_length = MOST_BYTES
    return _answer(parts().photo_inbox(account).receive(name, request.get_data(), parts().now()))


@blueprint.get("/api/photos/<photo_hash>/parts")
def show_parts(photo_hash: str) -> ResponseReturnValue:
    """Say up to which byte a photo that comes in parts is here."""
    account = account_needed()
    receipt = PartInbox(parts().photo_inbox(account)).here(_hash_needed(photo_hash))
    return _answer(receipt) if isinstance(receipt, PhotoReceipt) else jsonify(receipt.as_json())


@blueprint.put("/api/photos/<photo_hash>/parts/<int:start>")
def receive_part(photo_hash: str, start: int) -> ResponseReturnValue:
    """Take the next part of a photo in."""
    our_page_needed()
    account = account_needed()
    name = _hash_needed(photo_hash)
    if (request.content_length or 0) > MOST_PART_BYTES:
        return _refused(name, Problem("/bytes", TOO_LARGE_PART))
    request.max_content_length = MOST_PART_BYTES
    inbox = PartInbox(parts().photo_inbox(account))
    receipt = inbox.receive(name, start, request.get_data(), parts().now())
    return _answer(receipt) if isinstance(receipt, PhotoReceipt) else jsonify(receipt.as_json())


@blueprint.get("/api/photos/<photo_hash>")
def show_photo(photo_hash: str) -> ResponseReturnValue:
    """Give a photo of the account, to be shown as a picture and never as a page."""
    account = account_needed()
    response = make_response(parts().photo_inbox(account).picture(_hash_needed(photo_hash)))
    response.mimetype = "image/jpeg"
    response.headers["Content-Disposition"] = "attachment; filename=photo.jpg"
    response.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return response


def _hash_needed(text: str) -> str:
    if not is_hash(text):
        raise NotFound("photo")
    return text


def _refused(name: str, problem: Problem) -> Response:
    response = _answer(PhotoReceipt(name, "refused", (problem,)))
    response.headers["Connection"] = "close"  # the body is not read
    return response


def _answer(receipt: PhotoReceipt) -> Response:
    response = jsonify(receipt.as_json())
    if receipt.problems:
        response.status_code = STATUS.get(receipt.problems[0].at, 422)
    return response
