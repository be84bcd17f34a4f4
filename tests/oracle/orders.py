"""Orders of rows in one vehicle, checked whole: drops, wishes, narrow floors, axles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, permutations
from typing import Any

from tests.oracle.piles import Pile
from tests.oracle.second_judge import AXLES

Doc = dict[str, Any]


@dataclass(frozen=True, eq=False)
class Row:
    """Piles side by side."""

    piles: tuple[Pile, ...]
    low: int
    high: int
    cases: tuple[Doc, ...]

    @cached_property
    def depth(self) -> int:
        """Depth of the deepest pile."""
        return max(pile.depth for pile in self.piles)

    @cached_property
    def moment(self) -> float:
        """Mass times middle about the row's line."""
        return sum(pile.moment for pile in self.piles)

    @cached_property
    def mass(self) -> float:
        """Mass of the row."""
        return float(sum(case["mass"] for case in self.cases))

    @cached_property
    def near(self) -> frozenset[str]:
        """Ends at which the row is wished."""
        return frozenset(case["near"] for case in self.cases if case.get("near"))

    @cached_property
    def words(self) -> frozenset[str]:
        """Words that tie the row to others."""
        return frozenset(case["with"] for case in self.cases if case.get("with"))


class RoomOrders:
    """Orders of rows in one vehicle."""

    def __init__(self, show: Doc, room: Doc) -> None:
        self.show, self.room = show, room
        self.width = round(2 * room["width"])
        self.narrow = [
            (round(2 * one["from"]), round(2 * one["to"]), self.width - round(2 * one["width"]))
            for one in room.get("narrow", [])
        ]
        # Rows whose piles cannot stand in any order.
        self.choosy = bool(self.narrow) or any(case.get("never_beside") for case in show["cases"])

    def ordered(self, rows: Sequence[Row]) -> tuple[Row, ...] | None:
        """Return the rows in the first lawful order, or None."""
        window = self._window(sum(row.mass for row in rows))
        if window is not None and not self._may_meet(rows, window):
            return None
        for order in self._walk((), list(rows), 0, 0.0):
            moment = self._moment(order)
            if window is None or window[0] - 1e-6 <= moment <= window[1] + 1e-6:
                return order
        return None

    def _walk(
        self, done: tuple[Row, ...], rest: list[Row], start: int, moment: float
    ) -> Iterator[tuple[Row, ...]]:
        if not rest:
            if self._words_hold(done) and not any("door" in row.near for row in done[:-1]):
                yield done
            return
        latest = max(row.high for row in rest)
        for row in rest:
            if row.high < latest or (done and row.high > min(one.low for one in done)):
                continue
            if "bulkhead" in row.near and done:
                return
            if "door" in row.near and len(rest) > 1:
                continue
            if self.choosy and self.placed(row, start) is None:
                continue
            others = [one for one in rest if one is not row]
            yield from self._walk((*done, row), others, start + row.depth, moment)

    def _words_hold(self, order: Sequence[Row]) -> bool:
        for word in {word for row in order for word in row.words}:
            at = [index for index, row in enumerate(order) if word in row.words]
            if at[-1] - at[0] + 1 != len(at):
                return False
        return True

    def _moment(self, order: Sequence[Row]) -> float:
        start, moment = 0, 0.0
        for row in order:
            moment += row.mass * start + row.moment
            start += row.depth
        return moment

    def _may_meet(self, rows: Sequence[Row], window: tuple[float, float]) -> bool:
        """Return whether moments over all orders, least and greatest, meet the window (Smith)."""
        dense = sorted(rows, key=lambda row: -row.mass / row.depth)
        return (
            self._moment(dense) <= window[1] + 1e-6
            and self._moment(dense[::-1]) >= window[0] - 1e-6
        )

    def _window(self, mass: float) -> tuple[float, float] | None:
        """Return between which moments about the bulkhead, in half inches, the axles are kept."""
        axles = self.room.get("axles")
        if not axles:
            return None
        front_at, span, (front, rear) = AXLES[axles["kind"]](axles)
        lows, highs = [-1e12], [1e12]
        ahead = axles[f"empty_{front}"] + mass
        gross = ahead + axles[f"empty_{rear}"]
        if axles.get("gross_limit") is not None and gross > axles["gross_limit"]:
            return 1.0, 0.0
        if axles.get(f"{front}_limit") is not None:
            lows.append(ahead - axles[f"{front}_limit"])
        if axles.get(f"{rear}_limit") is not None:
            highs.append(axles[f"{rear}_limit"] - axles[f"empty_{rear}"])
        if axles["kind"] == "ball":
            highs.append(ahead - axles.get("tongue_share_min", 0.10) * gross)
            lows.append(ahead - axles.get("tongue_share_max", 0.15) * gross)
        turn = 2 * mass * front_at
        return max(lows) * 2 * span + turn, min(highs) * 2 * span + turn

    def placed(self, row: Row, start: int) -> list[tuple[int, Pile]] | None:
        """Return the piles with their distance from the left wall, or None: too narrow there."""
        for order in permutations(row.piles) if self.choosy else (row.piles,):
            if not self._beside(order):
                continue
            x, found = 0, []
            for pile in order:
                x = self._first(pile, x, start)
                if x < 0:
                    break
                found.append((x, pile))
                x += pile.width
            else:
                return found
        return None

    def _beside(self, order: Sequence[Pile]) -> bool:
        """Return whether no case of a pile is beside one that it names, or that names it."""
        cases = self.show["cases"]
        piles = [[cases[box.case] for box in pile.boxes] for pile in order]
        bases = [[cases[box.case] for box in pile.boxes if not box.z] for pile in order]
        pairs = [(a, b) for left, right in pairwise(piles) for a in left for b in right]
        pairs += [pair for some in bases for pair in pairwise(some)]
        return not any(
            b["code"] in a.get("never_beside", ()) or a["code"] in b.get("never_beside", ())
            for a, b in pairs
        )

    def _first(self, pile: Pile, x: int, start: int) -> int:
        """Return the first place from x on at which a pile keeps to the floor; -1: none."""
        offset, most = 0, self.width - pile.width
        for wide, deep in pile.floor:
            less = max(
                (cut for begin, end, cut in self.narrow if start < end and start + deep > begin),
                default=0,
            )
            x = max(x, (less + 1) // 2 - offset)
            most = min(most, self.width - (less + 1) // 2 - offset - wide)
            offset += wide
        return x if x <= most else -1

    def document(self, rows: Sequence[Row]) -> Doc:
        """Return the rows as a vehicle of a plan document."""
        start, made = 0, []
        for number, row in enumerate(rows, start=1):
            made.append(self._row(row, number, start))
            start += row.depth
        mass = sum(row.mass for row in rows)
        return {"id": self.room["id"], "floor_length": start / 2, "mass": mass, "rows": made}

    def _row(self, row: Row, number: int, start: int) -> Doc:
        codes = [case["code"] for case in self.show["cases"]]
        puts = []
        for x, pile in self.placed(row, start) or []:
            for box in pile.boxes:
                sides = {key: getattr(box, key) / 2 for key in ("z", "dx", "dy", "dz")}
                sides |= {"x": (x + box.x) / 2, "y": (start + box.y) / 2}
                on = [codes[low] for low in box.on]
                put = {"code": codes[box.case], **sides, "stance": box.stance}
                puts.append({**put, "turned": box.turned, "on": on or None})
        return {
            "number": number,
            "from": start / 2,
            "depth": row.depth / 2,
            "slack": self._slack(row, start) / 2,
            "cases": puts,
        }

    def _slack(self, row: Row, start: int) -> int:
        """Return the least width left free over half-inch slices of the row."""
        floor = [side for pile in row.piles for side in pile.floor]
        left: list[int] = []
        for y in range(start, start + row.depth):
            less = max((cut for begin, end, cut in self.narrow if begin <= y < end), default=0)
            left.append(self.width - less - sum(w for w, deep in floor if start + deep > y))
        return min(left, default=0)
