"""Photo bytes → upright grey picture; runs only inside a worker process that may be killed."""

from __future__ import annotations

import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import Final

import cv2
import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from server.labels.photo_header import Header
from server.labels.prepare import Grey

FULL_PIXELS: Final = 25_200_000  # above it phones join four small pixels to one: half as sharp
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
        orientation = image.getexif().get(_ORIENTATION, 1)
        scale = 2 if header.width * header.height > FULL_PIXELS else 1
        # JPEG: leave the colours undecoded, and a very large photo half undecoded
        image.draft("L", (header.width // scale, header.height // scale))
        return _upright(_grey(image), orientation)


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
    Image.MAX_IMAGE_PIXELS = header.width * header.height
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield _open(data, header)
    except BROKEN as trouble:
        raise Damaged from trouble


def _open(data: bytes, header: Header) -> Image.Image:
    if header.kind != "HEIC":
        plain: Image.Image = Image.open(BytesIO(data), formats=[header.kind])
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


def _grey(image: Image.Image) -> Grey:
    """Return grey pixels strip by strip, halved where there are more than a reading can use.

    No second picture of the full size is made: 50 megapixels of four channels take 200 MB once.
    """
    image.load()
    half = image.width * image.height > FULL_PIXELS
    strips = []
    for top in range(0, image.height, STRIP_ROWS):
        bottom = min(image.height, top + STRIP_ROWS)
        strip = _grey_strip(image.crop((0, top, image.width, bottom)))
        if half and min(strip.shape) > 1:
            wide, high = strip.shape[1] // 2, strip.shape[0] // 2
            strip = np.asarray(cv2.resize(strip, (wide, high), interpolation=cv2.INTER_AREA))
        strips.append(strip)
    return np.ascontiguousarray(np.vstack(strips))


def _grey_strip(image: Image.Image) -> Grey:
    if image.mode.startswith("I;16") or image.mode == "I":  # 16-bit grey
        return np.asarray(np.asarray(image) // 256, np.uint8)
    if image.has_transparency_data:
        layered = image.convert("LA")
        paper = Image.new("LA", layered.size, (255, 255))
        image = Image.alpha_composite(paper.convert("RGBA"), layered.convert("RGBA"))
    return np.asarray(image.convert("L"), np.uint8)


def _upright(grey: Grey, orientation: int) -> Grey:
    """Turn as the EXIF orientation asks (EXIF 2.32, 4.6.4)."""
    if orientation in {5, 6, 7, 8}:
        grey = grey.T
    if orientation in {2, 3, 6, 7}:
        grey = grey[:, ::-1]
    if orientation in {3, 4, 7, 8}:
        grey = grey[::-1]
    return np.ascontiguousarray(grey)
