"""A passkey in software (W3C Web Authentication, Level 2, sections 6.1 and 6.5.4), for tests.

It signs whatever it is told to, so that a test can have it lie about one thing at a time.
"""

from __future__ import annotations

import hashlib
import json
import secrets
import struct
from base64 import urlsafe_b64encode
from typing import Any, Final

import cbor2
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

PRESENT: Final = 0x01
VERIFIED: Final = 0x04
WITH_KEY: Final = 0x40


def b64(content: bytes) -> str:
    """Return base64url without padding, as the standard writes bytes in JSON."""
    return urlsafe_b64encode(content).rstrip(b"=").decode()


class Authenticator:
    """One key pair; `uses` is the counter it reports, which stays 0 where `counts` is off."""

    def __init__(self, *, counts: bool = True) -> None:
        self.id = secrets.token_bytes(32)
        self.key = ec.generate_private_key(ec.SECP256R1())
        self.uses = 0
        self.counts = counts

    def _client(self, kind: str, options: dict[str, Any], origin: str) -> bytes:
        told = {"type": f"webauthn.{kind}", "challenge": options["challenge"], "origin": origin}
        return json.dumps({**told, "crossOrigin": False}).encode()

    def _head(self, site: str, flags: int) -> bytes:
        self.uses += 1 if self.counts else 0
        return hashlib.sha256(site.encode()).digest() + struct.pack(">BI", flags, self.uses)

    def make(
        self,
        options: dict[str, Any],
        origin: str,
        *,
        site: str = "localhost",
        verified: bool = True,
    ) -> dict[str, Any]:
        """Return a new credential, without attestation."""
        numbers = self.key.public_key().public_numbers()
        # COSE_Key of an EC2 key on P-256 for ES256 (RFC 9053, 7.1.1)
        cose = {1: 2, 3: -7, -1: 1, -2: numbers.x.to_bytes(32), -3: numbers.y.to_bytes(32)}
        flags = PRESENT | WITH_KEY | (VERIFIED if verified else 0)
        data = self._head(site, flags) + bytes(16) + struct.pack(">H", len(self.id)) + self.id
        held = {"fmt": "none", "attStmt": {}, "authData": data + cbor2.dumps(cose)}
        return self._credential(
            {
                "clientDataJSON": b64(self._client("create", options, origin)),
                "attestationObject": b64(cbor2.dumps(held)),
            }
        )

    def show(
        self,
        options: dict[str, Any],
        origin: str,
        *,
        site: str = "localhost",
        verified: bool = True,
    ) -> dict[str, Any]:
        """Return a signed challenge."""
        client = self._client("get", options, origin)
        data = self._head(site, PRESENT | (VERIFIED if verified else 0))
        signed = data + hashlib.sha256(client).digest()
        return self._credential(
            {
                "clientDataJSON": b64(client),
                "authenticatorData": b64(data),
                "signature": b64(self.key.sign(signed, ec.ECDSA(hashes.SHA256()))),
            }
        )

    def _credential(self, response: dict[str, str]) -> dict[str, Any]:
        name = b64(self.id)
        return {"id": name, "rawId": name, "type": "public-key", "response": response}
