"""TLS for phones on one network: a local authority of this server's own, and its certificate.

Phones need a secure context for camera and offline use. The authority's key stays in the data
folder, readable by this user alone; it can sign for nothing but the names and addresses of this
network (name constraints), so that a phone that trusts it risks no more than this server.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
import os
import socket
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec

AUTHORITY_DAYS: Final = 3650
# Apple's rule for certificates of private authorities: at most 825 days (from memory).
SERVER_DAYS: Final = 397
RENEW_DAYS: Final = 30
Reach = tuple[list[str], list[str]]  # names and addresses
HERE: Final[Reach] = (["localhost"], ["127.0.0.1"])
PRIVATE: Final = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8")


def own_address() -> str:
    """Return this machine's address on the network that leads out; no packet is sent for it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # An address of the documentation block (RFC 5737): only the route to it is asked.
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def own_names() -> Reach:
    """Return the names and the addresses by which phones may reach this machine."""
    host = socket.gethostname().split(".")[0].lower()
    names = ["localhost", f"{host}.local"]
    addresses = {"127.0.0.1", own_address()}
    try:
        said = subprocess.run(
            ["hostname", "-I"],  # noqa: S607
            capture_output=True,
            text=True,
            check=False,
            timeout=5,
        )
        addresses.update(word for word in said.stdout.split() if "." in word)
    except (OSError, subprocess.TimeoutExpired):
        pass  # the address that leads out is enough
    return names, sorted(addresses)


def make_certificates(folder: Path, reach: Reach | None = None) -> None:
    """Bring the authority and the server's certificate up to date with `reach`.

    `reach`: names and addresses; not given, all of this machine's. Processes that start together
    wait for each other, so that all serve one certificate.
    """
    from filelock import FileLock

    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    with FileLock(folder / "lock"):
        _up_to_date(folder, *(reach or own_names()))


def _up_to_date(folder: Path, names: list[str], addresses: list[str]) -> None:
    from cryptography import x509

    authority = _authority(folder, addresses)
    wanted = {*names, *addresses}
    file = folder / "server.crt"
    if file.is_file() and (folder / "server.key").is_file():
        there = x509.load_pem_x509_certificate(file.read_bytes())
        soon = _now() + dt.timedelta(days=RENEW_DAYS)
        same = there.issuer == authority[0].subject and _fits(there, authority[0])
        if same and _names_in(there) >= wanted and there.not_valid_after_utc > soon:
            return
    _server(folder, authority, names, addresses)


def _now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


def _fits(leaf: x509.Certificate, authority: x509.Certificate) -> bool:
    try:
        leaf.verify_directly_issued_by(authority)
    except Exception:  # noqa: BLE001  (whatever it is that does not fit: it is made anew)
        return False
    return True


def _names_in(certificate: x509.Certificate) -> set[str]:
    from cryptography import x509

    found = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    names: list[str] = list(found.get_values_for_type(x509.DNSName))
    return {*names, *(str(one) for one in found.get_values_for_type(x509.IPAddress))}


def outside(addresses: list[str]) -> list[str]:
    """Return the addresses that lie in none of the private networks."""
    blocks = [ipaddress.IPv4Network(block) for block in PRIVATE]
    return [one for one in addresses if not any(ipaddress.IPv4Address(one) in b for b in blocks)]


def _permits(authority: x509.Certificate, addresses: list[str]) -> bool:
    """Return whether an authority may sign for these addresses."""
    from cryptography import x509

    held = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    blocks = [one.value for one in held.permitted_subtrees or [] if isinstance(one, x509.IPAddress)]
    return all(f"{one}/32" in {str(block) for block in blocks} for one in outside(addresses))


def _authority(
    folder: Path, addresses: list[str]
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """Return the authority of this server, made once for the networks that it is in."""
    from cryptography import x509
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    file, secret = folder / "authority.crt", folder / "authority.key"
    if file.is_file() and secret.is_file():
        kept = serialization.load_pem_private_key(secret.read_bytes(), None)
        assert isinstance(kept, ec.EllipticCurvePrivateKey)
        there = x509.load_pem_x509_certificate(file.read_bytes())
        if _permits(there, addresses):
            return there, kept
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name(f"Rowcall on {socket.gethostname().split('.')[0]}")
    permitted: list[x509.GeneralName] = [x509.DNSName("local"), x509.DNSName("localhost")]
    permitted += [x509.IPAddress(ipaddress.ip_network(block)) for block in PRIVATE]
    permitted += [x509.IPAddress(ipaddress.ip_network(f"{one}/32")) for one in outside(addresses)]
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(_now() - dt.timedelta(days=1))
        .not_valid_after(_now() + dt.timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, _sha256())
    )
    _write(folder, "authority", certificate, key)
    return certificate, key


def _server(
    folder: Path,
    authority: tuple[x509.Certificate, ec.EllipticCurvePrivateKey],
    names: list[str],
    addresses: list[str],
) -> None:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID

    key = ec.generate_private_key(ec.SECP256R1())
    alternatives: list[x509.GeneralName] = [x509.DNSName(name) for name in names]
    alternatives += [x509.IPAddress(ipaddress.ip_address(one)) for one in addresses]
    signer = authority[1].public_key()
    certificate = (
        x509.CertificateBuilder()
        .subject_name(_name("Rowcall"))
        .issuer_name(authority[0].subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(_now() - dt.timedelta(days=1))
        .not_valid_after(_now() + dt.timedelta(days=SERVER_DAYS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer), critical=False)
        .sign(authority[1], _sha256())
    )
    _write(folder, "server", certificate, key)


def _usage(*, signs: bool) -> x509.KeyUsage:
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=True,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs,
        crl_sign=signs,
        encipher_only=False,
        decipher_only=False,
    )


def _name(text: str) -> x509.Name:
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text[:60])])


def _sha256() -> hashes.SHA256:
    from cryptography.hazmat.primitives import hashes

    return hashes.SHA256()


def _write(
    folder: Path, name: str, certificate: x509.Certificate, key: ec.EllipticCurvePrivateKey
) -> None:
    """Write certificate and key; the key is never readable by others, not for a moment."""
    from cryptography.hazmat.primitives import serialization

    secret = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    for ending, content, mode in (
        ("key", secret, 0o600),
        ("crt", certificate.public_bytes(serialization.Encoding.PEM), 0o644),
    ):
        fresh = folder / f"{name}.{ending}.new"
        fresh.unlink(missing_ok=True)
        with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as out:
            out.write(content)
        fresh.replace(folder / f"{name}.{ending}")
