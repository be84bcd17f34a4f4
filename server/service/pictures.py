"""Photos: bounded before anything is decoded, kept once, and read for labels."""

from __future__ import annotations

import hashlib
import re
from typing import Any, Final

from server.service.ports import PhotoRefused, Ports
from server.service.records import Photo
from server.service.troubles import Busy, TooLarge, Trouble, Wrong, WrongMedia

NAME: Final = re.compile(r"[A-Za-z0-9_-]{8,64}")
MEDIA: Final = {"JPEG": "image/jpeg", "PNG": "image/png"}


def keep(ports: Ports, show: str, device: str, content: bytes, name: str | None) -> str:
    """Keep a photo; return its name. The same name again keeps the first."""
    try:
        kind = ports.photo_kind(content)
    except PhotoRefused as refused:
        raise trouble(refused) from refused
    if kind not in MEDIA:
        raise WrongMedia("Expected a JPEG or a PNG photo.")
    if name is not None and not NAME.fullmatch(name):
        raise Wrong("This is no name for a photo.", (("id", "expected 8 to 64 plain signs"),))
    name = name or hashlib.sha256(content).hexdigest()
    ports.photos.add(show, Photo(name, MEDIA[kind], content), device, ports.now())
    return name


def read(ports: Ports, show: str, content: bytes) -> list[dict[str, Any]]:
    """Return every label in a photo; `known`: the code is in the fleet or on the show."""
    try:
        labels = ports.read_labels(content)
    except PhotoRefused as refused:
        raise trouble(refused) from refused
    known = {one.case.code for one in ports.fleet.cases()}
    known |= {one.code for one in ports.shows.called(show)}
    return [{**label, "known": label["text"] in known} for label in labels]


def trouble(refused: PhotoRefused) -> Trouble:
    """Return why a photo is not taken, as a kind that has its own status."""
    if refused.kind == "too big":
        return TooLarge(refused.reason)
    if refused.kind in {"busy", "too slow"}:
        return Busy(refused.reason, 2)
    if refused.kind == "not a photo":
        return WrongMedia(refused.reason)
    return Wrong(refused.reason)
