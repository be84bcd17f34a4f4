"""What kind of photo some bytes are and how large, before anything is decoded.

Only the file's own structure is walked: nothing is unpacked, so a bomb costs nothing here. JPEG
(ITU-T T.81, annex B), PNG (ISO/IEC 15948), WebP (RFC 9649), HEIC and AVIF (ISO/IEC 23008-12) are
read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from server.labels.reading import Limits, Refused

Kind = Literal["JPEG", "PNG", "WEBP", "HEIC", "AVIF"]
MOST_SCANS: Final = 40  # a progressive JPEG has about 10; hundreds are made to keep a decoder busy
# 50 megapixels of red, green and blue: 16 bits or see-through parts take twice the time and memory
MOST_UNPACKED: Final = 152_000_000
_SUFFIXES: Final[dict[str, str]] = {
    "jpg": "JPEG",
    "jpeg": "JPEG",
    "jpe": "JPEG",
    "jfif": "JPEG",
    "png": "PNG",
    "webp": "WEBP",
    "heic": "HEIC",
    "heif": "HEIC",
    "avif": "AVIF",
    "gif": "GIF",
    "bmp": "BMP",
    "tif": "TIFF",
    "tiff": "TIFF",
}
_OTHERS: Final[tuple[tuple[bytes, str], ...]] = (
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"II*\x00", "a TIFF picture"),
    (b"MM\x00*", "a TIFF picture"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"<", "a web page or a drawing"),
    (b"MZ", "a program"),
    (b"\x7fELF", "a program"),
)
_HEIC_BRANDS: Final = frozenset({b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1"})
_AVIF_BRANDS: Final = frozenset({b"avif", b"avis"})
# HEVC and AV1 are decoded in full, at several times the cost of a JPEG: a 24-megapixel phone photo
_MOST_PIXELS: Final[dict[Kind, int]] = {"HEIC": 25_200_000, "AVIF": 25_200_000, "WEBP": 25_200_000}
# boxes of ISO/IEC 14496-12 that hold other boxes on the way to an image's size; bytes before those
_CONTAINERS: Final = {b"meta": 4, b"iprp": 0, b"ipco": 0}
_MOST_BOXES: Final = 4_000
# a marker in JPEG's coded data: not a stuffed zero, a restart or a fill byte
_MARKER: Final = re.compile(rb"\xff([\x01-\xcf\xd8-\xfe])")
_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_COLOUR_NOTES: Final = frozenset({0xE0, 0xEE})  # JFIF, and Adobe's mark of how colours are stored
_LARGE_NOTES: Final = 1_000_000
_DAMAGED: Final = Refused(
    "damaged", "The photo is damaged or was cut off on its way: take or send it again."
)


@dataclass(frozen=True, slots=True)
class Header:
    """Kind and size as stored, before the EXIF orientation is honoured."""

    kind: Kind
    width: int
    height: int


def inspect(data: bytes, limits: Limits, name: str | None = None) -> Header | Refused:
    """Return a photo's kind and size, or why it is not read.

    `name` is the file's name if there is one: a name that says another kind is refused, because
    somebody renamed the file.
    """
    if not data:
        return Refused("empty", "The file is empty.")
    if len(data) > limits.file_bytes:
        return too_big(len(data), limits)
    header = _structure(data)
    if isinstance(header, Refused):
        return header
    said = _SUFFIXES.get((name or "").rpartition(".")[2].lower(), header.kind)
    if said != header.kind:
        return Refused(
            "not a photo", f"The name says {said} but the file is {header.kind}: name it rightly."
        )
    if header.width < 1 or header.height < 1:
        return _DAMAGED
    pixels = min(limits.pixels, _MOST_PIXELS.get(header.kind, limits.pixels))
    if header.width * header.height > pixels:
        size = header.width * header.height / 1_000_000
        most = pixels // 1_000_000
        return Refused("too big", f"The photo has {size:.0f} megapixels; the limit is {most}.")
    unpacked = header.width * header.height * _pixel_bytes(data, header)
    if unpacked > MOST_UNPACKED:
        size, most = unpacked // 1_000_000, MOST_UNPACKED // 1_000_000
        words = f"The photo unpacks to {size} MB; the limit is {most} MB: save it as JPEG."
        return Refused("too big", words)
    return header


def _pixel_bytes(data: bytes, header: Header) -> int:
    """Return the bytes of a PNG's pixel as it is held (clause 11.2.1); 3 for other kinds."""
    if header.kind != "PNG":
        return 3
    depth, colours = data[24], {0: 1, 2: 3, 4: 4, 6: 4}.get(data[25], 1)
    return max(1, depth * colours // 8)


def too_big(size: int, limits: Limits) -> Refused:
    """Return the refusal of a file of too many bytes."""
    megabytes, most = size / 1_000_000, limits.file_bytes // 1_000_000
    return Refused("too big", f"The file has {megabytes:.0f} MB; the limit is {most} MB.")


def _structure(data: bytes) -> Header | Refused:
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return _png(data) or _DAMAGED
    if data.startswith(b"\xff\xd8\xff"):
        return _jpeg(data) or _DAMAGED
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return _webp(data) or _DAMAGED
    kind = _heif_kind(data)
    return _other(data) if kind is None else _heif(data, kind) or _DAMAGED


def _other(data: bytes) -> Refused:
    """Name what it is instead, where that is plain to see."""
    accepted = "a JPEG, PNG, WebP, HEIC or AVIF photo is needed."
    if data[4:8] == b"ftyp":
        return Refused("not a photo", f"This is a video; {accepted}")
    for start, what in _OTHERS:
        if data.startswith(start):
            return Refused("not a photo", f"This is {what}; {accepted}")
    return Refused("not a photo", f"This is no photo; {accepted}")


def _number(data: bytes, at: int, count: int) -> int:
    return int.from_bytes(data[at : at + count], "big")


def _png(data: bytes) -> Header | None:
    """Walk the chunks to the end mark; the header chunk comes first (clause 11.2.1)."""
    if data[12:16] != b"IHDR":
        return None
    at = 8
    while data[at + 4 : at + 8] != b"IEND":
        at += 12 + _number(data, at, 4)
        if at + 12 > len(data):
            return None
    return Header("PNG", _number(data, 16, 4), _number(data, 20, 4))


def _jpeg(data: bytes) -> Header | None:
    """Walk the segments to the end of the image; the frame header holds the size (B.2.2)."""
    size: tuple[int, int] | None = None
    scans, at = 0, 2
    while match := _MARKER.search(data, at):
        marker, at = match[1][0], match.end()
        if marker == 0xD9:
            return Header("JPEG", *size) if size and scans else None
        if marker in {0x01, 0xD8}:
            continue
        length = _number(data, at, 2)
        if length < 2 or at + length > len(data):
            return None
        if marker in _FRAMES and size is None:
            size = _number(data, at + 5, 2), _number(data, at + 3, 2)
        scans += marker == 0xDA
        if scans > MOST_SCANS:
            return None
        at += length
    return None


def without_notes(data: bytes) -> bytes:
    """Return a JPEG without its comments and notes, where they are large.

    Its size, its colours and the first EXIF stay. Thousands of notes keep a decoder busy for
    seconds, as each is joined to those before it.
    """
    parts, at, exif = [data[:2]], 2, False
    while at + 4 <= len(data) and data[at] == 0xFF and data[at + 1] != 0xDA:
        marker, end = data[at + 1], at + 2 + _number(data, at + 2, 2)
        first_exif = marker == 0xE1 and not exif and data[at + 4 : at + 8] == b"Exif"
        exif = exif or first_exif
        note = 0xE0 <= marker <= 0xEF or marker == 0xFE
        if not note or marker in _COLOUR_NOTES or first_exif:
            parts.append(data[at:end])
        at = end
    dropped = at - sum(map(len, parts))
    return b"".join([*parts, data[at:]]) if dropped > _LARGE_NOTES else data


def _webp(data: bytes) -> Header | None:
    """Read the first chunk's size fields (RFC 9649, 2.5 to 2.7)."""
    if int.from_bytes(data[4:8], "little") + 8 > len(data) or len(data) < 30:
        return None
    chunk = data[12:16]
    if chunk == b"VP8X":
        width = int.from_bytes(data[24:27], "little") + 1
        return Header("WEBP", width, int.from_bytes(data[27:30], "little") + 1)
    if chunk == b"VP8L" and data[20] == 0x2F:
        bits = int.from_bytes(data[21:25], "little")
        return Header("WEBP", (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1)
    if chunk == b"VP8 " and data[23:26] == b"\x9d\x01\x2a":
        width = int.from_bytes(data[26:28], "little") & 0x3FFF
        return Header("WEBP", width, int.from_bytes(data[28:30], "little") & 0x3FFF)
    return None


def _heif_kind(data: bytes) -> Kind | None:
    """Return what the file type box names: its main brand, then the compatible ones."""
    if data[4:8] != b"ftyp":
        return None
    end = min(_number(data, 0, 4), 256)
    brands = {data[8:12], *(data[at : at + 4] for at in range(16, end, 4))}
    if brands & _AVIF_BRANDS:
        return "AVIF"
    return "HEIC" if brands & _HEIC_BRANDS else None


def _heif(data: bytes, kind: Kind) -> Header | None:
    """Return the largest image's size (box `ispe`); None where the file ends before its boxes.

    A phone's photo is a grid of tiles with a size of each tile and one of the whole.
    """
    best: Header | None = None
    ranges, seen = [(0, len(data))], 0
    while ranges:
        at, end = ranges.pop()
        while at + 8 <= end:
            seen += 1
            size, name = _number(data, at, 4), data[at + 4 : at + 8]
            start = at + 8
            if size == 1:  # a size of 64 bits follows the name
                size, start = _number(data, start, 8), start + 8
            size = size or end - at  # 0: to the end
            if size < start - at or at + size > end or seen > _MOST_BOXES:
                return None
            if name in _CONTAINERS:
                ranges.append((start + _CONTAINERS[name], at + size))
            elif name == b"ispe":
                found = Header(kind, _number(data, start + 4, 4), _number(data, start + 8, 4))
                if best is None or found.width * found.height > best.width * best.height:
                    best = found
            at += size
    return best
