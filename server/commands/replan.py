"""`python3 server plan SHOW --from PLAN --loaded FILE`: what moves, and what stays as it is."""

from __future__ import annotations

import argparse
import time
from dataclasses import replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from server.core.planner.replanning.replan import Replan
    from server.core.shop.show import Show


def replan_show(show: Show, args: argparse.Namespace) -> Replan:
    """Plan a show from a plan on; BadInput where the files do not belong together."""
    from server.core.planner.replanning.replan import replan
    from server.files.loaded_file import read_loaded
    from server.files.plan_file import parse_plan
    from server.files.show_file import read_json

    before = parse_plan(read_json(args.before), str(args.before))
    loaded = read_loaded(args.loaded, before) if args.loaded else {}
    begun = time.perf_counter()
    made = replan(show, before, loaded, seconds=args.seconds)
    plan = replace(made.plan, seconds=time.perf_counter() - begun)
    return replace(made, plan=plan)


def moves_document(made: Replan) -> list[dict[str, Any]]:
    """Return the moves as the plan file has them."""
    return [
        {
            "kind": move.kind,
            "code": move.code,
            "from_vehicle": move.from_vehicle,
            "from_row": move.from_row,
            "to_vehicle": move.to_vehicle,
            "to_row": move.to_row,
            "words": move.words(),
        }
        for move in made.moves
    ]


def moves_table(made: Replan) -> str:
    """Return the moves for people, and what the crew must know besides."""
    lines = [f"{len(made.moves)} moves:" if made.moves else "Nothing moves."]
    lines += [f"  {move.words()}" for move in made.moves]
    lines += [f"note: {text}" for text in (*made.notes, *made.faults)]
    return "\n".join(lines)
