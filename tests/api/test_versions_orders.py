"""Two editors of one document in random orders of looks and saves: nothing is lost."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pytest

from tests.support.app import Bench, Caller


class Editor:
    """Somebody with a page open on one version: looks again, changes a field, keeps."""

    def __init__(self, caller: Caller, path: str) -> None:
        self.caller, self.path = caller, path
        self.seen = self.newest = caller.get(path).headers["ETag"]

    def keep(self, field: str, value: Any) -> dict[str, Any] | None:
        """Keep a value on top of what was seen; None where both changed the field."""
        answer = self.caller.patch(self.path, {field: value}, self.seen)
        assert answer.status_code in {200, 412}, answer.text
        self.seen = self.newest = answer.headers["ETag"]  # a conflict page was read
        return answer.get_json() if answer.status_code == 200 else None


FIELDS = {
    "/api/vehicles/T1": ("name", "payload_g", "length_um"),
    "/api/shows/small": ("name", "date", "rules"),
}
VALUES: dict[str, Callable[[int], Any]] = {
    "name": lambda n: f"Name {n}",
    "payload_g": lambda n: 1_000_000 + n,
    "length_um": lambda n: 6_000_000 + n,
    "date": lambda n: f"day {n}",
    "rules": lambda n: {"slack_limit_um": n},
}
ORDERS = int(os.environ.get("ROWCALL_ORDERS", "40"))
# An order: who keeps, whether on a fresh look or on the page as it was opened, and which field.
Order = list[tuple[int, bool, int]]


def orders_of(seed: int) -> Iterator[Order]:
    """Yield random orders of three to five saves by two people, half of them on an older page."""
    dice = Random(seed)
    for _ in range(ORDERS):
        yield [
            (dice.randrange(2), dice.random() < 0.5, dice.randrange(3))
            for _ in range(dice.randint(3, 5))
        ]


@pytest.mark.parametrize("path", list(FIELDS))
def test_two_editors_lose_nothing_in_any_order(quick: Bench, path: str) -> None:
    """Random orders of looks and saves, on a show and on a vehicle.

    A value that was kept is there until somebody replaces it who had seen it. ROWCALL_ORDERS=250
    tries as many of each; the usual run tries fewer. Drawn evenly: a generator that prefers small
    examples let most orders be of one save, and few met a conflict.
    """
    owner = quick.owner()
    fields = FIELDS[path]
    if "small" in path:
        made = owner.post("/api/shows", {"name": "Small", "vehicles": ["T1"]}).get_json()
        path = f"/api/shows/{made['id']}"
    pair = [Editor(owner, path) for _ in range(2)]
    counter = iter(range(1, 100_000))
    met = Counter[str]()
    for order in orders_of(19):
        kept: dict[str, tuple[Any, int]] = {}
        newest = max(pair, key=lambda one: number(one.newest)).newest
        for one in pair:
            one.seen = newest
        for who, looks, place in order:
            editor, field = pair[who], fields[place]
            if looks:
                editor.seen = newest
            value, seen = VALUES[field](next(counter)), number(editor.seen)
            there = editor.keep(field, value)
            newest = editor.newest
            if there is None:
                met["refused"] += 1
                assert kept[field][1] > seen  # only what was not seen is a conflict
                continue
            met["merged" if number(newest) > seen + 1 else "kept"] += 1
            assert kept.get(field, (None, 0))[1] <= seen
            kept[field] = (value, number(newest))
            for name, (mine, _) in kept.items():
                now = there[name]
                assert mine.items() <= now.items() if isinstance(mine, dict) else mine == now
    # Each kind of meeting in at least one order of four, or the test has shown little.
    assert min(met["refused"], met["merged"], met["kept"]) >= ORDERS // 4, met


def number(tag: str) -> int:
    """Return the version that an ETag names; after a dot the generation of a restored database."""
    return int(tag.strip('"').partition(".")[0])
