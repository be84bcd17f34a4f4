"""Photos of cases: bounded before anything is decoded, kept as sent, small ones for lists."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, Final

from server.service.pictures import MEDIA, trouble
from server.service.ports import PhotoRefused, Ports
from server.service.records import CasePhoto, Photo
from server.service.troubles import Conflict, Unknown

MOST: Final = 20
MOST_SEEN: Final = 200


def all_photos(ports: Ports) -> dict[str, list[dict[str, Any]]]:
    """Return what is known of every photo by the case that is on it."""
    found: dict[str, list[dict[str, Any]]] = {}
    for one in ports.case_photos.of_cases():
        found.setdefault(one.code, []).append(_told(one))
    return found


def of_case(ports: Ports, code: str) -> dict[str, Any]:
    """Return the photos of a case, and those of nights that could become one."""
    _must_be(ports, code)
    kept = ports.case_photos.of_cases(code)
    return {
        "photos": [_told(one) for one in kept],
        "from_nights": _from_nights(ports, code, {one.id for one in kept}),
    }


def add(ports: Ports, code: str, content: bytes, words: str) -> str:
    """Keep a photo of a case and return its name; the same photo again is kept once."""
    _must_be(ports, code)
    name = hashlib.sha256(content).hexdigest()
    kept = {one.id for one in ports.case_photos.of_cases(code)}
    if name in kept:
        return name
    if len(kept) >= MOST:
        raise Conflict(f"A case has at most {MOST} photos: remove one first.")
    try:
        kind = ports.photo_kind(content)
        if kind not in MEDIA:  # what not every browser shows is kept as a JPEG
            content, kind = ports.kept_photo(content), "JPEG"
        small = ports.small_photo(content)
    except PhotoRefused as refused:
        raise trouble(refused) from refused
    at = ports.now()
    ports.case_photos.add(CasePhoto(code, name, words, MEDIA[kind], at), content, small)
    return name


def take_from_night(ports: Ports, code: str, show: str, photo: str) -> str:
    """Make a photo that a phone took of this case one of its own."""
    _must_be(ports, code)
    offered = {(one["show"], one["photo"]) for one in _from_nights(ports, code, set())}
    found = ports.photos.get(show, photo) if (show, photo) in offered else None
    if found is None:
        raise Unknown("No phone took such a photo of this case (it may still be on its phone).")
    return add(ports, code, found.content, "")


def get(ports: Ports, code: str, photo: str, *, small: bool) -> Photo:
    """Return a photo of a case, as it was sent or small."""
    if small:
        content = ports.case_photos.small(code, photo)
        found = None if content is None else Photo(photo, "image/jpeg", content)
    else:
        found = ports.case_photos.get(code, photo)
    if found is None:
        raise Unknown("There is no such photo of this case.")
    return found


def first_of_each(ports: Ports) -> dict[str, str]:
    """Return the name of the oldest photo of each case that has one."""
    found: dict[str, str] = {}
    for one in ports.case_photos.of_cases():
        found.setdefault(one.code, one.id)
    return found


def of_show(ports: Ports, show: str, code: str, photo: str) -> Photo:
    """Return a small photo of a case that a show calls; its crew sees no others."""
    if all(one.code != code for one in ports.shows.called(show)):
        raise Unknown("There is no such case on this show.")
    return get(ports, code, photo, small=True)


def remove(ports: Ports, code: str, photo: str) -> None:
    """Remove a photo of a case."""
    if not ports.case_photos.remove(code, photo):
        raise Unknown("There is no such photo of this case.")


def _must_be(ports: Ports, code: str) -> None:
    if ports.fleet.case(code) is None:
        raise Unknown(f"There is no case {code[:60]}.")


def _told(one: CasePhoto) -> dict[str, Any]:
    told = asdict(one)
    del told["code"]
    return told


def _from_nights(ports: Ports, code: str, kept: set[str]) -> list[dict[str, Any]]:
    """Return photos that phones sent with a fact about this case, and that are not kept yet."""
    found = []
    for text in ports.log.of_case(code, MOST_SEEN):
        event: Mapping[str, Any] = json.loads(text)
        body, show = event["body"], event["show"]
        name = body.get("photo")
        photo = ports.photos.get(show, name) if name else None
        if photo is None or hashlib.sha256(photo.content).hexdigest() in kept:
            continue
        words = str(body.get("note") or body.get("name") or "")
        found.append({"show": show, "photo": name, "at": event["at"], "words": words})
    return found
