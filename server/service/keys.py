"""What the server's own secret stands for: phones' keys, known browsers, the seal of records.

The secret is made once, lies in the database and so in its backups: a restored server knows the
keys of phones that joined after its backup was made.
"""

from __future__ import annotations

import base64
import hashlib
import hmac

from server.service.ports import Ports
from server.service.records import Owner, Role


def of_device(ports: Ports, show: str, device: str, role: Role) -> str:
    """Return the key with which a phone signs what it says in a role: 256 bits, base64.

    A new PIN ends the chiefs' keys of before.
    """
    record = ports.shows.show(show) if role == "chief" else None
    pin = "" if record is None else record.pin or ""
    return base64.b64encode(_derived(ports, "device", show, device, role, pin)).decode()


def role_of(ports: Ports, show: str, device: str, key: str) -> Role | None:
    """Return the role whose key a phone shows; None: the key is not derived here."""
    roles: tuple[Role, ...] = ("owner", "chief", "loader")
    for role in roles:
        if hmac.compare_digest(key.encode(), of_device(ports, show, device, role).encode()):
            return role
    return None


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
