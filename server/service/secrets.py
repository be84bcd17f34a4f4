"""Tokens, join codes, passwords and the signatures of phones."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any, Final

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from server.core.night.record_chain import canonical
from server.service.troubles import Busy

# No letter or digit that is mistaken for another on a dark dock: 2^5 = 32 signs, 8 of them 40 bits.
JOIN_SIGNS: Final = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
JOIN_LENGTH: Final = 8

_hasher: Final = PasswordHasher()  # argon2id, the library's figures by RFC 9106
# One hash takes 64 MiB and a processor: one at a time, and so few wait that the crew's posts always
# find a thread.
HASHES_WAITING: Final = 4
_at_a_time: Final = threading.BoundedSemaphore(1)
_waiting: Final = threading.BoundedSemaphore(HASHES_WAITING)


def token() -> str:
    """Return a secret of 256 bits."""
    return secrets.token_urlsafe(32)


def device_key() -> str:
    """Return the key of one phone on one show: 256 bits, base64."""
    return base64.b64encode(secrets.token_bytes(32)).decode()


def short_id() -> str:
    """Return a name for a show, session or job that nobody guesses: 80 bits."""
    return base64.b32encode(secrets.token_bytes(10)).decode().lower()


def join_code() -> str:
    """Return a join code of 40 bits."""
    return "".join(secrets.choice(JOIN_SIGNS) for _ in range(JOIN_LENGTH))


def plain_join_code(text: str) -> str:
    """Return a typed join code as it is kept: capitals, no blanks or hyphens."""
    return "".join(sign for sign in text.upper() if sign.isalnum())


def pin() -> str:
    """Return a chief's PIN of six digits."""
    return f"{secrets.randbelow(1_000_000):06d}"


def digest(secret: str) -> str:
    """Return what is kept of a long random secret: it needs no salt."""
    return hashlib.sha256(secret.encode()).hexdigest()


@contextmanager
def _turn() -> Iterator[None]:
    """Wait for a turn to hash; Busy where too many wait."""
    if not _waiting.acquire(blocking=False):
        raise Busy("Too many people sign in at this moment: try again in a few seconds.", 3)
    try:
        with _at_a_time:
            yield
    finally:
        _waiting.release()


def hash_password(password: str) -> str:
    """Return what is kept of a password or PIN."""
    with _turn():
        return _hasher.hash(password)


def password_holds(kept: str, password: str) -> bool:
    """Return whether a password is the one whose hash is kept; takes its time either way."""
    with _turn():
        try:
            return _hasher.verify(kept, password)
        except (VerificationError, InvalidHashError):
            return False


def hash_is_old(kept: str) -> bool:
    """Return whether a hash was made with other figures than those of today."""
    return _hasher.check_needs_rehash(kept)


# For names that no account has: as slow as a wrong password. No password is known that has it.
NO_PASSWORD: Final = (
    "$argon2id$v=19$m=65536,t=3,p=4$GGO78QbFU76VdDE4i3bEPQ"  # noqa: S105
    "$fOenmRC99Hpvxb1pOfAJqzWNF5BuYggLzxJnsjbRIVw"
)


def signature(key: str, event: Mapping[str, Any]) -> str:
    """Return a phone's signature of a fact: base64 of HMAC-SHA256 of its canonical JSON.

    Without `sig`; the key is base64 as well.
    """
    text = canonical({name: value for name, value in event.items() if name != "sig"})
    made = hmac.new(base64.b64decode(key), text.encode(), hashlib.sha256).digest()
    return base64.b64encode(made).decode()


def signed_by(key: str, event: Mapping[str, Any]) -> bool:
    """Return whether a fact carries the signature of this key."""
    given = event.get("sig")
    return isinstance(given, str) and hmac.compare_digest(
        given.encode(), signature(key, event).encode()
    )
