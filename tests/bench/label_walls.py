"""A second generator of row photos that shares nothing with the first but the labels' text.

A wall of cases is drawn at 12 megapixels through one camera: perspective and a wide lens for the
whole photo, cases of several tones with rails, corners, catches and lettering, labels of several
sizes, half under tape, film glare, dirt and scratches; defocus is a disc, grain is shot and read
noise of a colour sensor that the phone has smoothed and sharpened again; JPEG halves the colours.
The readers are not tuned on it. Its figures are our own choice (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
import segno
from numpy.typing import NDArray

from server.core.shop.case_code import CaseCode
from tests.bench.label_scenes import LIGHTS, Light

Plane = NDArray[np.float32]
WIDTH, HEIGHT = 4032, 3024
RIM: Final = 80  # a wide lens moves what is near the rim
FINE: Final = 3  # a label is drawn this many times finer than the photo, then averaged
DEPARTMENTS: Final = ("PW", "AU", "LX", "RIG", "VID", "SND")


@dataclass(frozen=True, slots=True)
class Lamps:
    """Exposure of white paper, its fall to the darkest corner, electrons at white, blur radius."""

    white: tuple[float, float]
    fall: float
    electrons: float
    read_noise: float
    defocus: tuple[float, float]
    motion: float


LAMPS: Final[dict[Light, Lamps]] = {
    "good": Lamps((0.75, 0.95), 0.3, 2500, 0.005, (0.3, 1.1), 0.5),
    "dock": Lamps((0.35, 0.6), 0.6, 400, 0.012, (0.3, 1.3), 1.5),
    "dark": Lamps((0.14, 0.26), 0.6, 160, 0.018, (0.4, 1.4), 2.0),
}


@dataclass(frozen=True, slots=True)
class Wall:
    """One photo and, for every label in it, its text and the smaller side of a module in pixels."""

    jpeg: bytes
    modules: dict[str, float]


def draw_wall(seed: int, light: Light, least: float = 4.0, most: float = 8.0) -> Wall:
    """Draw one photo with 12 to 18 labels; the same seed gives the same bytes."""
    rng = np.random.default_rng([seed, LIGHTS.index(light), 21])
    scene, cells = _cases(rng)
    camera = _camera(rng)
    photo = np.asarray(cv2.warpPerspective(scene, camera, (WIDTH, HEIGHT)), np.float32)
    count = int(rng.integers(12, 19))
    modules: dict[str, float] = {}
    for at in rng.permutation(len(cells)):
        if len(modules) == count:
            break
        code = str(CaseCode(str(rng.choice(DEPARTMENTS)), int(rng.integers(1, 999))))
        if code in modules:
            continue
        label = _label(rng, code)
        corners = _corners(rng, cells[at], float(rng.uniform(least, most)))
        seen = cv2.perspectiveTransform(corners[None].astype(np.float64), camera)[0]
        module = _module(np.asarray(seen, np.float64))
        if module < least:
            continue
        modules[code] = module
        _stick(photo, label, np.asarray(seen, np.float32))
    return Wall(_shot(rng, photo, LAMPS[light]), modules)


def _cases(rng: np.random.Generator) -> tuple[Plane, list[tuple[int, int, int, int]]]:
    """Draw fronts of cases edge to edge; return the wall and each case's rectangle."""
    noise = rng.standard_normal((HEIGHT // 3, WIDTH // 24)).astype(np.float32)
    wall = np.asarray(cv2.resize(noise, (WIDTH, HEIGHT)), np.float32) * 0.02
    cells: list[tuple[int, int, int, int]] = []
    y = 0
    while y < HEIGHT - 300:
        high = int(rng.integers(460, 700))
        x = 0
        while x < WIDTH - 300:
            wide = int(rng.integers(480, 900))
            _case(rng, wall, (x, y, wide, high))
            cells.append((x, y, min(wide, WIDTH - x), min(high, HEIGHT - y)))
            x += wide
        y += high
    return np.clip(wall, 0.01, 1), cells


def _case(rng: np.random.Generator, wall: Plane, at: tuple[int, int, int, int]) -> None:
    x, y, wide, high = at
    wall[y : y + high, x : x + wide] += float(rng.choice([0.05, 0.08, 0.15, 0.3, 0.5]))
    rail = int(rng.integers(14, 40))
    for inset in (0, rail // 3, rail // 2):
        tone = float(rng.uniform(0.35, 0.85))
        box = (x + inset, y + inset), (x + wide - inset, y + high - inset)
        cv2.rectangle(wall, *box, tone, max(2, rail // 4))
    for cx in (x + rail, x + wide - rail):
        for cy in (y + rail, y + high - rail):
            cv2.circle(wall, (cx, cy), rail, float(rng.uniform(0.3, 0.8)), -1)
            cv2.circle(wall, (cx, cy), rail // 2, float(rng.uniform(0.05, 0.9)), -1)
    for _ in range(int(rng.integers(1, 4))):  # catches: a dish in a frame, much like a finder mark
        cx, cy = x + int(rng.integers(60, wide - 60)), y + int(rng.choice([50, high - 50]))
        for half, tone in ((32, 0.6), (24, 0.12), (12, 0.7)):
            cv2.rectangle(wall, (cx - half, cy - half), (cx + half, cy + half), tone, -1)
    words = "".join(rng.choice(list("ABCDEFGHKLMNRSTUVW 0123456789"), 9))
    size, tone = float(rng.uniform(1.2, 2.6)), float(rng.uniform(0.5, 0.95))
    _write(wall, words, (x + 50, y + high - 110), size, tone)


def _write(plane: Plane, words: str, at: tuple[int, int], size: float, tone: float) -> None:
    thick = max(2, round(2 * size))
    (wide, high), _ = cv2.getTextSize(words, cv2.FONT_HERSHEY_TRIPLEX, size, thick)
    part = plane[max(0, at[1] - high) : at[1] + high // 2, at[0] : at[0] + wide]
    ink = np.zeros((max(1, part.shape[0]), max(1, part.shape[1])), np.uint8)
    cv2.putText(ink, words, (0, high), cv2.FONT_HERSHEY_TRIPLEX, size, 255, thick)
    part[ink[: part.shape[0], : part.shape[1]] > 0] = tone


def _camera(rng: np.random.Generator) -> NDArray[np.float64]:
    """Return the homography of a camera that looks at the wall from the side and above."""
    yaw, pitch, roll = np.radians(rng.uniform([-28, -16, -4], [28, 16, 4]))
    focal = 0.8 * WIDTH  # a phone's main lens: about 65 degrees across
    rx = np.array(
        [[1, 0, 0], [0, np.cos(pitch), -np.sin(pitch)], [0, np.sin(pitch), np.cos(pitch)]]
    )
    ry = np.array([[np.cos(yaw), 0, np.sin(yaw)], [0, 1, 0], [-np.sin(yaw), 0, np.cos(yaw)]])
    rz = np.array([[np.cos(roll), -np.sin(roll), 0], [np.sin(roll), np.cos(roll), 0], [0, 0, 1]])
    inside = np.array([[focal, 0, WIDTH / 2], [0, focal, HEIGHT / 2], [0, 0, 1]])
    turned = inside @ rz @ rx @ ry @ np.linalg.inv(inside)
    middle = turned @ [WIDTH / 2, HEIGHT / 2, 1]
    aimed = np.eye(3)  # the camera is moved until the wall's middle is the photo's
    aimed[:2, 2] = [WIDTH / 2, HEIGHT / 2] - middle[:2] / middle[2]
    return np.asarray(aimed @ turned, np.float64)


def _label(rng: np.random.Generator, code: str) -> Plane:
    """Draw a label 24 pixels a module: code, words, and in half of all cases wear."""
    unit = 24
    matrix = segno.make_qr(code, error="m", boost_error=True).matrix_iter(border=4)
    ink = np.array([list(row) for row in matrix], np.float32)
    qr = np.kron(1 - ink, np.ones((unit, unit), np.float32))
    side = qr.shape[0]
    label = np.full((int(side * 1.35), side), 1.0, np.float32)
    label[:side] = qr
    at = (int(side * 0.06), int(side * 1.25))
    _write(label, code, at, side / (len(code) * 24), 0)
    label = 0.06 + label * float(rng.uniform(0.75, 0.92))
    if rng.random() < 0.5:
        _wear(rng, label, unit)
    return label


def _wear(rng: np.random.Generator, label: Plane, unit: int) -> None:
    """Tape over a corner, scratches, grease, or a streak of light on the film."""
    high, wide = label.shape
    how = rng.integers(4)
    if how == 0:
        depth = int(rng.uniform(1.5, 6.5)) * unit  # of which four modules are quiet zone
        label[:depth] = label[:depth] * 0.25 + float(rng.uniform(0.0, 0.5))
    elif how == 1:
        for _ in range(int(rng.integers(1, 4))):
            points = np.column_stack([np.linspace(0, wide, 6), rng.uniform(0, wide) * np.ones(6)])
            points[:, 1] += rng.uniform(-5, 5, 6) * unit
            tone, thick = float(rng.uniform(0.2, 0.9)), int(rng.uniform(0.2, 0.9) * unit)
            cv2.polylines(label, [points.astype(np.int32)], False, tone, thick)
    else:
        x, y = rng.uniform(0, wide), rng.uniform(0, high)
        angle, long, short = rng.uniform(0, np.pi), rng.uniform(8, 20), rng.uniform(0.6, 2.2)
        ys, xs = np.mgrid[0:high, 0:wide].astype(np.float32)
        along = (xs - x) * np.cos(angle) + (ys - y) * np.sin(angle)
        across = (ys - y) * np.cos(angle) - (xs - x) * np.sin(angle)
        spot = np.exp(-((along / (long * unit)) ** 2) - (across / (short * unit)) ** 2)
        if how == 2:
            label *= 1 - 0.6 * spot
        else:
            label += 1.1 * spot


def _corners(
    rng: np.random.Generator, cell: tuple[int, int, int, int], module: float
) -> NDArray[np.float64]:
    """Return where the label's corners lie on the wall, anywhere on its case and a little askew."""
    x, y, wide, high = cell
    size = np.array([29 * module, 29 * 1.35 * module])
    flat = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * size - size / 2
    turn = np.radians(rng.normal(0, 5) + (90 if rng.random() < 0.1 else 0))
    c, s = np.cos(turn), np.sin(turn)
    room = np.maximum(np.array([wide, high]) / 2 - size * 0.62 - 45, 0)
    middle = np.array([x + wide / 2, y + high / 2]) + rng.uniform(-1, 1, 2) * room
    return np.asarray(flat @ np.array([[c, s], [-s, c]]) + middle, np.float64)


def _module(corners: NDArray[np.float64]) -> float:
    """Return the smaller side of a module of the code; zero where a part lies outside."""
    if (corners < RIM).any() or (corners > [WIDTH - RIM, HEIGHT - RIM]).any():
        return 0.0
    a, b, c, d = corners
    across = min(float(np.linalg.norm(b - a)), float(np.linalg.norm(c - d))) / 29
    down = min(float(np.linalg.norm(d - a)), float(np.linalg.norm(c - b))) / 29 / 1.35
    return min(across, down)


def _stick(photo: Plane, label: Plane, corners: NDArray[np.float32]) -> None:
    """Put a label into the photo: drawn finer than the photo, then averaged."""
    left, top = np.maximum(np.floor(corners.min(0)).astype(int) - 1, 0)
    right, bottom = np.minimum(np.ceil(corners.max(0)).astype(int) + 1, [WIDTH, HEIGHT])
    if right - left < 8 or bottom - top < 8:
        return
    high, wide = label.shape
    flat = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float32)
    matrix = cv2.getPerspectiveTransform(flat, ((corners - [left, top]) * FINE).astype(np.float32))
    size = (int(right - left) * FINE, int(bottom - top) * FINE)
    fine = cv2.warpPerspective(label, matrix, size)
    mask = cv2.warpPerspective(np.ones_like(label), matrix, size)
    small = (size[0] // FINE, size[1] // FINE)
    fine, mask = (cv2.resize(one, small, interpolation=cv2.INTER_AREA) for one in (fine, mask))
    part = photo[top:bottom, left:right]
    part[:] = part * (1 - mask) + fine * mask


def _shot(rng: np.random.Generator, scene: Plane, lamps: Lamps) -> bytes:
    """Light, blur and expose the scene, and let the phone make its JPEG of it."""
    scene = _blurred(rng, _wide_lens(scene, float(rng.uniform(-0.03, 0.03))), lamps)
    ys, xs = np.mgrid[0:HEIGHT:16, 0:WIDTH:16].astype(np.float32)
    light = np.zeros_like(xs)
    for _ in range(3):
        x, y = rng.uniform(0, WIDTH), rng.uniform(-0.3, 0.7) * HEIGHT
        light += np.exp(
            -((xs - x) ** 2 + (ys - y) ** 2) / (2 * (rng.uniform(0.3, 0.7) * WIDTH) ** 2)
        )
    light = 1 - lamps.fall + lamps.fall * light / light.max()
    exposed = scene * cv2.resize(light, (WIDTH, HEIGHT)) * rng.uniform(*lamps.white)
    grain = rng.standard_normal((HEIGHT + 8, WIDTH + 8), dtype=np.float32)
    channels = [
        _sensor(exposed * float(rng.uniform(0.75, 1)), lamps, _grain(grain, shift, fine=shift == 4))
        for shift in (0, 4, 8)
    ]
    picture = cv2.merge([np.clip(one * 255, 0, 255).astype(np.uint8) for one in channels])
    if rng.random() < 0.5:
        picture = cv2.medianBlur(picture, 3)
    soft = cv2.GaussianBlur(picture, (0, 0), 1.2)
    picture = cv2.addWeighted(picture, 1.5, soft, -0.5, 0)
    done, data = cv2.imencode(
        ".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(65, 95))]
    )
    assert done
    return data.tobytes()


def _wide_lens(scene: Plane, bend: float) -> Plane:
    xs = np.linspace(-1, 1, WIDTH, dtype=np.float32)[None, :]
    ys = np.linspace(-1, 1, HEIGHT, dtype=np.float32)[:, None] * np.float32(HEIGHT / WIDTH)
    wide = 1 + np.float32(bend) * (xs * xs + ys * ys)
    half = np.float32(WIDTH / 2)
    maps = xs * wide * half + half, ys * wide * half + np.float32(HEIGHT / 2)
    return np.asarray(cv2.remap(scene, *maps, cv2.INTER_LINEAR), np.float32)


def _blurred(rng: np.random.Generator, scene: Plane, lamps: Lamps) -> Plane:
    """Put the lens out of focus (a disc) and move the hand (a line)."""
    kernel = np.zeros((61, 61), np.float32)  # ten times as fine as the photo
    cv2.circle(kernel, (30, 30), max(1, round(10 * rng.uniform(*lamps.defocus))), 1.0, -1)
    length, angle = rng.uniform(0, lamps.motion) * 10, rng.uniform(0, np.pi)
    line = np.zeros_like(kernel)
    ends = [
        (
            round(30 + side * np.cos(angle) * length / 2),
            round(30 + side * np.sin(angle) * length / 2),
        )
        for side in (-1, 1)
    ]
    cv2.line(line, ends[0], ends[1], 1.0, 1)
    both = cv2.filter2D(kernel, -1, line)
    whole = np.pad(np.asarray(both), ((4, 5), (4, 5))).reshape(7, 10, 7, 10).sum((1, 3))
    return np.asarray(cv2.filter2D(scene, -1, whole / whole.sum()), np.float32)


def _grain(grain: Plane, shift: int, *, fine: bool) -> Plane:
    """Return the noise of one colour: red and blue are sensed at half the fineness of green."""
    part = grain[shift : shift + HEIGHT, 8 - shift : 8 - shift + WIDTH]
    return part if fine else np.asarray(cv2.resize(part[::2, ::2], (WIDTH, HEIGHT)), np.float32)


def _sensor(light: Plane, lamps: Lamps, grain: Plane) -> Plane:
    """Add shot and read noise."""
    return light + grain * cv2.sqrt(light / lamps.electrons + lamps.read_noise**2)
