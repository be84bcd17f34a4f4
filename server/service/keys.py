"""What the server's own secret stands for: phones' keys, known browsers, the seal of records.

The secret is made once, lies in the database and so in its backups: a restored server knows the
keys of phones that joined after its backup was made.
"""

from __future__ import annotations

import base64
import hashlib
import hmac

from server.service.ports import Ports
from server.service.records import Owner


def of_device(ports: Ports, show: str, device: str) -> str:
    """Return the key with which a phone signs its facts on a show: 256 bits, base64."""
    return base64.b64encode(_derived(ports, "device", show, device)).decode()


def known(ports: Ports, owner: Owner) -> str:
    """Return what a browser keeps of an owner's sign-in; a new password ends it."""
    return base64.urlsafe_b64encode(
        _derived(ports, "known browser", owner.id, owner.password)
    ).decode()


def is_known(ports: Ports, owner: Owner, shown: str) -> bool:
    """Return whether a browser was this owner's before."""
    return bool(shown) and hmac.compare_digest(shown.encode(), known(ports, owner).encode())


def seed(ports: Ports) -> bytes:
    """Return the seed of the key that seals records."""
    return _derived(ports, "record seal")


def _derived(ports: Ports, *words: str) -> bytes:
    text = "\0".join(words)
    return hmac.new(ports.accounts.server_secret(), text.encode(), hashlib.sha256).digest()
