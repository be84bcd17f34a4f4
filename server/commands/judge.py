"""`python3 server judge SHOW.json PLAN.json`: every broken rule in words."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from server.core.shop.plan import Plan
    from server.core.shop.show import Show


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("show", type=Path, metavar="SHOW.json")
    parser.add_argument("plan", type=Path, metavar="PLAN.json")
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(args: argparse.Namespace) -> int:
    """Judge a plan; 0 lawful, 1 not. What is not known is asked for beside, and faults nothing."""
    from server.core.judge import judge
    from server.files.plan_file import parse_plan
    from server.files.show_file import read_json, read_show

    show = read_show(args.show)
    plan = parse_plan(read_json(args.plan), str(args.plan))
    faults = judge(show, plan)
    open_ = tuple(_asks(show, plan))
    if args.json:
        said = {"lawful": not faults, "faults": list(faults), "asks": list(open_)}
        print(json.dumps(said, indent=1))
    elif faults:
        print("\n".join(faults))
    else:
        left = f", {len(plan.left_out)} left out" if plan.left_out else ""
        print(f"lawful: {len(show.cases)} cases{left}, {len(plan.vehicles)} vehicle(s)")
    if open_ and not args.json:
        print("\n".join(f"ask: {line}" for line in open_))
    return 1 if faults else 0


def _asks(show: Show, plan: Plan) -> Iterator[str]:
    """Yield what plates are to be read and cases to be weighed, vehicle by vehicle."""
    from server.core.weight.asks import asks

    called = {case.code: case for case in show.cases}
    rooms = {vehicle.id: vehicle for vehicle in show.vehicles}
    for one in plan.vehicles:
        places = [place for place in one.places() if place.code in called]
        if one.vehicle in rooms:
            for line in asks(rooms[one.vehicle], places, called, show.units):
                yield f"{one.vehicle}: {line}"
