"""What a photo gave: readings with their places, or a refusal that a person can read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Symbology = str  # QR and Code 128 on our labels; on others' whatever the reader calls it
Corner = tuple[int, int]
Box = tuple[Corner, Corner, Corner, Corner]
RefusalKind = Literal["empty", "too big", "not a photo", "damaged", "too slow", "busy"]

MEGABYTE: Final = 1_000_000
MOST_EFFORT: Final = 1.4  # times that of 12 megapixels: under a second whatever the file


@dataclass(frozen=True, slots=True)
class Reading:
    """One label in a photo.

    `box` holds the four corners in pixels of the upright photo, from the symbol's own first corner
    clockwise; `reader` and `rung` say which decoder read it on which preparation.
    """

    text: str
    symbology: Symbology
    box: Box
    reader: str
    rung: str


@dataclass(frozen=True, slots=True)
class PhotoReading:
    """Every label of one photo; width and height are those of the upright photo (EXIF honoured)."""

    width: int
    height: int
    readings: tuple[Reading, ...]
    milliseconds: int
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Refused:
    """A file that is not read, and why in plain words."""

    kind: RefusalKind
    reason: str


@dataclass(frozen=True, slots=True)
class Limits:
    """What one photo may cost; all are set before anything is decoded.

    `cpu_seconds` is the effort up to 12 megapixels (at most 1.4 times that above); the ladder stops
    there with what it has. `most_cpu_seconds` ends the decoding process; so does `wall_seconds`,
    which only a busy machine reaches: then the photo waited, and was not too hard.
    """

    file_bytes: int = 40 * MEGABYTE
    pixels: int = 50_400_000  # what phones call 50 megapixels
    cpu_seconds: float = 0.6
    most_cpu_seconds: int = 8
    wall_seconds: float = 60.0
    memory_bytes: int = 1_500 * MEGABYTE

    def effort(self, pixels: int) -> float:
        """Return the processor seconds that the ladder may take for a photo of this size."""
        return self.cpu_seconds * min(MOST_EFFORT, max(1.0, pixels / 12_000_000))
