"""Canonical JSON (RFC 8785) and its SHA-256."""

import hashlib
from typing import Any

import rfc8785


def canonical(value: Any) -> bytes:
    """Give the RFC 8785 canonical form of a JSON value.

    Raises
    ------
    rfc8785.CanonicalizationError
        For NaN, infinities and integers beyond 2**53 - 1.

    References
    ----------
    RFC 8785, JSON Canonicalization Scheme, 2020.
    """
    return rfc8785.dumps(value)


def sha256_hex(value: Any) -> str:
    """Give the lower-case hex SHA-256 of the canonical form of a JSON value."""
    return hashlib.sha256(canonical(value)).hexdigest()
