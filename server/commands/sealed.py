"""Files under a passphrase: scrypt (RFC 7914) makes the key, AES-256-GCM seals frame by frame.

Frames are numbered and the last one is marked, each in its nonce (the STREAM construction of Hoang,
Reyhanitabar, Rogaway and Vizar, CRYPTO 2015): a file that is cut short, put together anew or
changed is refused. Each file has a key of its own by its salt, so no nonce is used twice.
"""

from __future__ import annotations

import io
import json
import secrets
from pathlib import Path
from typing import BinaryIO, Final

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from server.trouble import BadInput

FORMAT: Final = "rowcall-sealed-1"
FRAME: Final = 1 << 20
TAG: Final = 16
# OWASP Password Storage Cheat Sheet, scrypt: N=2^17, r=8, p=1 (128 MiB).
COST: Final = {"n": 1 << 17, "r": 8, "p": 1}
LEAST_PASSPHRASE: Final = 12
LONGEST_HEAD: Final = 400


def read_passphrase(file: Path) -> str:
    """Return the passphrase that a file holds; BadInput where it is none to rely on."""
    try:
        text = file.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput("passphrase-file", "a file to read", f"{file}: {error}") from None
    if len(text) < LEAST_PASSPHRASE:
        expected = f"a passphrase of at least {LEAST_PASSPHRASE} characters"
        raise BadInput("passphrase-file", expected, f"{len(text)} characters")
    return text


def is_sealed(file: Path) -> bool:
    """Return whether a file is one under a passphrase."""
    with file.open("rb") as opened:
        return opened.read(LONGEST_HEAD).startswith(b'{"format":"' + FORMAT.encode())


def _cipher(passphrase: str, salt: bytes, cost: dict[str, int]) -> AESGCM:
    key = Scrypt(salt=salt, length=32, **cost).derive(passphrase.encode())
    return AESGCM(key)


def _nonce(number: int, *, last: bool) -> bytes:
    return number.to_bytes(11, "big") + bytes([last])


class Sealing(io.RawIOBase):
    """Seals what is written; `close` writes the last frame, without which nothing opens it."""

    def __init__(self, raw: BinaryIO, passphrase: str, cost: dict[str, int] | None = None) -> None:
        self._raw, self._held, self._number = raw, bytearray(), 0
        salt, cost = secrets.token_bytes(16), cost or COST
        head = {"format": FORMAT, "salt": salt.hex(), **cost}
        self._head = json.dumps(head, separators=(",", ":")).encode() + b"\n"
        self._cipher = _cipher(passphrase, salt, cost)
        raw.write(self._head)

    def writable(self) -> bool:
        return True

    def write(self, data: object, /) -> int:
        """Take bytes; a frame is written as soon as more than one is held."""
        given = bytes(memoryview(data))  # type: ignore[arg-type]
        self._held += given
        while len(self._held) > FRAME:
            self._frame(bytes(self._held[:FRAME]), last=False)
            del self._held[:FRAME]
        return len(given)

    def close(self) -> None:
        """Write the last frame."""
        if not self.closed:
            self._frame(bytes(self._held), last=True)
            super().close()

    def _frame(self, data: bytes, *, last: bool) -> None:
        nonce = _nonce(self._number, last=last)
        self._raw.write(self._cipher.encrypt(nonce, data, self._head))
        self._number += 1


class Unsealing(io.RawIOBase):
    """Reads what was sealed; BadInput where the passphrase or the file is another."""

    def __init__(self, raw: BinaryIO, passphrase: str, place: str) -> None:
        self._raw, self._place, self._number = raw, place, 0
        self._head = raw.readline(LONGEST_HEAD)
        try:
            head = json.loads(self._head)
            cost = {name: int(head[name]) for name in COST}
            salt = bytes.fromhex(head["salt"])
        except (ValueError, KeyError, TypeError) as error:
            raise BadInput(place, f"a file of format {FORMAT}", str(error)[:60]) from None
        # A file of a stranger must not ask for all memory.
        if head["format"] != FORMAT or not 1 < cost["n"] <= 1 << 20 or cost["r"] * cost["p"] > 16:
            raise BadInput(place, f"a file of format {FORMAT}", "other measures of scrypt")
        self._cipher = _cipher(passphrase, salt, cost)
        self._held = b""
        self._next = raw.read(FRAME + TAG)

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: object, /) -> int:
        """Fill a buffer with what comes next; 0 at the end."""
        view = memoryview(buffer)  # type: ignore[arg-type]
        while not self._held and self._next:
            frame, self._next = self._next, self._raw.read(FRAME + TAG)
            nonce = _nonce(self._number, last=not self._next)
            self._number += 1
            try:
                self._held = self._cipher.decrypt(nonce, frame, self._head)
            except InvalidTag:
                expected = "the passphrase that it was made with, and a whole file"
                raise BadInput(self._place, expected, "neither opens it") from None
        count = min(len(view), len(self._held))
        view[:count] = self._held[:count]
        self._held = self._held[count:]
        return count
