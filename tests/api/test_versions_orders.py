"""Two editors of one document in random orders of looks and saves: nothing is lost."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
# Who keeps which field, and whether on a fresh look or on the page as it was opened.
STEPS = st.lists(
    st.tuples(st.integers(0, 1), st.booleans(), st.integers(0, 2)), min_size=2, max_size=3
)


@pytest.mark.parametrize("path", list(FIELDS))
def test_two_editors_lose_nothing_in_any_order(quick: Bench, path: str) -> None:
    """Random orders of looks and saves, on a show and on a vehicle.

    A value that was kept is there until somebody replaces it who had seen it. ROWCALL_ORDERS=250
    tries as many of each; the usual run tries fewer.
    """
    owner = quick.owner()
    fields = FIELDS[path]
    if "small" in path:
        made = owner.post("/api/shows", {"name": "Small", "vehicles": ["T1"]}).get_json()
        path = f"/api/shows/{made['id']}"
    pair = [Editor(owner, path) for _ in range(2)]
    counter = iter(range(1, 100_000))
    orders = Counter[str]()

    @settings(max_examples=ORDERS, deadline=None, database=None, derandomize=True)
    @given(STEPS)
    def interleaved(steps: list[tuple[int, bool, int]]) -> None:
        kept: dict[str, tuple[Any, int]] = {}
        newest = max(pair, key=lambda one: number(one.newest)).newest
        for one in pair:
            one.seen = newest
        for who, looks, place in steps:
            editor, field = pair[who], fields[place]
            if looks:
                editor.seen = newest
            value, seen = VALUES[field](next(counter)), number(editor.seen)
            there = editor.keep(field, value)
            newest = editor.newest
            if there is None:
                orders["refused"] += 1
                assert kept[field][1] > seen  # only what was not seen is a conflict
                continue
            orders["merged" if number(newest) > seen + 1 else "kept"] += 1
            assert kept.get(field, (None, 0))[1] <= seen
            kept[field] = (value, number(newest))
            for name, (mine, _) in kept.items():
                now = there[name]
                assert mine.items() <= now.items() if isinstance(mine, dict) else mine == now

        orders["orders"] += 1

    interleaved()
    assert orders["orders"] >= ORDERS
    assert min(orders["refused"], orders["merged"], orders["kept"]) >= ORDERS // 20, orders


def number(tag: str) -> int:
    """Return the version that an ETag names."""
    return int(tag.strip('"'))
