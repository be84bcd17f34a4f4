"""What a phone's camera sees, as a film that Chromium plays in place of a camera.

The film is YUV4MPEG2 in grey; labels are drawn by segno, which shares no code with the reader.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
import segno
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
FRAMES_A_SECOND: Final = 10
DOCK_WALL: Final = 150  # grey of what is behind the labels


def label(text: str, module: int = 5) -> Picture:
    """Return a printed QR code with its quiet zone of four modules, `module` pixels each."""
    # Short texts would become Micro QR codes, which phones do not read.
    code = segno.make_qr(text, error="m")
    dark = np.array([list(row) for row in code.matrix], dtype=np.uint8)
    paper = np.pad(np.where(dark, 20, 240).astype(np.uint8), 4, constant_values=240)
    return paper.repeat(module, axis=0).repeat(module, axis=1)


def view(labels: Sequence[Picture], width: int = 640, height: int = 480) -> Picture:
    """Return one picture with every label in it, in rows from the top; raise if they do not fit."""
    picture = np.full((height, width), DOCK_WALL, dtype=np.uint8)
    x, y, deepest = 10, 10, 0
    for each in labels:
        tall, wide = each.shape
        if x + wide > width:
            x, y, deepest = 10, y + deepest + 10, 0
        if y + tall > height or x + wide > width:
            raise ValueError(f"view: expected labels that fit {width} x {height}, got {each.shape}")
        picture[y : y + tall, x : x + wide] = each
        x, deepest = x + wide + 10, max(deepest, tall)
    return picture


def scene(
    labels: Sequence[tuple[Picture, float, float]], width: int = 1920, height: int = 1080
) -> Picture:
    """Return one picture with labels about points given as shares of its width and height."""
    picture = np.full((height, width), DOCK_WALL, dtype=np.uint8)
    for each, across, down in labels:
        tall, wide = each.shape
        x, y = round(across * width - wide / 2), round(down * height - tall / 2)
        if x < 0 or y < 0 or x + wide > width or y + tall > height:
            raise ValueError(f"scene: expected a label inside the picture, got {across}, {down}")
        picture[y : y + tall, x : x + wide] = each
    return picture


def moved(picture: Picture, pixels: int) -> Picture:
    """Return a picture blurred by a hand that moves so many pixels across while it is taken."""
    sums = np.cumsum(np.pad(picture, ((0, 0), (pixels, 0)), mode="edge"), axis=1, dtype=np.int64)
    return ((sums[:, pixels:] - sums[:, :-pixels]) // pixels).astype(np.uint8)


def dim(picture: Picture, share: float, noise: float = 2.0, seed: int = 1) -> Picture:
    """Return a picture in so small a share of the light, with the noise of a sensor."""
    shots = np.random.default_rng(seed).normal(0, noise, picture.shape)
    return np.clip(picture * share + shots, 0, 255).astype(np.uint8)


def shoot(path: Path, pictures: Sequence[Picture], seconds_each: float = 1.0) -> Path:
    """Write a film that shows each picture for a while, over and over."""
    height, width = pictures[0].shape
    colourless = bytes([128]) * (height * width // 2)
    with path.open("wb") as film:
        film.write(f"YUV4MPEG2 W{width} H{height} F{FRAMES_A_SECOND}:1 Ip A1:1 C420jpeg\n".encode())
        for picture in pictures:
            for _ in range(max(1, round(seconds_each * FRAMES_A_SECOND))):
                film.write(b"FRAME\n")
                film.write(picture.tobytes())
                film.write(colourless)
    return path
