"""Makes an authority for one home, and the one certificate that it will ever give.

    .venv/bin/python deploy/home/authority.py [--name NAME]… [--address ADDRESS]… [--new]
    .venv/bin/python deploy/home/authority.py --list

The root holds for the names and the addresses of this machine in its home network, and for nothing else:
that is a critical part of the root itself. Its key lives in this process only, vouches for one certificate,
and is written nowhere; so nobody, the owner included, can make a second one with it. Written are root.crt,
server.crt and server.key (0600), in the folder home/ of FIELDLOG_DATA. Run again, it keeps what is good for
more than 30 days.

If a phone refuses the certificate, look first at: the date of the phone; whether the address that it opened
is among those printed here; whether the root that it trusts has the fingerprint printed here.
"""

import argparse
import os
import re
import socket
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from pathlib import Path
from typing import Final

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from fieldlog import clock
from fieldlog.config import Config
from fieldlog.web.trust.root import Root, read_root

LIFE: Final = timedelta(days=730)
# A phone's clock may be slow; a certificate that is not valid yet would be refused.
BEFORE: Final = timedelta(days=1)
LEFT_AT_LEAST: Final = timedelta(days=30)
# Names that belong to no one: RFC 6762, RFC 8375, one set aside for private use, and what many routers give.
HOME_ZONES: Final = ("local", "home.arpa", "internal", "lan")
# RFC 1918 and RFC 4193.
HOME_NETWORKS: Final = tuple(map(ip_network, ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7")))
EVERY_ADDRESS: Final = tuple(map(ip_network, ("0.0.0.0/0", "::/0")))
LABEL: Final = r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?"

Address = IPv4Address | IPv6Address


@dataclass(frozen=True)
class Reach:
    """The names and addresses under which phones reach this machine."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]

    def of_root(self) -> x509.NameConstraints:
        """Give the limits of the root; a kind of address of which none is allowed is shut out as a whole."""
        allowed = [*map(x509.DNSName, self.names), *(x509.IPAddress(ip_network(a)) for a in self.addresses)]
        kinds = {address.version for address in self.addresses}
        shut_out = [x509.IPAddress(network) for network in EVERY_ADDRESS if network.version not in kinds]
        return x509.NameConstraints(permitted_subtrees=allowed, excluded_subtrees=shut_out or None)

    def of_server(self) -> x509.SubjectAlternativeName:
        """Give the names of the server's certificate."""
        return x509.SubjectAlternativeName(
            [*map(x509.DNSName, self.names), *map(x509.IPAddress, self.addresses)]
        )

    @property
    def hosts(self) -> tuple[str, ...]:
        """The names and addresses as text."""
        return (*self.names, *map(str, self.addresses))


@dataclass(frozen=True)
class Authority:
    """A root and, for as long as this process lives, its key."""

    root: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def home_name(text: str) -> str:
    """Give a name of the home network, or refuse; a public name has a better way to a certificate."""
    name = text.lower().rstrip(".")
    if not re.fullmatch(rf"({LABEL}\.)+({'|'.join(map(re.escape, HOME_ZONES))})", name):
        raise argparse.ArgumentTypeError(
            f"{text!r} is no name of a home network; it should end in one of: {', '.join(HOME_ZONES)}. "
            "For a public name see deploy/public."
        )
    return name


def home_address(text: str) -> Address:
    """Give an address of a home network, or refuse."""
    try:
        address = ip_address(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no address.") from error
    if not _is_home(address):
        raise argparse.ArgumentTypeError(
            f"{text} is no address of a home network, such as 192.168.1.20. "
            "For a public one see deploy/public."
        )
    return address


def names_of(hostname: str) -> tuple[str, ...]:
    """Give the names that a home network may know a machine by; a bare name would cover a whole top zone."""
    whole = hostname.lower().rstrip(".")
    label = whole.partition(".")[0]
    if label == "localhost" or not re.fullmatch(LABEL, label):
        return ()
    known = re.fullmatch(rf"({LABEL}\.)+({'|'.join(map(re.escape, HOME_ZONES))})", whole)
    return tuple(dict.fromkeys([*([whole] if known else []), f"{label}.local", f"{label}.home.arpa"]))


def addresses_of(listed: str) -> tuple[Address, ...]:
    """Take the home addresses out of what the machine lists as its own; those of IPv6 change too often."""
    found = [ip_address(text) for text in listed.split() if ":" not in text]
    return tuple(address for address in dict.fromkeys(found) if _is_home(address))


def make_authority(reach: Reach, now: datetime) -> Authority:
    """Make a root that holds for these names and addresses only, and for no further authority below it."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name("Fieldlog at home", f"{now:%Y-%m-%d}, {reach.hosts[0]}")
    certificate = (
        _begun(name, name, key.public_key(), now)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(reach.of_root(), critical=True)
        .sign(key, hashes.SHA256())
    )
    return Authority(certificate, key)


def make_server(
    authority: Authority, reach: Reach, server: ec.EllipticCurvePublicKey, now: datetime
) -> x509.Certificate:
    """Make a server's certificate for these names and addresses."""
    by = authority.root.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    return (
        _begun(authority.root.subject, _name("Fieldlog server", reach.hosts[0]), server, now)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(by), critical=False)
        .add_extension(reach.of_server(), critical=False)
        .sign(authority.key, hashes.SHA256())
    )


def make_home(folder: Path, reach: Reach, now: datetime) -> None:
    """Make root, certificate and the server's key, and write them; the authority's key ends here."""
    authority = make_authority(reach, now)
    key = ec.generate_private_key(ec.SECP256R1())
    certificate = make_server(authority, reach, key.public_key(), now)
    # A parent that mkdir makes on its way would be open to all.
    for each in (folder.parent, folder):
        each.mkdir(mode=0o700, parents=True, exist_ok=True)
    # Should this break off half-way, the three do not fit together, and the next run makes them anew.
    _write(folder / "server.key", _pem_of(key), 0o600)
    _write(folder / "server.crt", certificate.public_bytes(serialization.Encoding.PEM), 0o644)
    _write(folder / "root.crt", authority.root.public_bytes(serialization.Encoding.PEM), 0o644)


def is_good(folder: Path, reach: Reach, now: datetime) -> bool:
    """Say whether what lies there fits together, lasts a while and holds for something of this machine."""
    try:
        root, server = (
            x509.load_pem_x509_certificate((folder / f).read_bytes()) for f in ("root.crt", "server.crt")
        )
        key = serialization.load_pem_private_key((folder / "server.key").read_bytes(), None)
        server.verify_directly_issued_by(root)
    except (OSError, ValueError, TypeError, InvalidSignature):
        return False
    lasts = all(
        c.not_valid_before_utc <= now and c.not_valid_after_utc - now > LEFT_AT_LEAST for c in (root, server)
    )
    found = read_root(folder)
    return (
        lasts
        and key.public_key() == server.public_key()
        and found is not None
        and bool(set(found.hosts) & set(reach.hosts))
    )


def main(arguments: Sequence[str] | None = None) -> None:
    """Keep what is good, or make it, and say which."""
    asked = _asked(arguments)
    config, now = Config.from_environment(), clock.now()
    if asked.list:
        root = read_root(config.home)
        print("\n".join(root.hosts if root else ()))
        return
    reach = _reach(asked.name, asked.address)
    if not reach.names:
        sys.exit("This machine has no name of its own. Give it one here: --name trailer.local")
    is_kept = not asked.new and is_good(config.home, reach, now)
    had_one = read_root(config.home) is not None
    if is_kept:
        (config.home / "server.key").chmod(0o600)
    else:
        make_home(config.home, reach, now)
    _tell(read_root(config.home), reach, is_kept, had_one)


def _asked(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Makes the certificate for a home network, and its root.")
    parser.add_argument("--name", action="append", type=home_name, default=[], help="a further name")
    parser.add_argument("--address", action="append", type=home_address, default=[], help="a further address")
    parser.add_argument("--new", action="store_true", help="make a new root although the old one is good")
    parser.add_argument(
        "--list", action="store_true", help="print what the root holds for, and do nothing else"
    )
    return parser.parse_args(arguments)


def _reach(names: Sequence[str], addresses: Sequence[Address]) -> Reach:
    listed = subprocess.run(["hostname", "-I"], capture_output=True, text=True, check=False).stdout
    return Reach(
        tuple(dict.fromkeys([*names_of(socket.gethostname()), *names])),
        tuple(dict.fromkeys([*addresses_of(listed), *addresses])),
    )


def _tell(root: Root | None, reach: Reach, is_kept: bool, had_one: bool) -> None:
    if root is None:
        sys.exit("The root was written and cannot be read again. Look at the rights of FIELDLOG_DATA.")
    if is_kept:
        print(f"The root from before is kept, until {root.ends:%Y-%m-%d}.")
    else:
        print(f"A new root is made, until {root.ends:%Y-%m-%d}. Every phone must trust it before use.")
    if had_one and not is_kept:
        print("The one from before is no longer used: every phone that trusted it must trust the new one.")
    print(f"It holds for: {', '.join(root.hosts)}")
    print("Its fingerprint (SHA-256), to compare with what the phone shows:")
    print("\n".join(f"  {line}" for line in root.fingerprint))
    wanting = [host for host in reach.hosts if host not in root.hosts]
    if wanting:
        print(f"It does not hold for: {', '.join(wanting)}.")
        print("To make one that does: .venv/bin/python deploy/home/authority.py --new")


def _is_home(address: Address) -> bool:
    return any(address in network for network in HOME_NETWORKS)


def _name(common: str, unit: str) -> x509.Name:
    return x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, common),
            x509.NameAttribute(NameOID.ORGANIZATIONAL_UNIT_NAME, unit[:64]),
        ]
    )


def _begun(
    issuer: x509.Name, subject: x509.Name, key: ec.EllipticCurvePublicKey, now: datetime
) -> x509.CertificateBuilder:
    begins = now - BEFORE
    return (
        x509.CertificateBuilder()
        .issuer_name(issuer)
        .subject_name(subject)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(begins + LIFE)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )


def _pem_of(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write(path: Path, content: bytes, mode: int) -> None:
    fresh = path.with_name(f".{path.name}")
    fresh.unlink(missing_ok=True)
    descriptor = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        os.fsync(file.fileno())
    fresh.replace(path)


if __name__ == "__main__":
    main()
