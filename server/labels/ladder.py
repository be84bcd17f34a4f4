"""The order in which a photo is read: cheap and sure first, costlier help only where it is needed.

1. zxing-cpp on the whole photo: a large one at half scale first, where grain and time are less.
2. A closer look at every finder mark that nobody has read: the spot is brought to a known size of
   module and tried rung by rung, all spots on one rung before the next.
3. If nothing was read, or marks that belong together are still unread: the whole photo, prepared
   in several ways.
The order of the rungs is measured by `python3 tests bench labels --rungs`. Processor time, not the
clock on the wall, ends the climb, so a busy machine reads as much as an idle one.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from server.labels import prepare
from server.labels.bars import find_bars, read_bars
from server.labels.candidates import Mark, Spot, find_marks, spots
from server.labels.decoders import Found, Quad, read_every_kind, read_zbar, read_zxing
from server.labels.mend import mend
from server.labels.prepare import Grey

Decode = Callable[[Grey], list[Found]]
Prepare = Callable[[Grey, float], Grey]


@dataclass(frozen=True, slots=True)
class Rung:
    """One try at a spot: module size in pixels to work at (0: as photographed), and who reads."""

    name: str
    module: float
    prepare: Prepare
    decode: Decode
    angle: float = 0


# Measured: each adds the most labels for its milliseconds after those before it.
SPOT_RUNGS: Final = (
    Rung("zbar smooth 3", 3, prepare.smooth, read_zbar),
    Rung("zbar smooth", 0, prepare.smooth, read_zbar),
    Rung("zbar smooth threshold 6", 6.5, prepare.smooth_threshold, read_zbar),
    Rung("zxing smooth 5", 5, prepare.smooth, read_zxing),
    Rung("zbar smooth threshold 4", 4, prepare.smooth_threshold, read_zbar),
    Rung("zxing smooth threshold", 0, prepare.smooth_threshold, read_zxing),
    Rung("zbar contrast 4", 4, prepare.contrasted, read_zbar),
    Rung("zbar smooth threshold", 0, prepare.smooth_threshold, read_zbar),
    Rung("zbar smooth threshold 3", 3, prepare.smooth_threshold, read_zbar),
    Rung("zbar evened 3", 3, prepare.evened, read_zbar),
    Rung("zbar smooth threshold 5", 5, prepare.smooth_threshold, read_zbar),
    # No gain on our scenes; kept for lenses and angles that they do not show: of 13 single codes
    # out of focus that nothing above reads, the first reads all.
    Rung("zxing deconvolved", 0, prepare.deconvolved, read_zxing),
    Rung("zxing sharpened 8", 8, prepare.sharpened, read_zxing),
    Rung("zbar deconvolved 8", 8, prepare.deconvolved, read_zbar),
    Rung("zbar turned 30", 4, prepare.smooth, read_zbar, 30),
    Rung("zxing turned 45", 5, prepare.smooth, read_zxing, 45),
)
# The whole photo: the module is not known, so three sizes are supposed.
PHOTO_RUNGS: Final = (
    Rung("photo zbar", 3, prepare.plain, read_zbar),
    Rung("photo zxing smooth", 4, prepare.smooth, read_zxing),
    Rung("photo zbar threshold", 4, prepare.threshold, read_zbar),
    Rung("photo zxing evened", 4, prepare.evened, read_zxing),
    Rung("photo zbar smooth threshold", 6, prepare.smooth_threshold, read_zbar),
    Rung("photo zxing smooth threshold", 6, prepare.smooth_threshold, read_zxing),
    Rung("photo zxing deconvolved", 5, prepare.deconvolved, read_zxing),
    Rung("photo zxing sharpened", 8, prepare.sharpened, read_zxing),
    Rung("photo zbar median", 4, prepare.median, read_zbar),
    Rung("photo zbar evened", 4, prepare.evened, read_zbar),
    Rung("photo zbar wide smooth", 10, prepare.smooth, read_zbar),
    Rung("photo zxing wide smooth", 10, prepare.smooth_threshold, read_zxing),
    Rung("photo zbar inverted", 4, prepare.inverted, read_zbar),
    Rung("photo zbar turned 45", 4, prepare.smooth, read_zbar, 45),
    Rung("photo zxing turned 30", 4, prepare.smooth, read_zxing, 30),
    Rung("photo zxing turned 60", 4, prepare.smooth_threshold, read_zxing, 60),
)
MEND_AFTER: Final = 4
FIRST_RUNGS: Final = 8  # tried at single marks too, most of which are catches and lettering
# Above so many pixels the first look is at half the scale: a quarter of the time, half the grain.
LARGE: Final = 3_000_000
SCALES: Final = (1.0, 0.5, 0.25)
LARGE_SCALES: Final = (0.5, 0.25)
SMALL_LABEL: Final = 21 * 3.5  # pixels: below it a mark's middle is under 6 px, 3 at half the scale
WHOLE_COST: Final = 3  # times the first look's at half the scale, as measured
MARKS_COST: Final = 4e-8  # seconds a pixel to find marks at the whole scale, in coarse grain
WHOLE_LEAST: Final = 0.25  # seconds: less is not enough to look at the whole photo once more
COARSE_GRAIN: Final = 2.0  # grey levels from which smoothing before the first look reads more
GRAIN_MODULE: Final = 4.0
MOST_OPEN: Final = 900  # unread marks that are looked at closer: 300 labels
# Whole photos are tried at these sizes; zbar needs 60 ms a megapixel.
PHOTO_PIXELS: Final = (1_200_000, 300_000, 4_000_000)


@dataclass(slots=True)
class Climb:
    """What has been read so far, what was seen once only, and when to stop."""

    stop_at: float
    found: list[Found] = field(default_factory=list)
    once: list[Found] = field(default_factory=list)

    def over(self) -> bool:
        return time.process_time() >= self.stop_at

    def left(self) -> float:
        return self.stop_at - time.process_time()

    def take(self, new: Found) -> None:
        """Keep a new reading, unless its place has been read already.

        A Code 128 from turned and enlarged bars counts when two steps agree on it: its check
        character lets one wrong line in 103 pass.
        """
        if any(same_place(new, old) for old in self.found):
            return
        if new.rung.startswith("bars"):
            step = (new.reader, new.rung)
            if not any(o.text == new.text and (o.reader, o.rung) != step for o in self.once):
                self.once.append(new)
                return
        self.found.append(new)

    def covers(self, mark: Mark) -> bool:
        """Say whether a mark belongs to a label already read: its corners lie half a side away."""
        return any(
            math.hypot(old.x - mark.x, old.y - mark.y) < 0.62 * old.size for old in self.found
        )

    def has_read(self, spot: Spot) -> bool:
        return all(self.covers(mark) for mark in spot.marks)


def same_place(one: Found, other: Found) -> bool:
    """Say whether two readings are of one label: middles nearer than half a label."""
    return math.hypot(one.x - other.x, one.y - other.y) < 0.5 * max(one.size, other.size)


def read_grey(grey: Grey, cpu_seconds: float, *, every_kind: bool = False) -> list[Found]:
    """Read every label of an upright grey photo within an effort in processor seconds."""
    climb = Climb(time.process_time() + cpu_seconds)
    read = read_every_kind if every_kind else read_zxing
    todo = (_large if grey.size > LARGE else _usual)(grey, climb, read)
    todo = _last(grey, todo, climb)
    if not climb.found or (climb.left() > WHOLE_LEAST and any(spot.sure for spot in todo)):
        _whole(grey, climb)
    return climb.found


def _usual(grey: Grey, climb: Climb, read: Decode) -> list[Spot]:
    """Look at the whole photo, then closer where marks are unread; return the spots left over."""
    _look_over(grey, 1.0, climb, read)
    return _closer(grey, _unread(grey, SCALES, climb), climb)


def _large(grey: Grey, climb: Climb, read: Decode) -> list[Spot]:
    """Look at half the scale, then closer, then at the whole scale, for which time is kept."""
    took = climb.left()
    _look_over(grey, 0.5, climb, read)
    kept = WHOLE_COST * (took - climb.left())
    if kept > climb.left():  # a drawing of thousands of rings: no photo takes so long
        kept = 0.0
    elif not climb.found:  # a single label from afar, or fine bars
        _look_over(grey, 1.0, climb, read)
        kept = 0.0
    climb.stop_at -= kept
    todo = _closer(grey, _unread(grey, LARGE_SCALES, climb), climb)
    climb.stop_at += kept
    if kept:
        _look_over(grey, 1.0, climb, read)
    # the smallest marks last: there are none of them where labels are near enough
    if climb.left() > MARKS_COST * grey.size and (not climb.found or _small_labels(climb)):
        todo = _closer(grey, _unread(grey, SCALES, climb), climb)
    return todo


def _look_over(grey: Grey, scale: float, climb: Climb, read: Decode) -> None:
    """Read the whole photo at one scale, its grain smoothed where that is coarse."""
    small = prepare.resized(grey, scale)
    if prepare.grain(small) > COARSE_GRAIN:
        small = prepare.smooth(small, GRAIN_MODULE)
    for found in read(small):
        climb.take(replace(found, quad=found.quad / scale, rung="zxing"))


def _small_labels(climb: Climb) -> bool:
    """Say whether a label was read whose marks are too small to be seen at half the scale."""
    return any(found.size < SMALL_LABEL for found in climb.found if found.symbology == "QR")


def _unread(grey: Grey, scales: tuple[float, ...], climb: Climb) -> list[Spot]:
    """Return where marks are that belong to no label read, the surest spots first."""
    marks = [mark for scale in scales for mark in find_marks(grey, scale)]
    open_marks = [mark for mark in marks if not climb.covers(mark)]
    # a drawing of thousands of rings must not cost seconds; grain makes small ones, labels do not
    return spots(sorted(open_marks, key=lambda mark: -mark.module)[:MOST_OPEN])


def _closer(grey: Grey, todo: list[Spot], climb: Climb) -> list[Spot]:
    """Climb the cheaper rungs at every unread spot; return the spots that stay unread."""
    for number, rung in enumerate(SPOT_RUNGS[:FIRST_RUNGS]):
        if number == MEND_AFTER:
            todo = _mend([spot for spot in todo if spot.sure], todo, grey, climb)
        todo = _try_rung(grey, todo, rung, climb)
    return todo


def _last(grey: Grey, todo: list[Spot], climb: Climb) -> list[Spot]:
    """Climb the costlier rungs: first where two marks agree that a label is."""
    todo = _mend([spot for spot in todo if not spot.sure], todo, grey, climb)
    unread: list[Spot] = []
    for sure in (True, False):
        part = [spot for spot in todo if spot.sure == sure]
        for rung in SPOT_RUNGS[FIRST_RUNGS:]:
            part = _try_rung(grey, part, rung, climb)
        unread += part
    return unread


def _mend(some: list[Spot], todo: list[Spot], grey: Grey, climb: Climb) -> list[Spot]:
    """Redraw what is spoilt at some of the spots; return those of all that stay unread."""
    for spot in some:
        if climb.over():
            break
        if not climb.has_read(spot):
            for found in mend(grey, spot, climb.over):
                climb.take(found)
    return [spot for spot in todo if not climb.has_read(spot)]


def _try_rung(grey: Grey, todo: list[Spot], rung: Rung, climb: Climb) -> list[Spot]:
    """Try one rung at every spot not read yet; return those that stay unread."""
    for spot in todo:
        if climb.over():
            break
        if climb.has_read(spot):
            continue
        for found in look(grey, spot, rung):
            climb.take(found)
    return [spot for spot in todo if not climb.has_read(spot)]


def look(grey: Grey, spot: Spot, rung: Rung) -> Iterator[Found]:
    """Try one rung at one spot; corners come back in photo pixels."""
    left, top = max(0, int(spot.x - spot.half)), max(0, int(spot.y - spot.half))
    part = grey[top : int(spot.y + spot.half) + 1, left : int(spot.x + spot.half) + 1]
    factor = rung.module / spot.module if rung.module else 1.0
    if min(part.shape) < 16 or part.size * factor * factor > 4_000_000:
        return
    for found in _try(part, factor, rung, spot.module * factor):
        yield replace(found, quad=found.quad + np.array([left, top]))


def _try(part: Grey, factor: float, rung: Rung, module: float) -> Iterator[Found]:
    """Resize, turn, prepare and decode; corners come back in the part's pixels."""
    picture = prepare.resized(part, factor)
    factors = np.array(picture.shape[::-1]) / np.array(part.shape[::-1])
    back: Quad | None = None
    if rung.angle:
        picture, back = prepare.turned(picture, rung.angle)
    for found in rung.decode(rung.prepare(picture, module)):
        quad = found.quad
        if back is not None:
            quad = quad @ back[:, :2].T + back[:, 2]
        yield replace(found, quad=quad / factors, rung=rung.name)


def _whole(grey: Grey, climb: Climb) -> None:
    """Try bars at any angle, then the whole photo, prepared in several ways and sizes."""
    for bars in [] if climb.over() else find_bars(grey):
        before = len(climb.found)
        for found in read_bars(grey, bars, climb.over):
            climb.take(found)
            if len(climb.found) > before:
                break
    tried: set[float] = set()
    for pixels in PHOTO_PIXELS:
        factor = min(1.0, float(np.sqrt(pixels / grey.size)))
        if factor in tried or min(grey.shape) * factor < 16:
            continue
        tried.add(factor)
        for rung in PHOTO_RUNGS:
            if climb.over():
                return
            for found in _try(grey, factor, rung, rung.module):
                climb.take(replace(found, rung=f"{rung.name} {pixels}"))
        if climb.found:
            return
