"""Shortest rows where riders share and bridge lids, by a model that shares no code with ours.

Every floor case has a place across its row, every rider a place on the lids; the part of a rider
over each lid is reckoned with, and so is its part of the mass. Reads show documents as JSON lines
from standard input, all lengths in whole inches and all hosts of one height; prints the least floor
length of each. It runs in a process of its own: CP-SAT brings a copy of the planner's solver
library, and one process cannot hold both.
"""

from __future__ import annotations

import json
import sys
from math import lcm
from typing import Any

from ortools.sat.python import cp_model

from tests.core.planner.cp_sat import least

ROWS = 4


class Model:
    """Each case stands on the floor of one row, or wholly on the lids of that row."""

    def __init__(self, show: dict[str, Any]) -> None:
        self.cases, self.rules = show["cases"], show["rules"]
        self.wide = show["vehicles"][0]["width"]
        self.deep = max(max(case["length"], case["width"]) for case in self.cases)
        self.model = cp_model.CpModel()
        self.depth = [self.model.new_int_var(0, self.deep, f"depth{r}") for r in range(ROWS)]
        self.among = range(len(self.cases))
        self.place = [self._place(i) for i in self.among]
        for i in self.among:
            for j in range(i):
                self._apart(i, j)
        self.shares = {
            (i, j): self._share(i, j) for i in self.among for j in self.among if self._may(i, j)
        }
        for i in self.among:
            self._stands(i)
        for j in self.among:
            self._bears(j)
        self._drops()
        self.model.minimize(sum(self.depth))

    def _place(self, i: int) -> dict[str, Any]:
        case, new = self.cases[i], self.model
        turned = new.new_bool_var(f"turned{i}")
        if not case["turn"]:
            new.add(turned == 0)
        across = new.new_int_var(0, self.deep, f"w{i}")
        along = new.new_int_var(0, self.deep, f"d{i}")
        short, long = case["width"], case["length"]
        new.add(across == short + (long - short) * turned)
        new.add(along == long + (short - long) * turned)
        x = new.new_int_var(0, self.wide, f"x{i}")
        y = new.new_int_var(0, self.deep, f"y{i}")
        new.add(x + across <= self.wide)
        up = new.new_bool_var(f"up{i}")
        if not case["rides"]:
            new.add(up == 0)
        new.add(y == 0).only_enforce_if(up.negated())
        rows = [new.new_bool_var(f"row{i},{r}") for r in range(ROWS)]
        new.add_exactly_one(rows)
        for r, here in enumerate(rows):
            new.add(y + along <= self.depth[r]).only_enforce_if(here)
        return {"x": x, "y": y, "w": across, "d": along, "up": up, "rows": rows, "turned": turned}

    def _apart(self, i: int, j: int) -> None:
        """Keep two cases of one row and one level beside each other."""
        one, other, new = self.place[i], self.place[j], self.model
        ways = [new.new_bool_var(f"apart{i},{j},{k}") for k in range(6)]
        new.add(one["x"] + one["w"] <= other["x"]).only_enforce_if(ways[0])
        new.add(other["x"] + other["w"] <= one["x"]).only_enforce_if(ways[1])
        new.add(one["y"] + one["d"] <= other["y"]).only_enforce_if(ways[2])
        new.add(other["y"] + other["d"] <= one["y"]).only_enforce_if(ways[3])
        new.add(one["up"] != other["up"]).only_enforce_if(ways[4])
        for here, there in zip(one["rows"], other["rows"], strict=True):
            new.add_bool_or(here.negated(), there.negated()).only_enforce_if(ways[5])
        new.add_bool_or(ways)

    def _may(self, i: int, j: int) -> bool:
        upper, lower = self.cases[i], self.cases[j]
        bears = "lid_load" in lower and not lower["rides"] and upper["drop"] <= lower["drop"]
        return bool(upper["rides"] and i != j and bears)

    def _share(self, i: int, j: int) -> Any:
        """Return how much of the width of a rider lies over a lid."""
        rider, lid, new = self.place[i], self.place[j], self.model
        over = new.new_int_var(0, self.wide, f"over{i},{j}")
        some = new.new_bool_var(f"some{i},{j}")
        new.add(over == 0).only_enforce_if(some.negated())
        new.add(over <= rider["x"] + rider["w"] - lid["x"]).only_enforce_if(some)
        new.add(over <= lid["x"] + lid["w"] - rider["x"]).only_enforce_if(some)
        new.add(over <= rider["w"])
        new.add(over <= lid["w"])
        new.add(rider["y"] + rider["d"] <= lid["d"]).only_enforce_if(some)
        new.add_implication(some, rider["up"])
        for here, there in zip(rider["rows"], lid["rows"], strict=True):
            new.add_implication(some, there).only_enforce_if(here)
        return over

    def _stands(self, i: int) -> None:
        """Let a rider be carried over its whole width, by lids that may lie lower than its turn."""
        over = [share for (rider, _), share in self.shares.items() if rider == i]
        self.model.add(sum(over) == self.place[i]["w"]).only_enforce_if(self.place[i]["up"])
        if self.cases[i]["mass"] > self.rules["rider_mass"]:
            self.model.add(self.place[i]["up"] == 0)

    def _bears(self, j: int) -> None:
        """Keep the load of a lid within its limit; a rider presses by the width that is over it."""
        sides = [case[side] for case in self.cases for side in ("length", "width")]
        common = lcm(*sides)
        load = []
        for (i, lid), share in self.shares.items():
            if lid != j:
                continue
            case, turned = self.cases[i], self.place[i]["turned"]
            for way, across in ((turned.negated(), case["width"]), (turned, case["length"])):
                part = self.model.new_int_var(0, self.wide, f"part{i},{j},{across}")
                self.model.add(part == share).only_enforce_if(way)
                self.model.add(part == 0).only_enforce_if(way.negated())
                load.append(case["mass"] * common // across * part)
        if load:
            self.model.add(sum(load) <= common * self.cases[j]["lid_load"])

    def _drops(self) -> None:
        """Keep drops in order from the bulkhead, at most two neighbours in a row."""
        late = [self.model.new_int_var(1, 3, f"late{r}") for r in range(ROWS)]
        early = [self.model.new_int_var(1, 3, f"early{r}") for r in range(ROWS)]
        for i in self.among:
            for r, here in enumerate(self.place[i]["rows"]):
                self.model.add(late[r] >= self.cases[i]["drop"]).only_enforce_if(here)
                self.model.add(early[r] <= self.cases[i]["drop"]).only_enforce_if(here)
        for r in range(ROWS):
            self.model.add(late[r] - early[r] <= 1)
            self.model.add(late[r] >= early[r])
            if r:
                self.model.add(late[r] <= early[r - 1])

    def shortest(self) -> int:
        """Return the least sum of depths; it must be proven."""
        return least(self.model)


if __name__ == "__main__":
    for line in sys.stdin:
        print(Model(json.loads(line)).shortest(), flush=True)
