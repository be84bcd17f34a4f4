"""A second judge: every hard rule of a plan, from a show document and a plan document alone.

It shares no code with `server.core`: it reads the JSON files of DESIGN 8.2 and 8.3 in their own
units, with tolerances of its own (a thousandth of a unit of length, a tenth of a unit of mass).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations, pairwise
from typing import Any

Doc = dict[str, Any]
NEAR = 1e-3
SHARE = 1e-5


def second_judge(show: Doc, plan: Doc) -> list[str]:
    """Return every broken rule in a few words; an empty list means lawful."""
    return list(_Judge(show, plan).faults())


def stance_sides(case: Doc, stance: str, *, turned: bool) -> tuple[float, float, float]:
    """Return across, along and up of a case: along is its first horizontal side, not turned."""
    long, wide, high = case["length"], case["width"], case["height"]
    first, other, up = {
        "upright": (long, wide, high),
        "on_end": (wide, high, long),
        "on_side": (long, high, wide),
    }[stance]
    return (first, other, up) if turned else (other, first, up)


class _Judge:
    def __init__(self, show: Doc, plan: Doc) -> None:
        self.cases = {case["code"]: case for case in show["cases"]}
        self.rooms = {room["id"]: room for room in show["vehicles"]}
        self.rules = {"lift_top": 60, "rider_mass": 150, **show.get("rules", {})}
        self.plan = plan

    def faults(self) -> Iterator[str]:
        codes = Counter(put["code"] for one in self.plan["vehicles"] for put in _puts(one))
        codes.update(left["code"] for left in self.plan.get("left_out", []))
        if codes != Counter(list(self.cases)):
            yield "not every case exactly once"
            return
        ids = [one["id"] for one in self.plan["vehicles"]]
        if len(set(ids)) != len(ids) or not set(ids) <= set(self.rooms):
            yield "a vehicle twice or unknown"
            return
        total = 0.0
        for one in self.plan["vehicles"]:
            yield from _Load(self, self.rooms[one["id"]], one).faults()
            total += sum(row["depth"] for row in one["rows"])
        if abs(total - self.plan["floor_length"]) > NEAR:
            yield "floor length is not the sum of the rows"
        if self.plan.get("lower_bound", 0) > total + NEAR and not self.plan.get("left_out"):
            yield "bound above the length"
        if self.plan.get("proven") and self.plan.get("lower_bound", 0) < total - NEAR:
            yield "proven without a bound"
        yield from self._together()

    def _together(self) -> Iterator[str]:
        spots: dict[str, set[tuple[str, int]]] = {}
        for one in self.plan["vehicles"]:
            for index, row in enumerate(one["rows"]):
                for put in row["cases"]:
                    word = self.cases[put["code"]].get("with")
                    if word:
                        spots.setdefault(word, set()).add((one["id"], index))
        for word, found in spots.items():
            rows = sorted(index for _, index in found)
            in_one = len({room for room, _ in found}) == 1
            if not in_one or rows != list(range(rows[0], rows[0] + len(rows))):
                yield f"{word} torn apart"


def _puts(one: Doc) -> list[Doc]:
    return [put for row in one["rows"] for put in row["cases"]]


def _over(a: Doc, b: Doc) -> float:
    """Return the floor area that two places share."""
    wide = min(a["x"] + a["dx"], b["x"] + b["dx"]) - max(a["x"], b["x"])
    deep = min(a["y"] + a["dy"], b["y"] + b["dy"]) - max(a["y"], b["y"])
    return wide * deep if wide > NEAR and deep > NEAR else 0.0


class _Load:
    """One vehicle of a plan."""

    def __init__(self, whole: _Judge, room: Doc, plan: Doc) -> None:
        self.whole, self.room, self.plan = whole, room, plan
        self.cases, self.rules = whole.cases, whole.rules
        self.puts = _puts(plan)
        self.under = {
            put["code"]: [low for low in self.puts if self._touch(low, put)] for put in self.puts
        }

    def _touch(self, low: Doc, put: Doc) -> bool:
        level = abs(low["z"] + low["dz"] - put["z"]) <= NEAR
        return low is not put and level and _over(low, put) > 0

    def faults(self) -> Iterator[str]:
        for put in self.puts:
            for text in self._one(put):
                yield f"{put['code']}: {text}"
        for a, b in combinations(self.puts, 2):
            tall = min(a["z"] + a["dz"], b["z"] + b["dz"]) - max(a["z"], b["z"])
            if tall > NEAR and _over(a, b):
                yield f"{a['code']} in {b['code']}"
        yield from self._lids()
        yield from self._rows()
        yield from self._masses()

    def _one(self, put: Doc) -> Iterator[str]:
        case, room = self.cases[put["code"]], self.room
        if put["stance"] not in case.get("stances", ["upright"]):
            yield "stance"
        if put["turned"] and not case.get("turn", True):
            yield "turned"
        sides = stance_sides(case, put["stance"], turned=put["turned"])
        if any(abs(put[k] - s) > NEAR for k, s in zip(("dx", "dy", "dz"), sides, strict=True)):
            yield "sides"
        for start, size, most in (
            ("x", "dx", "width"),
            ("y", "dy", "length"),
            ("z", "dz", "height"),
        ):
            if put[start] < -NEAR or put[start] + put[size] > room[most] + NEAR:
                yield f"outside the {most}"
        if put["dz"] > (room.get("door_height") or room["height"]) + NEAR:
            yield "door"
        if case.get("vehicle") not in (None, room["id"]):
            yield "other vehicle wished"
        for stretch in room.get("narrow", []):
            wall = (room["width"] - stretch["width"]) / 2
            beside = (
                put["y"] < stretch["to"] - NEAR and put["y"] + put["dy"] > stretch["from"] + NEAR
            )
            out = put["x"] < wall - NEAR or put["x"] + put["dx"] > room["width"] - wall + NEAR
            if beside and out and put["z"] < stretch["up_to"] - NEAR:
                yield "in the narrow stretch"
        yield from self._standing(put, case)

    def _standing(self, put: Doc, case: Doc) -> Iterator[str]:
        lower = self.under[put["code"]]
        on = put.get("on") or []
        if {low["code"] for low in lower} != set([on] if isinstance(on, str) else on):
            yield "stands on other cases than stated"
        if put["z"] <= NEAR:
            return
        if sum(_over(low, put) for low in lower) < put["dx"] * put["dy"] * (1 - 1e-4):
            yield "not wholly on lids"
        casters = [self._on_casters(low, put) for low in lower]
        for low, rolls in zip(lower, casters, strict=True):
            yield from self._on_lid(case, low, rolls=rolls)
        if not any(casters):
            heavy, top = self.rules["rider_mass"], self.rules["lift_top"]
            if heavy is not None and case.get("mass", 0) > heavy + 0.1:
                yield "too heavy to lift"
            if top is not None and put["z"] + put["dz"] > top + NEAR:
                yield "lifted too high"
        for code in self._all_below(put):
            if put["code"] in self.cases[code].get("never_under", []):
                yield f"above {code}"

    def _on_lid(self, case: Doc, low: Doc, *, rolls: bool) -> Iterator[str]:
        below = self.cases[low["code"]]
        if low["stance"] != "upright":
            yield "on a case without its lid on top"
        if below.get("lid_load") is None and not (rolls and not case.get("mass")):
            yield "on a lid that carries nothing"
        if not rolls and not case.get("rides"):
            yield "may not ride"
        if case.get("drop", 1) > below.get("drop", 1):
            yield "stands on what comes off before it"

    def _on_casters(self, low: Doc, put: Doc) -> bool:
        same = all(abs(low[key] - put[key]) <= NEAR for key in ("x", "y", "dx", "dy"))
        return same and bool(self.cases[low["code"]].get("lid_casters"))

    def _all_below(self, put: Doc) -> set[str]:
        found: set[str] = set()
        for low in self.under[put["code"]]:
            found |= {low["code"]} | self._all_below(low)
        return found

    def _lids(self) -> Iterator[str]:
        press = {code: float(self.cases[code].get("mass") or 0) for code in self.under}
        borne = dict.fromkeys(press, 0.0)
        for put in sorted(self.puts, key=lambda one: -float(one["z"])):
            weight = press[put["code"]] + borne[put["code"]]
            for low in self.under[put["code"]]:
                borne[low["code"]] += weight * _over(low, put) / (put["dx"] * put["dy"])
        for code, load in borne.items():
            limit = self.cases[code].get("lid_load")
            if limit is not None and load > limit + 0.1:
                yield f"lid of {code}"

    def _rows(self) -> Iterator[str]:
        start, before = 0.0, None
        last = len(self.plan["rows"]) - 1
        for index, row in enumerate(self.plan["rows"]):
            if row["number"] != index + 1 or abs(row["from"] - start) > NEAR:
                yield f"row {index + 1}: number or start"
            floor = [put for put in row["cases"] if put["z"] <= NEAR]
            if not floor or abs(max(put["dy"] for put in floor) - row["depth"]) > NEAR:
                yield f"row {index + 1}: depth"
            if any(abs(put["y"] - start) > NEAR for put in floor):
                yield f"row {index + 1}: not straight"
            ends = [(put["y"], put["y"] + put["dy"]) for put in row["cases"]]
            if any(a < start - NEAR or b > start + row["depth"] + NEAR for a, b in ends):
                yield f"row {index + 1}: reaches out"
            drops = [self.cases[put["code"]].get("drop", 1) for put in row["cases"]]
            if drops and (max(drops) - min(drops) > 1 or (before and max(drops) > before)):
                yield f"row {index + 1}: drops"
            before = min(drops, default=before)
            yield from self._beside(floor)
            for put in row["cases"]:
                near = self.cases[put["code"]].get("near")
                if (near == "bulkhead" and index) or (near == "door" and index != last):
                    yield f"{put['code']}: not at the {near}"
            start += row["depth"]

    def _beside(self, floor: list[Doc]) -> Iterator[str]:
        """Hold neighbouring stacks against each other; what one rider joins is one stack."""
        ranked = sorted(floor, key=lambda put: float(put["x"]))
        for left, right in pairwise(ranked):
            one, other = self._pile(left), self._pile(right)
            if one == other:
                one, other = {left["code"]}, {right["code"]}
            for a in one:
                for b in other:
                    if b in self._never_beside(a) or a in self._never_beside(b):
                        yield f"{a} beside {b}"

    def _never_beside(self, code: str) -> list[str]:
        return list(self.cases[code].get("never_beside", []))

    def _pile(self, base: Doc) -> set[str]:
        groups = [{code, *(low["code"] for low in lower)} for code, lower in self.under.items()]
        found: set[str] = {base["code"]}
        for _ in groups:
            found = found.union(*(group for group in groups if group & found))
        return found

    def _masses(self) -> Iterator[str]:
        mass = sum(self.cases[put["code"]].get("mass") or 0 for put in self.puts)
        payload = self.room.get("payload")
        if payload is not None and mass > payload + 0.1:
            yield "payload"
        axles = self.room.get("axles")
        if not axles:
            return
        front_at, span, keys = AXLES[axles["kind"]](axles)
        rear = (
            sum(
                (self.cases[put["code"]].get("mass") or 0) * (put["y"] + put["dy"] / 2 - front_at)
                for put in self.puts
            )
            / span
        )
        front = mass - rear + axles[f"empty_{keys[0]}"]
        rear += axles[f"empty_{keys[1]}"]
        gross = front + rear
        for found, limit in (
            (front, f"{keys[0]}_limit"),
            (rear, f"{keys[1]}_limit"),
            (gross, "gross_limit"),
        ):
            if axles.get(limit) is not None and found > axles[limit] + 0.1:
                yield limit
        if axles["kind"] == "ball":
            low, high = axles.get("tongue_share_min", 0.10), axles.get("tongue_share_max", 0.15)
            if not low - SHARE <= front / gross <= high + SHARE:
                yield "tongue share"


AXLES: dict[str, Any] = {
    "truck": lambda one: (-one["front_axle_to_bulkhead"], one["wheelbase"], ("front", "rear")),
    "kingpin": lambda one: (
        one["kingpin_from_bulkhead"],
        one["kingpin_to_axles"],
        ("kingpin", "axles"),
    ),
    "ball": lambda one: (-one["ball_ahead_of_bulkhead"], one["ball_to_axle"], ("tongue", "axle")),
}
