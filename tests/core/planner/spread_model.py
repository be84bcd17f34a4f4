"""Whether riders fit on lids side by side, by a constraint model that shares no code with ours.

Reads [[lids as width, depth], [riders]] as JSON lines and prints `fits` or `not` for each. It runs
in a process of its own: CP-SAT brings a copy of the planner's solver library.
"""

from __future__ import annotations

import json
import sys

from ortools.sat.python import cp_model

from tests.core.planner.cp_sat import prove


def fits(lids: list[list[int]], riders: list[list[int]]) -> bool:
    """Return whether every rider finds a place; what no lid reaches is filled with blocks."""
    model = cp_model.CpModel()
    wide, deep = sum(width for width, _ in lids), max(depth for _, depth in lids)
    across, along, start = [], [], 0
    for width, depth in lids:
        if depth < deep:
            across.append(model.new_fixed_size_interval_var(start, width, f"block{start}"))
            along.append(model.new_fixed_size_interval_var(depth, deep - depth, f"above{start}"))
        start += width
    for number, (one, other) in enumerate(riders):
        turned = model.new_bool_var(f"turned{number}")
        x = model.new_int_var(0, wide, f"x{number}")
        y = model.new_int_var(0, deep, f"y{number}")
        dx, dy = one + (other - one) * turned, other + (one - other) * turned
        right, top = (
            model.new_int_var(0, wide, f"r{number}"),
            model.new_int_var(0, deep, f"t{number}"),
        )
        across.append(model.new_interval_var(x, dx, right, f"across{number}"))
        along.append(model.new_interval_var(y, dy, top, f"along{number}"))
    model.add_no_overlap_2d(across, along)
    return prove(model) is not None


if __name__ == "__main__":
    for line in sys.stdin:
        print("fits" if fits(*json.loads(line)) else "not", flush=True)
