"""Measures the order of the ladder: which rung reads most of what is left for its milliseconds.

Labels that zxing-cpp alone does not read are cut out of scenes as the ladder would; every rung
tries every one; then rungs are picked one after the other by labels added for time taken.
"""

from __future__ import annotations

import time
from typing import Final

import numpy as np

from server.labels.candidates import Spot, find_marks, spots
from server.labels.decoders import read_zxing
from server.labels.ladder import SPOT_RUNGS, Rung, look
from server.labels.prepare import Grey
from tests.bench.label_scenes import LIGHTS, Trials, draw_scene

SEEDS: Final = (100, 101, 102)
MODULES: Final = (3.0, 3.5, 4.0, 5.0, 6.0, 8.0)


def unread_spots() -> list[tuple[Grey, Spot, str]]:
    """Return the picture, the spot and the text of every label that needs the ladder."""
    found: list[tuple[Grey, Spot, str]] = []
    for trials in (Trials(s, m, light) for m in MODULES for light in LIGHTS for s in SEEDS):
        scene = draw_scene(trials)
        done = {reading.text for reading in read_zxing(scene.grey)}
        where = spots([m for scale in (1.0, 0.5) for m in find_marks(scene.grey, scale)])
        for text, corners in scene.truth.items():
            x, y = np.mean(corners, axis=0)
            near = [s for s in where if max(abs(s.x - x), abs(s.y - y)) < s.half]
            if text not in done and near:
                found.append((scene.grey, near[0], text))
    return found


def order() -> list[tuple[str, int, float]]:
    """Return rung, labels it adds, milliseconds a label, in the order in which they pay."""
    todo = unread_spots()
    reads: dict[Rung, set[int]] = {}
    cost: dict[Rung, float] = {}
    for rung in SPOT_RUNGS:
        start = time.process_time()
        reads[rung] = {
            number
            for number, (grey, spot, text) in enumerate(todo)
            if any(found.text == text for found in look(grey, spot, rung))
        }
        cost[rung] = (time.process_time() - start) / max(1, len(todo)) * 1000
    picked: list[tuple[str, int, float]] = [("to read", len(todo), 0.0)]
    done: set[int] = set()
    left = list(SPOT_RUNGS)
    while left:
        best = max(left, key=lambda rung: len(reads[rung] - done) / (cost[rung] + 1))
        picked.append((best.name, len(reads[best] - done), round(cost[best], 2)))
        done |= reads[best]
        left.remove(best)
    return picked
