"""Photos: bounded before anything is decoded, kept once, and read for labels."""

from __future__ import annotations

import hashlib
import re
from typing import Any, Final

from server.core.shop.tags import case_of
from server.service.case_tags import owners_of
from server.service.ports import PhotoRefused, Ports
from server.service.records import Photo
from server.service.troubles import Busy, TooLarge, Trouble, Wrong, WrongMedia

NAME: Final = re.compile(r"[A-Za-z0-9_-]{8,64}")
# A row takes one photo, a check or damage another: some dozens a night.
MOST_OF_PHONE: Final = 200
MOST_BYTES_OF_SHOW: Final = 500_000_000
MOST_BYTES_OF_SHOP: Final = 10_000_000_000
# What our labels carry; other kinds of bar codes are tags, which count only where they are known.
OWN_KINDS: Final = frozenset({"QR", "Code 128"})
MEDIA: Final = {"JPEG": "image/jpeg", "PNG": "image/png"}


def keep(ports: Ports, show: str, device: str, content: bytes, name: str | None) -> str:
    """Keep a photo; return its name. The same name again keeps the first."""
    try:
        ports.photo_kind(content)
    except PhotoRefused as refused:
        raise trouble(refused) from refused
    if name is not None and not NAME.fullmatch(name):
        raise Wrong("This is no name for a photo.", (("id", "expected 8 to 64 plain signs"),))
    name = name or hashlib.sha256(content).hexdigest()
    if ports.photos.get(show, name) is not None:
        return name
    _quota(ports, show, device)
    try:
        # Position, camera and whatever else a file carries stay with the phone.
        kept = ports.kept_photo(content)
    except PhotoRefused as refused:
        raise trouble(refused) from refused
    ports.photos.add(show, Photo(name, "image/jpeg", kept), device, ports.now())
    return name


def _quota(ports: Ports, show: str, device: str) -> None:
    """Refuse a photo where its phone, its show or the shop has as many as they may have."""
    used = ports.photos.used()
    here = {phone: one for (name, phone), one in used.items() if name == show}
    if here.get(device, (0, 0))[0] >= MOST_OF_PHONE:
        raise TooLarge(f"This phone has sent {MOST_OF_PHONE} photos on this show: no more.")
    if sum(size for _, size in here.values()) >= MOST_BYTES_OF_SHOW:
        most = MOST_BYTES_OF_SHOW // 10**6
        raise TooLarge(f"The photos of this show take {most} MB: no more are kept.")
    if sum(size for _, size in used.values()) >= MOST_BYTES_OF_SHOP:
        most = MOST_BYTES_OF_SHOP // 10**6
        raise TooLarge(f"The photos of all shows take {most} MB: export and remove old shows.")


def read(ports: Ports, show: str, content: bytes) -> dict[str, Any]:
    """Return every label in a photo; `known`: it names the case `code` of the fleet or the show.

    Bar codes of any kind are looked for where cases carry such tags; what names no case is left
    out then, unless it is of the kinds that our own labels have.
    """
    fleet = ports.fleet.cases()
    owners = owners_of(fleet)
    try:
        found = ports.read_labels(content, bool(owners))
    except PhotoRefused as refused:
        raise trouble(refused) from refused
    known = {one.case.code for one in fleet} | {one.code for one in ports.shows.called(show)}
    labels = []
    for label in found["readings"]:
        code = case_of(label["text"], known, owners)
        if code is not None or label["symbology"] in OWN_KINDS:
            labels.append({**label, "known": code is not None, "code": code})
    return {**found, "readings": labels}


def printer(ports: Ports, content: bytes) -> dict[str, Any]:
    """Return what a photo of the printed test page proves of the printer."""
    try:
        found = ports.read_labels(content, False)
    except PhotoRefused as refused:
        raise trouble(refused) from refused
    return ports.proven_print([label["text"] for label in found["readings"]])


def trouble(refused: PhotoRefused) -> Trouble:
    """Return why a photo is not taken, as a kind that has its own status."""
    if refused.kind == "too big":
        return TooLarge(refused.reason)
    if refused.kind in {"busy", "too slow"}:
        return Busy(refused.reason, 2)
    if refused.kind == "not a photo":
        return WrongMedia(refused.reason)
    return Wrong(refused.reason)
