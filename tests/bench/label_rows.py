"""Row photos of our own two generators: by light and size of module, and of 12 megapixels."""

from __future__ import annotations

from typing import Final

from server.core.shop.case_code import Accepted, accept
from tests.bench.label_readers import READERS, Score, ours, try_photo
from tests.bench.label_scenes import LIGHTS, Light, Trials, draw_scene
from tests.bench.label_walls import draw_wall
from tests.support.case_codes import issue_codes

MODULES: Final = (3.0, 4.0, 5.0, 6.0, 8.0)
FIRST_SEED: Final = 9000  # not the seeds that the ladder was ordered by


def measure(scenes: int) -> dict[tuple[Light, float], dict[str, Score]]:
    """Return (light, pixels a module) → reader → score."""
    table: dict[tuple[Light, float], dict[str, Score]] = {}
    for light in LIGHTS:
        for module in MODULES:
            row = {name: Score() for name in READERS}
            for seed in range(FIRST_SEED, FIRST_SEED + scenes):
                scene = draw_scene(Trials(seed, module, light))
                name = f"{light} {module:g} seed {seed}"
                for reader, read in READERS.items():
                    row[reader].add(try_photo(name, scene.jpeg, read, set(scene.truth)))
            table[light, module] = row
    return table


def large_photo() -> dict[Light, Score]:
    """Return our score on one photo of 12 megapixels with 60 labels, for each light."""
    scores: dict[Light, Score] = {}
    for light in LIGHTS:
        scene = draw_scene(Trials(FIRST_SEED, 8, light, labels=60))
        assert scene.grey.size > 11_500_000
        scores[light] = try_photo(f"12 megapixels {light}", scene.jpeg, ours, set(scene.truth))
    return scores


def walls(photos: int) -> dict[Light, Score]:
    """Return our score on so many 12-megapixel photos of the second generator, for each light."""
    scores: dict[Light, Score] = {}
    for light in LIGHTS:
        scores[light] = Score()
        for seed in range(FIRST_SEED, FIRST_SEED + photos):
            wall = draw_wall(seed, light)
            name = f"wall {light} seed {seed}"
            scores[light].add(try_photo(name, wall.jpeg, ours, set(wall.modules)))
    return scores


def wrong_texts(labels: int) -> tuple[Score, list[str]]:
    """Read so many labels in hard conditions; return the score and what was wrongly accepted.

    A reading is accepted as in the evening: the check holds and the code is known, where known are
    the codes in the photo and a fleet of a thousand others.
    """
    fleet = {
        str(code) for dept in ("PW", "AU", "LX", "RIG", "VID") for code in issue_codes(dept, 0, 200)
    }
    total, accepted, seed = Score(), [], FIRST_SEED
    while total.due < labels:
        module = 2.5 + seed % 8 * 0.5
        trials = Trials(
            seed, module, LIGHTS[seed % 3], labels=40, glare=0.6, scuffs=0.4, quality=60
        )
        scene = draw_scene(trials)
        score = try_photo(f"seed {seed}", scene.jpeg, ours, set(scene.truth))
        for line in score.wrong:
            text = line.partition(": ")[2]
            if isinstance(accept(text, fleet | set(scene.truth)), Accepted):
                accepted.append(line)
        total.add(score)
        seed += 1
    return total, accepted
