"""`python3 server judge SHOW.json PLAN.json`: every broken rule in words."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from server.core.shop.plan import Plan
    from server.core.shop.show import Show


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("show", type=Path, metavar="SHOW.json")
    parser.add_argument("plan", type=Path, metavar="PLAN.json")
    parser.add_argument("--json", action="store_true", help="answer as JSON")
    parser.add_argument(
        "--restraint", action="store_true", help="also what holds each stack in six directions"
    )


def run(args: argparse.Namespace) -> int:
    """Judge a plan; 0 lawful, 1 not. What is not known is asked for beside, and faults nothing."""
    from server.core.judge import judge
    from server.files.plan_file import parse_plan
    from server.files.show_file import read_json, read_show

    show = read_show(args.show)
    plan = parse_plan(read_json(args.plan), str(args.plan))
    faults = judge(show, plan)
    open_ = tuple(open_questions(show, plan))
    held = list(_restraint(show, plan)) if args.restraint else []
    if args.json:
        said = {"lawful": not faults, "faults": list(faults), "asks": list(open_)}
        if args.restraint:
            said["restraint"] = held
        print(json.dumps(said, indent=1))
    elif faults:
        print("\n".join(faults))
    else:
        left = f", {len(plan.left_out)} left out" if plan.left_out else ""
        print(f"lawful: {len(show.cases)} cases{left}, {len(plan.vehicles)} vehicle(s)")
    if open_ and not args.json:
        print("\n".join(f"ask: {line}" for line in open_))
    for one in [] if args.json else held:
        print(f"{one['vehicle']} row {one['row']}, {', '.join(one['codes'])}:")
        print("\n".join(f"  {hold['say']}" for hold in one["holds"]))
    return 1 if faults else 0


def _restraint(show: Show, plan: Plan) -> Iterator[dict[str, Any]]:
    """Yield each stack with what holds it, as calculated and then judged from places alone."""
    from dataclasses import asdict

    from server.core.judge.restraint import false_claims
    from server.core.judge.scene import Scene
    from server.core.securing.directions import stack_holds

    called = {case.code: case for case in show.cases}
    for one in plan.vehicles:
        holds = stack_holds(show, one)
        claims = {
            hold.codes[0]: [(each.direction, each.by) for each in hold.holds if each.held]
            for hold in holds
        }
        scene = Scene(show, show.vehicle(one.vehicle), one, called)
        doubts = tuple(false_claims(scene, claims))
        for hold in holds:
            found = {"vehicle": one.vehicle, "row": hold.row, "codes": list(hold.codes)}
            told = [asdict(each) for each in hold.holds]
            false = [line for line in doubts if line.startswith(f"{hold.codes[0]}: ")]
            yield {**found, "holds": told, "false": false}


def open_questions(show: Show, plan: Plan) -> Iterator[str]:
    """Yield what plates are to be read and cases to be weighed, vehicle by vehicle."""
    from server.core.judge.at_worst import lids_at_worst
    from server.core.weight.asks import asks

    called = {case.code: case for case in show.cases}
    rooms = {vehicle.id: vehicle for vehicle in show.vehicles}
    for one in plan.vehicles:
        places = [place for place in one.places() if place.code in called]
        if one.vehicle in rooms:
            for line in asks(rooms[one.vehicle], places, called, show.units):
                yield f"{one.vehicle}: {line}"
    yield from lids_at_worst(show, plan)
