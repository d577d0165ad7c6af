"""Signatures against published vectors, and every way in which a proof may be none of ours."""

import copy
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from fieldlog.bundle.integrity import (
    fingerprint,
    from_base58,
    hashed,
    in_base58,
    key_named,
    name_of,
    signed,
    signer_of,
)
from fieldlog.bundle.refused import Refused
from tests.bundle.records import KEY, MADE_AT

# W3C Data Integrity EdDSA Cryptosuites v1.0, test vectors of eddsa-jcs-2022 (repository w3c/vc-di-eddsa).
CONTEXT = ["https://www.w3.org/ns/credentials/v2", "https://www.w3.org/ns/credentials/examples/v2"]
PUBLIC = "z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
PRIVATE = "z3u2en7t5LR2WtQH5PfFqMqwVHBeXouLzo6haApm8XHqvjxq"
UNSIGNED: dict[str, Any] = {
    "@context": CONTEXT,
    "id": "urn:uuid:58172aac-d8ba-11ed-83dd-0b3aef56cc33",
    "type": ["VerifiableCredential", "AlumniCredential"],
    "name": "Alumni Credential",
    "description": "A minimum viable example of an Alumni Credential.",
    "issuer": "https://vc.example/issuers/5678",
    "validFrom": "2023-01-01T00:00:00Z",
    "credentialSubject": {"id": "did:example:abcdefgh", "alumniOf": "The School of Examples"},
}
PROOF = {
    "type": "DataIntegrityProof",
    "cryptosuite": "eddsa-jcs-2022",
    "created": "2023-02-24T23:36:38Z",
    "verificationMethod": f"did:key:{PUBLIC}#{PUBLIC}",
    "proofPurpose": "assertionMethod",
    "@context": CONTEXT,
}
COMBINED_HASH = (
    "66ab154f5c2890a140cb8388a22a160454f80575f6eae09e5a097cabe539a1db"
    "59b7cb6251b8991add1ce0bc83107e3db9dbbab5bd2c28f687db1a03abc92f19"
)
VALUE = "z2HnFSSPPBzR36zdDgK8PbEHeXbR56YF24jwMpt3R1eHXQzJDMWS93FCzpvJpwTWd3GAVFuUfjoJdcnTMuVor51aX"
SIGNED = UNSIGNED | {"proof": PROOF | {"proofValue": VALUE}}


def private_key() -> Ed25519PrivateKey:
    """Read the published private key: two bytes of multicodec, then the seed."""
    raw = from_base58(PRIVATE[1:])
    assert raw is not None and raw[:2] == bytes((0x80, 0x26))
    return Ed25519PrivateKey.from_private_bytes(raw[2:])


def test_what_is_hashed_is_that_of_the_published_vector() -> None:
    assert hashed(UNSIGNED, PROOF).hex() == COMBINED_HASH


def test_the_published_signature_holds_and_is_made_again() -> None:
    assert signer_of(SIGNED) == f"did:key:{PUBLIC}" == name_of(private_key().public_key())
    assert "z" + in_base58(private_key().sign(hashed(UNSIGNED, PROOF))) == VALUE


def test_the_first_vectors_of_ed25519_hold() -> None:
    """RFC 8032, section 7.1, tests 1 and 2."""
    for seed, public, message, signature in (
        (
            "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
            "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
            "",
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd2"
            "5bf5f0595bbe24655141438e7a100b",
        ),
        (
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
            "72",
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c38"
            "7b2eaeb4302aeeb00d291612bb0c00",
        ),
    ):
        key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(seed))
        assert key.public_key().public_bytes_raw().hex() == public
        assert key.sign(bytes.fromhex(message)).hex() == signature


def test_what_is_signed_here_holds_here() -> None:
    document = signed(UNSIGNED, KEY, MADE_AT)

    assert signer_of(document) == name_of(KEY.public_key())
    assert document["proof"]["created"] == "2026-11-30T12:00:00Z"


OTHER = "z" + in_base58(bytes((0xED, 0x01)) + bytes(32))


@pytest.mark.parametrize(
    ("members", "why"),
    [
        ({"cryptosuite": "eddsa-rdfc-2022"}, "only the signature suite eddsa-jcs-2022"),
        ({"cryptosuite": "ecdsa-jcs-2019"}, "only the signature suite eddsa-jcs-2022"),
        ({"type": "Ed25519Signature2020"}, "only the signature suite eddsa-jcs-2022"),
        ({"proofPurpose": "authentication"}, "not signed for the purpose"),
        ({"@context": CONTEXT[:1]}, "another context"),
        ({"created": "2023-02-24T23:36:39Z"}, "not what was signed"),
        ({"verificationMethod": f"did:key:{OTHER}#{OTHER}"}, "not what was signed"),
        ({"verificationMethod": f"did:key:{PUBLIC}#{OTHER}"}, "no Ed25519 key"),
        ({"verificationMethod": "https://vc.example/keys/1"}, "no Ed25519 key"),
        ({"verificationMethod": "did:key:z6Mk#z6Mk"}, "no Ed25519 key"),
        ({"verificationMethod": None}, "no Ed25519 key"),
        ({"proofValue": VALUE[:-1] + "Y"}, "not what was signed"),
        ({"proofValue": VALUE[1:]}, "no Ed25519 signature"),
        ({"proofValue": "z" + "0" * 80}, "no Ed25519 signature"),
        ({"proofValue": "z" + "2" * 5000}, "no Ed25519 signature"),
        ({"nonce": "x"}, "just the members of one"),
    ],
)
def test_another_proof_is_refused_with_its_reason(members: dict[str, Any], why: str) -> None:
    document = copy.deepcopy(SIGNED)
    document["proof"] |= members

    with pytest.raises(Refused, match=why):
        signer_of(document)


@pytest.mark.parametrize("proof", [None, [], "x", {}])
def test_without_a_proof_nothing_is_signed(proof: Any) -> None:
    with pytest.raises(Refused, match="no proof"):
        signer_of(UNSIGNED | {"proof": proof})


def test_a_member_more_or_less_is_not_what_was_signed() -> None:
    for document in (SIGNED | {"note": "x"}, {name: SIGNED[name] for name in SIGNED if name != "name"}):
        with pytest.raises(Refused, match="not what was signed"):
            signer_of(document)


def test_a_key_is_read_from_the_name_that_it_is_given() -> None:
    name = name_of(KEY.public_key())

    assert key_named(name).public_bytes_raw() == KEY.public_key().public_bytes_raw()
    assert fingerprint(name) != fingerprint(f"did:key:{PUBLIC}")


def test_base58_takes_back_what_it_gave() -> None:
    for raw in (b"", b"\0", b"\0\0\1", bytes(range(64)), b"\xff" * 64):
        assert from_base58(in_base58(raw)) == raw
    assert from_base58("0OIl") is None
