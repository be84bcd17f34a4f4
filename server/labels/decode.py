"""Photo bytes → upright grey picture; runs only inside a worker process that may be killed."""

from __future__ import annotations

import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import Final

import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from server.labels.photo_header import Header
from server.labels.prepare import Grey

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
        image.draft("L", image.size)  # JPEG: leave the colours undecoded
        return _grey(ImageOps.exif_transpose(image))


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
            image: Image.Image = Image.open(BytesIO(data), formats=[header.kind])
            if image.size != (header.width, header.height):
                raise Damaged
            yield image
    except BROKEN as trouble:
        raise Damaged from trouble


def _grey(image: Image.Image) -> Grey:
    if image.mode.startswith("I;16") or image.mode == "I":  # 16-bit grey
        return np.asarray(np.asarray(image) // 256, np.uint8)
    if image.has_transparency_data:
        layered = image.convert("LA")
        paper = Image.new("LA", layered.size, (255, 255))
        image = Image.alpha_composite(paper.convert("RGBA"), layered.convert("RGBA"))
    return np.ascontiguousarray(image.convert("L"))
