"""The label readers as the services ask for them: bytes in, plain answers out.

What decodes pictures loads with the first photo.
"""

from __future__ import annotations

from typing import Any

from server.labels.photo_header import inspect
from server.labels.reading import Limits, Refused
from server.service.ports import PhotoRefused


class PhotoEye:
    """Reads photos within this server's limits."""

    def __init__(self, file_bytes: int, pixels: int) -> None:
        self._limits = Limits(file_bytes=file_bytes, pixels=pixels)

    def kind(self, content: bytes) -> str:
        """Return JPEG, PNG or WEBP from the header alone."""
        header = inspect(content, self._limits)
        if isinstance(header, Refused):
            raise PhotoRefused(header.kind, header.reason)
        return header.kind

    def read(self, content: bytes, every_kind: bool = False) -> dict[str, Any]:
        """Return every label of a photo, and the upright photo's size in which boxes are given."""
        from server.labels.reader import read_photo

        found = read_photo(content, self._limits, every_kind=every_kind)
        if isinstance(found, Refused):
            raise PhotoRefused(found.kind, found.reason)
        readings = [
            {"text": one.text, "symbology": one.symbology, "box": [list(c) for c in one.box]}
            for one in found.readings
        ]
        return {"width": found.width, "height": found.height, "readings": readings}

    def kept(self, content: bytes) -> bytes:
        """Return a photo as it is kept: upright, of bounded size, without metadata."""
        from server.labels.reader import kept_photo

        made = kept_photo(content, self._limits)
        if isinstance(made, Refused):
            raise PhotoRefused(made.kind, made.reason)
        return made

    def small(self, content: bytes) -> bytes:
        """Return a small upright JPEG of a photo, as lists show it."""
        from server.labels.reader import small_photo

        made = small_photo(content, self._limits)
        if isinstance(made, Refused):
            raise PhotoRefused(made.kind, made.reason)
        return made
