"""The seal of a record: its head signed with the shop's key (Ed25519, RFC 8032).

Whoever changes a record can work its digests out anew, but cannot sign them: the private key is
derived from the server's secret. The fingerprint of the public key stands on the printed record.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any, Final

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import (
    Ed25519PrivateKey,
    Ed25519PublicKey,
)

from server.core.night.record_chain import canonical, start
from server.service import keys
from server.service.ports import Ports

FINGERPRINT: Final = 32  # hexadecimal digits, 128 bits: shown in groups of four


def seal(ports: Ports, record: Mapping[str, Any]) -> dict[str, Any]:
    """Return a record with its seal."""
    private = _private(ports)
    signature = private.sign(_text(record)).hex()
    return {**record, "seal": {"key": _public(private).hex(), "signature": signature}}


def fingerprint(ports: Ports) -> str:
    """Return the fingerprint of the shop's key as people compare it."""
    return fingerprint_of(_public(_private(ports)).hex())


def fingerprint_of(key: str) -> str:
    """Return the fingerprint of a public key in hexadecimal digits."""
    digits = hashlib.sha256(bytes.fromhex(key)).hexdigest()[:FINGERPRINT]
    return " ".join(digits[at : at + 4] for at in range(0, FINGERPRINT, 4))


def broken(record: Mapping[str, Any], expected: str = "") -> str:
    """Return what is wrong with the seal of a record; empty: it holds.

    `expected`: the fingerprint on the printed record, blanks or none.
    """
    found = record.get("seal")
    if not isinstance(found, Mapping):
        return "it has no seal: anybody can change a record and work out its digests anew"
    try:
        key = str(found.get("key"))
        public = Ed25519PublicKey.from_public_bytes(bytes.fromhex(key))
        public.verify(bytes.fromhex(str(found.get("signature"))), _text(record))
    except (InvalidSignature, ValueError):
        return "its seal does not hold: it was changed after it was sealed"
    if expected and "".join(expected.split()).lower() != fingerprint_of(key).replace(" ", ""):
        return f"it is sealed by another key: {fingerprint_of(key)}"
    return ""


def _text(record: Mapping[str, Any]) -> bytes:
    """Return what is signed: the show, the head of the chain, how many facts, how they arrived."""
    digests = record["digests"]
    return canonical(
        {
            "format": record["format"],
            "show": record["show"],
            "head": digests[-1] if digests else start(record["show"]),
            "count": len(record["events"]),
            "arrivals": record.get("arrivals"),
        }
    ).encode()


def _private(ports: Ports) -> Ed25519PrivateKey:
    return Ed25519PrivateKey.from_private_bytes(keys.seed(ports))


def _public(private: Ed25519PrivateKey) -> bytes:
    return private.public_key().public_bytes_raw()
