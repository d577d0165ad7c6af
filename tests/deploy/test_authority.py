"""The authority of a home: what its root holds for, what it refuses, and that its key is used up."""

import argparse
import stat
import subprocess
from collections.abc import Callable
from datetime import datetime, timedelta
from ipaddress import ip_address, ip_network
from pathlib import Path
from typing import Any

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from fieldlog.clock import now
from tests.builders import NOON
from tests.deploy.home import authority, run_authority

NAMES = ("trailer.local", "trailer.home.arpa")
ADDRESSES = ("192.168.1.20", "fd00::20")
FOREIGN = ["bank.example", "other.local", "trailer.local.example", "192.168.1.21", "10.0.0.1", "fd00::21"]

Verifier = Callable[[Path, x509.Certificate, x509.Certificate, str, datetime], bool]


def reach(*hosts: str) -> Any:
    names = tuple(host for host in hosts if not is_address(host))
    return authority().Reach(names, tuple(ip_address(host) for host in hosts if is_address(host)))


def is_address(host: str) -> bool:
    return ":" in host or host.replace(".", "").isdigit()


def general(host: str) -> x509.DNSName | x509.IPAddress:
    return x509.IPAddress(ip_address(host)) if is_address(host) else x509.DNSName(host)


HOME = (*NAMES, *ADDRESSES)


def by_cryptography(
    _: Path, root: x509.Certificate, server: x509.Certificate, host: str, at: datetime
) -> bool:
    policy = PolicyBuilder().store(Store([root])).time(at)
    try:
        policy.build_server_verifier(general(host)).verify(server, [])
    except VerificationError:
        return False
    return True


def by_openssl(
    folder: Path, root: x509.Certificate, server: x509.Certificate, host: str, at: datetime
) -> bool:
    for name, certificate in (("root.pem", root), ("server.pem", server)):
        (folder / name).write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    of_host = ["-verify_ip" if is_address(host) else "-verify_hostname", host]
    command = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", *of_host]
    command += ["-attime", str(int(at.timestamp())), "-CAfile", "root.pem", "server.pem"]
    return subprocess.run(command, cwd=folder, capture_output=True, check=False).returncode == 0


VERIFIERS = pytest.mark.parametrize("verifies", [by_cryptography, by_openssl])


def server_for(made: Any, *hosts: str) -> x509.Certificate:
    key = ec.generate_private_key(ec.SECP256R1())
    certificate: x509.Certificate = authority().make_server(made, reach(*hosts), key.public_key(), NOON)
    return certificate


def value(certificate: x509.Certificate, kind: type[Any]) -> tuple[Any, bool]:
    extension = certificate.extensions.get_extension_for_class(kind)
    return extension.value, extension.critical


# What it holds for


@VERIFIERS
@pytest.mark.parametrize("host", HOME)
def test_the_certificate_is_believed_for_each_name_and_address_of_the_home(
    tmp_path: Path, verifies: Verifier, host: str
) -> None:
    made = authority().make_authority(reach(*HOME), NOON)

    assert verifies(tmp_path, made.root, server_for(made, *HOME), host, NOON)


@VERIFIERS
@pytest.mark.parametrize("host", FOREIGN)
def test_a_certificate_for_anything_else_is_refused_although_the_same_key_signed_it(
    tmp_path: Path, verifies: Verifier, host: str
) -> None:
    made = authority().make_authority(reach(*HOME), NOON)
    unlimited = authority().make_authority(reach(*HOME, host), NOON)

    assert not verifies(tmp_path, made.root, server_for(made, host), host, NOON)
    assert not verifies(tmp_path, made.root, server_for(made, NAMES[0], host), host, NOON)
    assert verifies(tmp_path, unlimited.root, server_for(unlimited, host), host, NOON)


@VERIFIERS
@pytest.mark.parametrize("host", ["192.168.1.20", "fd00::20"])
@pytest.mark.parametrize("other", [(), ("10.0.0.1",), ("fd00::21",)])
def test_without_an_address_of_a_kind_the_root_holds_for_none_of_that_kind(
    tmp_path: Path, verifies: Verifier, host: str, other: tuple[str, ...]
) -> None:
    made = authority().make_authority(reach(*NAMES, *other), NOON)

    assert not verifies(tmp_path, made.root, server_for(made, host), host, NOON)
    assert verifies(tmp_path, made.root, server_for(made, *NAMES), NAMES[0], NOON)


def test_the_limits_are_a_critical_part_of_the_root_and_no_authority_may_follow() -> None:
    root = authority().make_authority(reach(*HOME), NOON).root

    limits, is_critical = value(root, x509.NameConstraints)
    assert is_critical
    assert list(limits.permitted_subtrees) == [
        *map(x509.DNSName, NAMES),
        *(x509.IPAddress(ip_network(address)) for address in ADDRESSES),
    ]
    assert value(root, x509.BasicConstraints) == (x509.BasicConstraints(ca=True, path_length=0), True)
    usage, is_critical = value(root, x509.KeyUsage)
    assert is_critical and usage.key_cert_sign and not usage.digital_signature and not usage.crl_sign


def test_the_certificate_names_exactly_the_home_and_serves_only() -> None:
    server = server_for(authority().make_authority(reach(*HOME), NOON), *HOME)

    assert list(value(server, x509.SubjectAlternativeName)[0]) == [general(host) for host in HOME]
    assert list(value(server, x509.ExtendedKeyUsage)[0]) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert value(server, x509.BasicConstraints)[0].ca is False


@VERIFIERS
def test_both_end_after_two_years(tmp_path: Path, verifies: Verifier) -> None:
    made = authority().make_authority(reach(*HOME), NOON)
    server = server_for(made, *HOME)

    for certificate in (made.root, server):
        assert certificate.not_valid_after_utc - certificate.not_valid_before_utc == timedelta(days=730)
    assert verifies(tmp_path, made.root, server, NAMES[0], NOON - timedelta(hours=23))
    assert verifies(tmp_path, made.root, server, NAMES[0], NOON + timedelta(days=728))
    assert not verifies(tmp_path, made.root, server, NAMES[0], NOON + timedelta(days=730))


# Which names and addresses


def test_a_machine_is_known_by_its_name_in_the_zones_of_a_home() -> None:
    assert authority().names_of("Trailer") == NAMES
    assert authority().names_of("trailer.lan") == ("trailer.lan", *NAMES)
    assert authority().names_of("trailer.example") == NAMES


def test_a_bare_name_is_left_out_because_it_would_cover_a_whole_top_zone() -> None:
    assert "dev" not in authority().names_of("dev")


@pytest.mark.parametrize("hostname", ["localhost", "localhost.localdomain", "my_trailer", ""])
def test_a_name_that_no_network_can_know_is_left_out(hostname: str) -> None:
    assert authority().names_of(hostname) == ()


def test_only_addresses_of_a_home_network_are_taken() -> None:
    listed = "127.0.0.1 192.168.1.20 203.0.113.9 169.254.3.4 10.1.2.3 192.168.1.20 fd00::20 172.32.0.1"

    assert [str(address) for address in authority().addresses_of(listed)] == ["192.168.1.20", "10.1.2.3"]


@pytest.mark.parametrize("name", ["bank.example", "local", "trailer", "*.local", "-a.local", "a b.local", ""])
def test_a_public_or_impossible_name_is_refused(name: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError, match="no name of a home network"):
        authority().home_name(name)


@pytest.mark.parametrize("address", ["203.0.113.9", "127.0.0.1", "2001:db8::1", "trailer", "192.168.1.0/24"])
def test_a_public_or_impossible_address_is_refused(address: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError, match="no address"):
        authority().home_address(address)


# What is kept


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_three_files_are_written_and_the_key_of_the_authority_is_in_none(tmp_path: Path) -> None:
    done = run_authority(tmp_path, "--name", "shed.local", "--address", "192.168.7.20")

    assert done.returncode == 0, done.stderr
    files = contents(tmp_path)
    assert set(files) == {"home/root.crt", "home/server.crt", "home/server.key"}
    root = x509.load_pem_x509_certificate(files["home/root.crt"])
    keys = [content for content in files.values() if b"PRIVATE KEY" in content]
    assert len(keys) == 1 and keys[0].count(b"BEGIN") == 1
    assert serialization.load_pem_private_key(keys[0], None).public_key() != root.public_key()
    assert "PRIVATE" not in done.stdout + done.stderr
    assert stat.S_IMODE((tmp_path / "home/server.key").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "home").stat().st_mode) == 0o700


def test_a_folder_of_all_data_that_is_made_for_it_is_its_owners_alone(tmp_path: Path) -> None:
    authority().make_home(tmp_path / "data" / "home", reach(*HOME), NOON)

    assert stat.S_IMODE((tmp_path / "data").stat().st_mode) == 0o700
    assert stat.S_IMODE((tmp_path / "data/home").stat().st_mode) == 0o700


def test_what_was_written_is_believed_for_what_was_asked(tmp_path: Path) -> None:
    run_authority(tmp_path, "--name", "shed.local", "--address", "192.168.7.20")
    root, server = (
        x509.load_pem_x509_certificate((tmp_path / "home" / name).read_bytes())
        for name in ("root.crt", "server.crt")
    )

    for host in ("shed.local", "192.168.7.20"):
        assert by_cryptography(tmp_path, root, server, host, now())
        assert by_openssl(tmp_path, root, server, host, now())


def test_a_second_run_keeps_what_is_there(tmp_path: Path) -> None:
    first = run_authority(tmp_path, "--name", "shed.local")
    before = contents(tmp_path)
    (tmp_path / "home/server.key").chmod(0o644)
    second = run_authority(tmp_path, "--name", "shed.local")

    assert contents(tmp_path) == before
    assert "A new root is made" in first.stdout and "is kept" in second.stdout
    assert first.stdout.splitlines()[1:] == second.stdout.splitlines()[1:]
    assert stat.S_IMODE((tmp_path / "home/server.key").stat().st_mode) == 0o600


def test_a_root_that_ends_soon_is_replaced_and_the_phones_are_spoken_of(tmp_path: Path) -> None:
    authority().make_home(tmp_path / "home", reach("shed.local"), now() - timedelta(days=705))
    before = contents(tmp_path)
    done = run_authority(tmp_path, "--name", "shed.local")

    assert "every phone that trusted it must trust the new one" in done.stdout
    assert all(contents(tmp_path)[name] != before[name] for name in before)


@pytest.mark.parametrize(
    ("days", "is_good"), [(0, True), (698, True), (700, False), (800, False), (-2, False)]
)
def test_it_is_good_while_more_than_thirty_days_are_left(tmp_path: Path, days: int, is_good: bool) -> None:
    authority().make_home(tmp_path, reach(*HOME), NOON)

    assert authority().is_good(tmp_path, reach(*HOME), NOON + timedelta(days=days)) is is_good


@pytest.mark.parametrize("name", ["root.crt", "server.crt", "server.key"])
@pytest.mark.parametrize("how", ["gone", "damaged", "of another making"])
def test_what_does_not_fit_together_is_not_good(tmp_path: Path, name: str, how: str) -> None:
    for folder in ("one", "other"):
        authority().make_home(tmp_path / folder, reach(*HOME), NOON)
    path = tmp_path / "one" / name
    if how == "gone":
        path.unlink()
    else:
        path.write_bytes(b"?" if how == "damaged" else (tmp_path / "other" / name).read_bytes())

    assert not authority().is_good(tmp_path / "one", reach(*HOME), NOON)


def test_a_new_address_alone_does_not_shut_out_the_phones(tmp_path: Path) -> None:
    run_authority(tmp_path, "--name", "shed.local")
    before = contents(tmp_path)
    done = run_authority(tmp_path, "--name", "shed.local", "--address", "192.168.7.21")

    assert contents(tmp_path) == before
    assert "It does not hold for: 192.168.7.21." in done.stdout


def test_one_may_ask_for_a_new_root(tmp_path: Path) -> None:
    run_authority(tmp_path, "--name", "shed.local")
    before = contents(tmp_path)
    done = run_authority(tmp_path, "--new", "--name", "shed.local", "--address", "192.168.7.21")

    assert all(contents(tmp_path)[name] != before[name] for name in before)
    assert "192.168.7.21" in done.stdout and "must trust the new one" in done.stdout


def test_a_certificate_of_another_machine_is_not_good(tmp_path: Path) -> None:
    authority().make_home(tmp_path, reach("other.local"), NOON)

    assert not authority().is_good(tmp_path, reach(*HOME), NOON)
