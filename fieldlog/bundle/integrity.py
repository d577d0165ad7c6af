"""Signatures of JSON documents: W3C Data Integrity, cryptosuite eddsa-jcs-2022, and nothing else.

References
----------
W3C Data Integrity EdDSA Cryptosuites v1.0, section 3.3 (eddsa-jcs-2022) · RFC 8785 (canonical JSON) ·
RFC 8032 (Ed25519) · the did:key method, section 3.1.2 (Ed25519) · multibase, base58btc.
"""

import hashlib
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any, Final

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from fieldlog.bundle.refused import Refused
from fieldlog.model.canonical import canonical

SUITE: Final = "eddsa-jcs-2022"
PURPOSE: Final = "assertionMethod"
METHOD: Final = "did:key:"
ED25519: Final = bytes((0xED, 0x01))
SIGNATURE_BYTES: Final = 64
KEY_BYTES: Final = 32
MEMBERS: Final = frozenset(
    ("type", "cryptosuite", "created", "verificationMethod", "proofPurpose", "@context", "proofValue")
)
_LETTERS: Final = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"


def signed(document: Mapping[str, Any], key: Ed25519PrivateKey, created: datetime) -> dict[str, Any]:
    """Give a document with a proof by a key.

    Parameters
    ----------
    document : mapping
        JSON, with a member "@context" and without "proof".
    key : Ed25519PrivateKey
        The signer's.
    created : datetime
        When it is signed, aware of its zone; kept to the second.

    Returns
    -------
    dict
        The document with the member "proof".
    """
    name = name_of(key.public_key())
    proof = {
        "type": "DataIntegrityProof",
        "cryptosuite": SUITE,
        "created": written(created),
        "verificationMethod": f"{name}#{name.removeprefix(METHOD)}",
        "proofPurpose": PURPOSE,
        "@context": document["@context"],
    }
    value = "z" + in_base58(key.sign(hashed(document, proof)))
    return {**document, "proof": {**proof, "proofValue": value}}


def signer_of(document: Mapping[str, Any]) -> str:
    """Verify a document's proof and give the name of the key that signed, "did:key:z6Mk…".

    Raises
    ------
    Refused
        Where there is no proof of this suite, it has other members, or it does not fit the document.
    """
    proof = document.get("proof")
    if not isinstance(proof, dict) or proof.keys() != MEMBERS:
        raise Refused("no-proof")
    if (proof["type"], proof["cryptosuite"]) != ("DataIntegrityProof", SUITE):
        raise Refused("other-suite", suite=SUITE)
    if proof["proofPurpose"] != PURPOSE:
        raise Refused("other-purpose", purpose=PURPOSE)
    if proof["@context"] != document.get("@context"):
        raise Refused("other-context")
    name = _name_in(proof["verificationMethod"])
    bare = {member: value for member, value in document.items() if member != "proof"}
    claim = {member: value for member, value in proof.items() if member != "proofValue"}
    try:
        key_named(name).verify(_signature(proof["proofValue"]), hashed(bare, claim))
    except InvalidSignature as error:
        raise Refused("not-what-was-signed") from error
    return name


def hashed(document: Mapping[str, Any], proof: Mapping[str, Any]) -> bytes:
    """Give what is signed: the SHA-256 of the canonical proof without its value, then of the document."""
    return b"".join(hashlib.sha256(canonical(part)).digest() for part in (proof, document))


def name_of(key: Ed25519PublicKey) -> str:
    """Give the name of a key, "did:key:z6Mk…"."""
    return METHOD + "z" + in_base58(ED25519 + key.public_bytes(Encoding.Raw, PublicFormat.Raw))


def key_named(name: str) -> Ed25519PublicKey:
    """Give the key of a name; raise Refused where it names none of ours."""
    text = name.removeprefix(METHOD)
    raw = from_base58(text.removeprefix("z")) if name != text and text.startswith("z") else None
    if raw is None or not raw.startswith(ED25519) or len(raw) != len(ED25519) + KEY_BYTES:
        raise Refused("no-key")
    return Ed25519PublicKey.from_public_bytes(raw.removeprefix(ED25519))


def fingerprint(name: str) -> str:
    """Give what people compare of a key: the first 80 bits of the SHA-256 of its name, in groups of four.

    Examples
    --------
    >>> name = "did:key:z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
    >>> [len(group) for group in fingerprint(name).split()]
    [4, 4, 4, 4, 4]
    """
    digits = hashlib.sha256(name.encode()).hexdigest()[:20]
    return " ".join(digits[at : at + 4] for at in range(0, len(digits), 4))


def written(time: datetime) -> str:
    """Write a time in UTC, to the second."""
    return time.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def in_base58(raw: bytes) -> str:
    """Write bytes in base58btc.

    Examples
    --------
    >>> in_base58(bytes.fromhex("00010966776006953d5567439e5e39f86a0d273beed61967f6"))
    '16UwLL9Risc3QfPqBUvKofHmBQ7wMtjvM'
    """
    number, text = int.from_bytes(raw), ""
    while number:
        number, digit = divmod(number, 58)
        text = _LETTERS[digit] + text
    return _LETTERS[0] * (len(raw) - len(raw.lstrip(b"\0"))) + text


def from_base58(text: str) -> bytes | None:
    """Read base58btc; None where it holds another letter or more than a signature does."""
    if len(text) > 2 * SIGNATURE_BYTES or any(letter not in _LETTERS for letter in text):
        return None
    number = 0
    for letter in text:
        number = number * 58 + _LETTERS.index(letter)
    zeros = len(text) - len(text.lstrip(_LETTERS[0]))
    return bytes(zeros) + number.to_bytes((number.bit_length() + 7) // 8)


def _name_in(method: Any) -> str:
    name, _, part = method.partition("#") if isinstance(method, str) else ("", "", "")
    if f"{METHOD}{part}" != name:
        raise Refused("no-key")
    return name


def _signature(value: Any) -> bytes:
    raw = from_base58(value[1:]) if isinstance(value, str) and value.startswith("z") else None
    if raw is None or len(raw) != SIGNATURE_BYTES:
        raise Refused("no-signature")
    return raw
