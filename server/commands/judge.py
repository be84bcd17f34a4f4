"""`python3 server judge SHOW.json PLAN.json`: every broken rule in words."""

from __future__ import annotations

import argparse
import json
from pathlib import Path


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("show", type=Path, metavar="SHOW.json")
    parser.add_argument("plan", type=Path, metavar="PLAN.json")
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(args: argparse.Namespace) -> int:
    """Judge a plan; 0 lawful, 1 not."""
    from server.core.judge import judge
    from server.files.plan_file import parse_plan
    from server.files.show_file import read_json, read_show

    show = read_show(args.show)
    plan = parse_plan(read_json(args.plan), str(args.plan))
    faults = judge(show, plan)
    if args.json:
        print(json.dumps({"lawful": not faults, "faults": list(faults)}, indent=1))
    elif faults:
        print("\n".join(faults))
    else:
        left = f", {len(plan.left_out)} left out" if plan.left_out else ""
        print(f"lawful: {len(show.cases)} cases{left}, {len(plan.vehicles)} vehicle(s)")
    return 1 if faults else 0
