"""Canonical JSON (RFC 8785) and its SHA-256."""

import hashlib
import json
import re
from typing import Any, Final

import rfc8785

# Numbers that the standard library may write otherwise: all but short whole ones. Strings that look like them
# only cost time.
_NUMBER: Final = r"-?(?:[0-9]{16}|[0-9]+[.e])"
_OF_MEMBER: Final = re.compile(f'":{_NUMBER}')
_IN_LIST: Final = re.compile(rf"[\[,]{_NUMBER}")
_ALONE: Final = re.compile(_NUMBER)
_encoder: Final = json.JSONEncoder(
    ensure_ascii=False, check_circular=False, allow_nan=False, sort_keys=True, separators=(",", ":")
)


def canonical(value: Any) -> bytes:
    """Give the RFC 8785 canonical form of a JSON value.

    Raises
    ------
    rfc8785.CanonicalizationError
        For NaN, infinities and integers beyond 2**53 - 1.

    Notes
    -----
    The standard library writes most values in the very same form, and ten times as fast; where it might not,
    its text is thrown away.

    References
    ----------
    RFC 8785, JSON Canonicalization Scheme, 2020.
    """
    try:
        text = _encoder.encode(value)
        return rfc8785.dumps(value) if _may_differ(text) else text.encode()
    except (TypeError, ValueError, RecursionError):  # what only the stricter writer names in full
        return rfc8785.dumps(value)


def sha256_hex(value: Any) -> str:
    """Give the lower-case hex SHA-256 of the canonical form of a JSON value."""
    return hashlib.sha256(canonical(value)).hexdigest()


def _may_differ(text: str) -> bool:
    if _OF_MEMBER.search(text) or _IN_LIST.search(text) or _ALONE.match(text):
        return True
    # Beyond the basic plane the two order members differently.
    return not text.isascii() and max(text) > "\uffff"
