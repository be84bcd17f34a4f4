"""Photos of an export: listed with their digests, checked whole before the first is stored."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from typing import Any, Final, TypeVar

from server.service.pictures import MEDIA, NAME
from server.service.ports import PhotoRefused, Ports
from server.service.records import CasePhoto, NightPhoto, Photo
from server.trouble import BadInput

ENDINGS: Final = {"image/jpeg": "jpg", "image/png": "png"}
OF_CASES: Final = "case-photos"

Pictures = Callable[[str], bytes | None]
"""Reads a file of the export by its name; None where there is none."""


@dataclass(frozen=True, slots=True)
class CasePhotoFile(CasePhoto):
    """A photo of a case as an export lists it."""

    sha256: str


@dataclass(frozen=True, slots=True)
class NightPhotoFile(NightPhoto):
    """A photo of a night as an export lists it."""

    sha256: str


Listed = TypeVar("Listed", CasePhotoFile, NightPhotoFile)


def file_name(folder: str, one: CasePhoto | NightPhoto) -> str:
    """Return the name of a photo's file in an export; BadInput for one that leads elsewhere."""
    ending = ENDINGS.get(one.media_type)
    if ending is None or not NAME.fullmatch(one.id):
        raise BadInput(f"{folder}.json", "the id and media type of a photo", one.id[:70])
    return f"{folder}/{one.id}.{ending}"


def listed(one: CasePhoto | NightPhoto, content: bytes) -> dict[str, Any]:
    """Return a photo as an export lists it."""
    return {**asdict(one), "sha256": hashlib.sha256(content).hexdigest()}


def checked(ports: Ports, folder: str, photos: Iterable[Listed], pictures: Pictures) -> None:
    """Refuse photos that are not there, were changed, or are no photos."""
    for one in photos:
        name = file_name(folder, one)
        content = pictures(name)
        if content is None:
            raise BadInput(name, "a file of this name in the export", "none")
        if hashlib.sha256(content).hexdigest() != one.sha256:
            raise BadInput(name, "the photo as it was given out", "another")
        try:
            kind = ports.photo_kind(content)
        except PhotoRefused as refused:
            raise BadInput(name, "a photo within the limits", refused.reason) from refused
        if MEDIA.get(kind) != one.media_type:
            raise BadInput(name, one.media_type, kind)


def small_ones(
    ports: Ports, photos: Iterable[CasePhotoFile], pictures: Pictures
) -> dict[str, bytes]:
    """Return the small photo of each by its id; BadInput for one that cannot be decoded."""
    found: dict[str, bytes] = {}
    for one in photos:
        name = file_name(OF_CASES, one)
        try:
            found.setdefault(one.id, ports.small_photo(pictures(name) or b""))
        except PhotoRefused as refused:
            raise BadInput(name, "a photo that can be decoded", refused.reason) from refused
    return found


def store_cases(
    ports: Ports,
    photos: Iterable[CasePhotoFile],
    small: dict[str, bytes],
    pictures: Pictures,
) -> None:
    """Store the photos of cases."""
    for one in photos:
        content = pictures(file_name(OF_CASES, one)) or b""
        kept = CasePhoto(one.code, one.id, one.words, one.media_type, one.at)
        ports.case_photos.add(kept, content, small[one.id])


def store_night(
    ports: Ports, show: str, folder: str, photos: Iterable[NightPhotoFile], pictures: Pictures
) -> None:
    """Store the photos of a night."""
    for one in photos:
        content = pictures(file_name(folder, one)) or b""
        ports.photos.add(show, Photo(one.id, one.media_type, content), one.device, one.at)
