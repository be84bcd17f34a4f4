"""Shortest rows of small shows by a constraint model that shares no code with the planner.

Reads show documents as JSON lines from standard input and prints the least floor length of each,
in inches. It runs in a process of its own: CP-SAT brings a copy of the planner's solver library,
and one process cannot hold both.
"""

from __future__ import annotations

import json
import sys
from typing import Any

from ortools.sat.python import cp_model

from tests.core.planner.cp_sat import least


def sides(case: dict[str, Any]) -> list[tuple[int, int]]:
    """Return (across, along) not turned, then turned if that is allowed."""
    plain = (case["width"], case["length"])
    return [plain, plain[::-1]] if case["turn"] else [plain]


def rides_on(rider: dict[str, Any], host: dict[str, Any], rules: dict[str, Any]) -> bool:
    """Return whether the rules let a case ride on another, footprints apart."""
    if not rider["rides"] or host["rides"] or "lid_load" not in host:
        return False
    return bool(
        rider["mass"] <= min(host["lid_load"], rules["rider_mass"])
        and rider["drop"] <= host["drop"]
        and host["height"] + rider["height"] <= rules["lift_top"]
    )


class Model:
    """Each case stands in one row in one turn, or rides on one lid."""

    def __init__(self, show: dict[str, Any]) -> None:
        self.cases, self.rules = show["cases"], show["rules"]
        self.width = show["vehicles"][0]["width"]
        self.rows = range(len(self.cases))
        self.model = cp_model.CpModel()
        self.depth = [self.model.new_int_var(0, 60, f"depth{r}") for r in self.rows]
        self.stands: dict[tuple[int, int, int], Any] = {}
        self.inside: dict[tuple[int, int], list[Any]] = {}
        for i in self.rows:
            for r in self.rows:
                self._stand(i, r)
        for j in self.rows:
            self._lid(j)
        self._rows()
        self.model.minimize(sum(self.depth))

    def _stand(self, i: int, r: int) -> None:
        self.inside[i, r] = []
        for o, (_, along) in enumerate(sides(self.cases[i])):
            one = self.stands[i, r, o] = self.model.new_bool_var(f"s{i},{r},{o}")
            self.inside[i, r].append(one)
            self.model.add(self.depth[r] >= along).only_enforce_if(one)

    def _lid(self, j: int) -> None:
        """Let at most one rider stand on a lid, in the row and turn of the case below."""
        lid = []
        for i in self.rows:
            if not rides_on(self.cases[i], self.cases[j], self.rules):
                continue
            for r in self.rows:
                for o, (across, along) in enumerate(sides(self.cases[j])):
                    if any(w <= across and d <= along for w, d in sides(self.cases[i])):
                        on = self.model.new_bool_var(f"on{i},{j},{r},{o}")
                        self.model.add_implication(on, self.stands[j, r, o])
                        self.inside[i, r].append(on)
                        lid.append(on)
        self.model.add_at_most_one(lid)

    def _stays(self, i: int) -> list[Any]:
        """Return what lets a case stay behind: nothing does."""
        del i
        return []

    def _rows(self) -> None:
        """Keep rows within the width, drops in order and at most two neighbours in a row."""
        late = [self.model.new_int_var(1, 3, f"late{r}") for r in self.rows]
        early = [self.model.new_int_var(1, 3, f"early{r}") for r in self.rows]
        for i in self.rows:
            where = [one for r in self.rows for one in self.inside[i, r]]
            self.model.add_exactly_one(where + self._stays(i))
            for r in self.rows:
                for one in self.inside[i, r]:
                    self.model.add(late[r] >= self.cases[i]["drop"]).only_enforce_if(one)
                    self.model.add(early[r] <= self.cases[i]["drop"]).only_enforce_if(one)
        for r in self.rows:
            taken = [
                across * self.stands[i, r, o]
                for i in self.rows
                for o, (across, _) in enumerate(sides(self.cases[i]))
            ]
            self.model.add(sum(taken) <= self.width)
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
