"""Photo bytes → upright grey picture; runs only inside a worker process that may be killed."""

from __future__ import annotations

import math
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import Final

import cv2
import numpy as np
from cv2.typing import MatLike
from PIL import Image, ImageOps, UnidentifiedImageError

from server.labels.photo_header import Header, Kind, without_notes
from server.labels.prepare import Grey

FULL_PIXELS: Final = 25_200_000  # above it phones join four small pixels to one: half as sharp
# Pixels above which an opaque file of this kind is decoded by OpenCV, without its colours
LEAN_FROM: Final[dict[Kind, int]] = {"PNG": 12_600_000, "WEBP": 12_600_000}
STRIP_ROWS: Final = 512  # an even number: halved strips fit each other
_ORIENTATION: Final = 0x0112
SMALL_SIDE: Final = 240  # pixels: sharp at 80 px on a screen of three dots a pixel
BROKEN: Final = (
    OSError,
    SyntaxError,  # Pillow's word for a broken PNG
    ValueError,
    EOFError,
    struct.error,
    zlib.error,
    UnidentifiedImageError,
    Image.DecompressionBombError,
    Image.DecompressionBombWarning,
)


class Damaged(Exception):
    """The photo's inside does not hold what its header promised."""


def upright_grey(data: bytes, header: Header) -> Grey:
    """Decode one photo, honour its EXIF orientation, put see-through parts on white paper.

    The header's size has passed the limits already; a decoder that meets another size stops.
    """
    with _opened(data, header) as image:
        scale = 2 if header.width * header.height > FULL_PIXELS else 1
        lean = header.width * header.height > LEAN_FROM.get(header.kind, math.inf)
        lean = lean and image.mode == "RGB" and not image.has_transparency_data
        # Pillow would decode a whole PNG to look for an EXIF behind its pixels
        seen = not lean or header.kind != "PNG" or "exif" in image.info
        orientation = image.getexif().get(_ORIENTATION, 1) if seen else 1
        # JPEG: leave the colours undecoded, and a very large photo half undecoded
        image.draft("L", (header.width // scale, header.height // scale))
        grey = _lean(data, scale) if lean else _grey(image)
        return _upright(grey, orientation)


def small_jpeg(data: bytes, header: Header, side: int = SMALL_SIDE) -> bytes:
    """Return an upright colour JPEG with a longest side of `side`; nothing else comes along."""
    with _opened(data, header) as image:
        image.draft("RGB", (side, side))  # JPEG: decode at a fraction of the size
        turned = ImageOps.exif_transpose(image)
        turned.thumbnail((side, side))
        if turned.has_transparency_data:
            paper = Image.new("RGBA", turned.size, (255, 255, 255, 255))
            turned = Image.alpha_composite(paper, turned.convert("RGBA"))
        bare = turned.convert("RGB")
        bare.info.clear()  # else a comment of the file would be written again
        out = BytesIO()
        bare.save(out, "JPEG", quality=80)
        return out.getvalue()


@contextmanager
def _opened(data: bytes, header: Header) -> Iterator[Image.Image]:
    """Yield a photo of which nothing is decoded yet; Damaged where decoding it goes wrong."""
    before, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, header.width * header.height
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield _open(data, header)
    except BROKEN as trouble:
        raise Damaged from trouble
    finally:
        Image.MAX_IMAGE_PIXELS = before


def _open(data: bytes, header: Header) -> Image.Image:
    if header.kind != "HEIC":
        bare = without_notes(data) if header.kind == "JPEG" else data
        plain: Image.Image = Image.open(BytesIO(bare), formats=[header.kind])
        if plain.size != (header.width, header.height):
            raise Damaged
        return plain
    import pi_heif  # type: ignore[import-untyped]  # noqa: PLC0415  (few photos need it)

    pi_heif.register_heif_opener(thumbnails=False)
    image = Image.open(BytesIO(data), formats=["HEIF"])
    # turned by the file's own boxes already: width and height may have changed places
    if sorted(image.size) == sorted((header.width, header.height)):
        return image
    raise Damaged


def _lean(data: bytes, scale: int) -> Grey:
    """Decode a large opaque PNG or WebP straight to grey: half the time and a third of the memory.

    For these only: Pillow is stricter with what is damaged.
    """
    how = cv2.IMREAD_REDUCED_GRAYSCALE_2 if scale == 2 else cv2.IMREAD_GRAYSCALE
    try:
        grey = cv2.imdecode(np.frombuffer(data, np.uint8), how | cv2.IMREAD_IGNORE_ORIENTATION)
    except cv2.error as trouble:
        raise Damaged from trouble
    if grey is None:
        raise Damaged
    return np.asarray(grey, np.uint8)


def _grey(image: Image.Image) -> Grey:
    """Return grey pixels strip by strip, halved where there are more than a reading can use.

    No second picture of the full size is made: 50 megapixels of three channels take 200 MB once.
    """
    image.load()
    half = image.width * image.height > FULL_PIXELS
    strips = []
    for top in range(0, image.height, STRIP_ROWS):
        bottom = min(image.height, top + STRIP_ROWS)
        pixels = _plain_pixels(image.crop((0, top, image.width, bottom)))
        if half and min(pixels.shape[:2]) > 1:
            wide, high = pixels.shape[1] // 2, pixels.shape[0] // 2
            pixels = cv2.resize(pixels, (wide, high), interpolation=cv2.INTER_AREA)
        strips.append(_on_white(pixels))
    return np.ascontiguousarray(np.vstack(strips))


def _plain_pixels(image: Image.Image) -> MatLike:
    """Return a strip as grey, red-green-blue or that with what is see-through, 8 bits each."""
    if image.mode.startswith("I;16") or image.mode == "I":  # 16-bit grey
        return np.asarray(np.asarray(image) // 256, np.uint8)
    if image.mode not in {"L", "LA", "RGB", "RGBA"}:
        image = image.convert("RGBA" if image.has_transparency_data else "L")
    elif image.has_transparency_data and image.mode in {"L", "RGB"}:  # one colour is see-through
        image = image.convert("RGBA")
    return np.asarray(image)


def _on_white(pixels: MatLike) -> Grey:
    """Return the grey of a strip, its see-through parts on white paper."""
    if pixels.ndim == 2:
        return np.asarray(pixels, np.uint8)
    if pixels.shape[2] == 3:
        return np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY), np.uint8)
    cover = pixels[..., -1]
    grey = pixels[..., 0] if pixels.shape[2] == 2 else cv2.cvtColor(pixels, cv2.COLOR_RGBA2GRAY)
    covered = cv2.multiply(grey, cover, scale=1 / 255)
    return np.asarray(cv2.add(covered, cv2.bitwise_not(cover)), np.uint8)


def _upright(grey: Grey, orientation: int) -> Grey:
    """Turn as the EXIF orientation asks (EXIF 2.32, 4.6.4)."""
    if orientation in {5, 6, 7, 8}:
        grey = grey.T
    if orientation in {2, 3, 6, 7}:
        grey = grey[:, ::-1]
    if orientation in {3, 4, 7, 8}:
        grey = grey[::-1]
    return np.ascontiguousarray(grey)
