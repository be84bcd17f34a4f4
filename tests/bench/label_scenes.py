"""Photos of case rows drawn from a seed, with every label's true text and place.

A scene is drawn at twice its size, blurred like a lens, brought down to photo size, lit, given
sensor noise and saved as JPEG. `module_px` is the side of one QR module seen face on; tilt then
makes it smaller still. The figures of the three light levels are our own choice (common practice,
no source): good is an office or daylight, dock a few lamps, dark a load-out at night.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import cv2
import numpy as np
import segno
from numpy.typing import NDArray

from server.core.shop.case_code import CaseCode

Grey = NDArray[np.uint8]
Light = Literal["good", "dock", "dark"]
LIGHTS: Final[tuple[Light, ...]] = ("good", "dock", "dark")
TOP: Final = 2  # a scene is drawn this many times larger than its photo


@dataclass(frozen=True, slots=True)
class LightLevel:
    """Grey of white paper and of black ink, noise, unevenness, lens and motion blur in pixels."""

    white: tuple[float, float]
    black: float
    noise: float
    uneven: float
    blur: tuple[float, float]
    motion: float


LEVELS: Final[dict[Light, LightLevel]] = {
    "good": LightLevel((190, 235), 22, 2.5, 0.25, (0.4, 0.9), 0.0),
    "dock": LightLevel((90, 140), 16, 5.0, 0.55, (0.5, 1.1), 1.5),
    "dark": LightLevel((42, 62), 12, 5.5, 0.65, (0.6, 1.2), 2.0),
}


@dataclass(frozen=True, slots=True)
class Trials:
    """What one scene puts a reader through."""

    seed: int
    module_px: float
    light: Light
    labels: int = 12
    tilt: float = 30.0  # degrees at most, about both axes of the label
    turn: float = 8.0  # degrees at most in the plane of the photo; one label in six is on its side
    glare: float = 0.3  # share of labels with a bright spot on them
    scuffs: float = 0.15  # share of labels with a scratch across
    quality: int = 85  # JPEG


@dataclass(frozen=True, slots=True)
class Scene:
    """One photo, its JPEG bytes, and where each label's QR really is (corners in photo pixels)."""

    grey: Grey
    jpeg: bytes
    truth: dict[str, NDArray[np.float64]]


def draw_scene(trials: Trials) -> Scene:
    """Draw one photo of a row of cases; the same trials give the same bytes."""
    rng = np.random.default_rng(
        [trials.seed, int(trials.module_px * 100), LIGHTS.index(trials.light)]
    )
    cell = int(np.ceil((21 + 8) * trials.module_px * 1.9)) * TOP
    across = int(np.ceil(np.sqrt(trials.labels * 4 / 3)))
    down = int(np.ceil(trials.labels / across))
    paper = _cases(rng, across, down, cell)
    truth: dict[str, NDArray[np.float64]] = {}
    for number, code in enumerate(_codes(rng, trials.labels)):
        corner = np.array([number % across * cell, number // across * cell], np.float64)
        label = draw_label(code, trials.module_px * TOP)
        _worn(rng, label, trials)
        truth[code] = _stick(paper, label, _place(rng, trials, corner, cell, label.shape)) / TOP
    return _photo(rng, trials, paper, truth)


def _codes(rng: np.random.Generator, count: int) -> list[str]:
    found: list[str] = []
    while len(found) < count:
        code = CaseCode(
            str(rng.choice(["PW", "AU", "LX", "RIG", "VID"])), int(rng.integers(1, 999))
        )
        if code.may_be_issued and str(code) not in found:
            found.append(str(code))
    return found


def draw_label(text: str, module_px: float) -> NDArray[np.float32]:
    """Draw paper (1) and ink (0): a QR with its quiet zone and the text in large letters below."""
    matrix = np.array(
        [list(row) for row in segno.make_qr(text, error="q").matrix_iter(border=4)], np.float32
    )
    side = round(matrix.shape[0] * module_px)
    qr = cv2.resize(1 - matrix, (side, side), interpolation=cv2.INTER_NEAREST)
    label = np.full((int(side * 1.3), side), 255, np.uint8)
    label[:side] = qr * 255
    size = side / (len(text) * 22)
    at = (int(side * 0.08), int(side * 1.18))
    cv2.putText(label, text, at, cv2.FONT_HERSHEY_DUPLEX, size, 0, max(1, int(size * 3)))
    return np.asarray(label / 255, np.float32)


def _cases(rng: np.random.Generator, across: int, down: int, cell: int) -> NDArray[np.float32]:
    """Draw the case fronts: panels of grain, bright edges, catches and handles between them."""
    height, width = down * cell, across * cell
    panel = 0.25 + 0.06 * rng.standard_normal((height // 8 + 1, width // 8 + 1))
    scene = cv2.resize(panel, (width, height), interpolation=cv2.INTER_CUBIC).astype(np.float32)
    for row in range(down):
        for column in range(across):
            x, y = column * cell, row * cell
            scene[y : y + cell, x : x + cell] *= rng.uniform(0.4, 1.6)
            edge = int(cell * 0.03)
            cv2.rectangle(scene, (x, y), (x + cell, y + cell), float(rng.uniform(0.5, 0.9)), edge)
            for _ in range(3):
                a = (x + int(rng.uniform(0, cell)), y + int(rng.uniform(0, cell)))
                b = (a[0] + int(cell * 0.08), a[1] + int(cell * 0.05))
                cv2.rectangle(scene, a, b, float(rng.uniform(0.1, 0.9)), -1)
    return np.clip(scene, 0, 1)


def _worn(rng: np.random.Generator, label: NDArray[np.float32], trials: Trials) -> None:
    """Scratch and grease some labels."""
    height, width = label.shape
    if rng.random() < trials.scuffs:
        a = (int(rng.uniform(0, width)), 0)
        b = (int(rng.uniform(0, width)), height)
        grey, thick = float(rng.uniform(0.3, 1)), max(1, round(trials.module_px * TOP * 0.6))
        cv2.line(label, a, b, grey, thick)


def _place(
    rng: np.random.Generator,
    trials: Trials,
    corner: NDArray[np.float64],
    cell: int,
    shape: tuple[int, ...],
) -> NDArray[np.float32]:
    """Return the homography that puts a label into its cell, tilted and turned."""
    height, width = shape
    turn = np.radians(rng.uniform(-trials.turn, trials.turn))
    if rng.random() < 1 / 6:
        turn += np.radians(rng.choice([90, 180, 270]))
    yaw, pitch = np.radians(rng.uniform(-trials.tilt, trials.tilt, 2))
    points = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float64)
    flat = points - [width / 2, height / 2]
    c, s = np.cos(turn), np.sin(turn)
    flat = flat @ np.array([[c, s], [-s, c]])
    far = 4.0 * width  # the camera stands four label widths away
    depth = far + flat[:, 0] * np.sin(yaw) + flat[:, 1] * np.sin(pitch)
    seen = flat * [np.cos(yaw), np.cos(pitch)] * (far / depth)[:, None]
    room = np.maximum((cell - np.ptp(seen, axis=0)) / 2 - 2, 0)
    centre = corner + cell / 2 + rng.uniform(-1, 1, 2) * room
    target = (seen - (seen.max(0) + seen.min(0)) / 2 + centre).astype(np.float32)
    return np.asarray(cv2.getPerspectiveTransform(points.astype(np.float32), target), np.float32)


def _stick(
    scene: NDArray[np.float32], label: NDArray[np.float32], matrix: NDArray[np.float32]
) -> NDArray[np.float64]:
    """Draw the label into the scene; return the corners of its QR (without quiet zone)."""
    height, width = scene.shape
    warped = cv2.warpPerspective(label, matrix, (width, height), flags=cv2.INTER_AREA)
    mask = cv2.warpPerspective(np.ones_like(label), matrix, (width, height), flags=cv2.INTER_AREA)
    np.copyto(scene, warped, where=mask > 0.5)
    side = label.shape[1]
    rim = side * 4 / 29
    square = np.array(
        [[[rim, rim], [side - rim, rim], [side - rim, side - rim], [rim, side - rim]]]
    )
    corners = cv2.perspectiveTransform(square.astype(np.float64), matrix.astype(np.float64))
    return np.asarray(corners[0], np.float64)


def _photo(
    rng: np.random.Generator,
    trials: Trials,
    scene: NDArray[np.float32],
    truth: dict[str, NDArray[np.float64]],
) -> Scene:
    """Light the scene, bring it to photo size through the lens, add noise, and save it."""
    level = LEVELS[trials.light]
    height, width = scene.shape[0] // TOP, scene.shape[1] // TOP
    small: NDArray[np.float32] = np.asarray(
        cv2.resize(scene, (width, height), interpolation=cv2.INTER_AREA), np.float32
    )
    small = np.asarray(cv2.GaussianBlur(small, (0, 0), rng.uniform(*level.blur)), np.float32)
    if level.motion:
        small = _moved(rng, small, rng.uniform(0, level.motion))
    light = _lamps(rng, height, width, level.uneven)
    white = rng.uniform(*level.white)
    photo = level.black + (white - level.black) * small * light
    for corners in truth.values():
        if rng.random() < trials.glare:
            _glare(rng, photo, corners, white)
    grain = rng.standard_normal((height, width)).astype(np.float32)
    photo += grain * (level.noise * np.sqrt(0.6 + 0.4 * photo / white))
    grey = np.clip(photo, 0, 255).astype(np.uint8)
    done, data = cv2.imencode(".jpg", grey, [cv2.IMWRITE_JPEG_QUALITY, trials.quality])
    assert done
    return Scene(np.asarray(cv2.imdecode(data, cv2.IMREAD_GRAYSCALE)), data.tobytes(), truth)


def _moved(
    rng: np.random.Generator, image: NDArray[np.float32], length: float
) -> NDArray[np.float32]:
    """Blur along a line: the hand moved while the shutter was open."""
    kernel = np.zeros((9, 9), np.float32)
    angle = rng.uniform(0, np.pi)
    for step in np.linspace(-length / 2, length / 2, 33):
        x, y = 4 + step * np.cos(angle), 4 + step * np.sin(angle)
        kernel[round(y), round(x)] += 1
    soft = np.asarray(cv2.GaussianBlur(kernel, (0, 0), 0.4))
    return np.asarray(cv2.filter2D(image, -1, soft / soft.sum()), np.float32)


def _lamps(rng: np.random.Generator, height: int, width: int, uneven: float) -> NDArray[np.float32]:
    """Return the light over the photo: 1 at its best, falling to 1 - uneven."""
    coarse = rng.random((4, 5)).astype(np.float32)
    field = cv2.resize(coarse, (width, height), interpolation=cv2.INTER_CUBIC)
    field = np.clip((field - field.min()) / max(float(np.ptp(field)), 1e-6), 0, 1)
    return np.asarray(1 - uneven * field, np.float32)


def _glare(
    rng: np.random.Generator,
    photo: NDArray[np.float32],
    corners: NDArray[np.float64],
    white: float,
) -> None:
    """Put a lamp's reflection on a label: on its rim or a corner, two to four modules wide."""
    along = rng.uniform(0, 1)
    first = rng.integers(4)
    x, y = corners[first] * (1 - along) + corners[(first + 1) % 4] * along
    size = np.linalg.norm(corners[0] - corners[1]) / 21 * rng.uniform(1, 2)
    reach = int(size * 4) + 1
    x0, y0 = max(int(x) - reach, 0), max(int(y) - reach, 0)
    part = photo[y0 : int(y) + reach, x0 : int(x) + reach]
    ys, xs = np.mgrid[0 : part.shape[0], 0 : part.shape[1]]
    spot = np.exp(-((xs + x0 - x) ** 2 + (ys + y0 - y) ** 2) / (2 * size**2))
    part += (white * 1.2 * spot).astype(np.float32)
