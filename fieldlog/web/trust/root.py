"""The root of the home network's certificate, as a page tells of it; deploy/home/authority.py makes it."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from textwrap import wrap

from cryptography import x509
from cryptography.hazmat.primitives import hashes


@dataclass(frozen=True)
class Root:
    """A root that a phone may be told to trust, and what it holds for."""

    pem: bytes
    name: str
    names: tuple[str, ...]
    addresses: tuple[str, ...]
    ends: datetime
    fingerprint: tuple[str, ...]

    @property
    def hosts(self) -> tuple[str, ...]:
        """All that it holds for, the names first."""
        return (*self.names, *self.addresses)


def read_root(folder: Path) -> Root | None:
    """Read the root in a folder; nothing where there is none, or none that can be read."""
    try:
        pem = (folder / "root.crt").read_bytes()
        certificate = x509.load_pem_x509_certificate(pem)
        limits = certificate.extensions.get_extension_for_class(x509.NameConstraints).value
    except (OSError, ValueError, x509.ExtensionNotFound):
        return None
    allowed = limits.permitted_subtrees or []
    return Root(
        pem=pem,
        name=_name(certificate),
        names=tuple(each.value for each in allowed if isinstance(each, x509.DNSName)),
        # each is a network of one address: 192.168.1.20/32
        addresses=tuple(
            str(each.value).partition("/")[0] for each in allowed if isinstance(each, x509.IPAddress)
        ),
        ends=certificate.not_valid_after_utc,
        fingerprint=_in_pairs(certificate.fingerprint(hashes.SHA256())),
    )


def _name(certificate: x509.Certificate) -> str:
    return ", ".join(str(each.value) for each in certificate.subject)


def _in_pairs(fingerprint: bytes) -> tuple[str, ...]:
    """Give a fingerprint as phones show it, in lines that an eye can follow."""
    return tuple(wrap(fingerprint.hex(" ").upper(), 8 * 3))
