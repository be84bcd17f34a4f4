"""`plan SHOW --alternatives N` and `plan SHOW --robust`: choices and room for error, in words."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from server.core.base.units import from_um, to_um

if TYPE_CHECKING:
    from server.core.planner.alternatives.choices import Choice
    from server.core.planner.alternatives.tolerance import Robust
    from server.core.shop.show import Show


def robust_of(show: Show, args: argparse.Namespace) -> Robust:
    """Plan with room for error."""
    from server.core.planner.alternatives.tolerance import MASS_SHARE, ROW_UM, plan_robust

    given = args.row_tolerance
    return plan_robust(
        show,
        seconds=args.seconds,
        row_um=ROW_UM if given is None else to_um(given, show.units.length),
        mass_share=MASS_SHARE if args.mass_tolerance is None else args.mass_tolerance,
    )


def robust_document(show: Show, made: Robust, args: argparse.Namespace) -> dict[str, Any]:
    """Return what room for error costs, as the plan file has it."""
    from server.core.planner.alternatives.tolerance import MASS_SHARE, ROW_UM

    unit, given = show.units.length, args.row_tolerance
    return {
        "row_tolerance": from_um(ROW_UM, unit) if given is None else given,
        "mass_tolerance": MASS_SHARE if args.mass_tolerance is None else args.mass_tolerance,
        "floor_more": None if made.cost_um is None else from_um(made.cost_um, unit),
        "tight_rows": [{"vehicle": vehicle, "row": row} for vehicle, row in made.tight],
    }


def robust_words(show: Show, made: Robust) -> str:
    """Return in words what room for error costs and which rows have none without it."""
    if made.cost_um is None:
        cost = "room for error: not everything goes with it"
    else:
        more = round(from_um(made.cost_um, show.units.length), 2)
        cost = f"room for error costs {more:g} {show.units.length} of floor"
    rows = ", ".join(f"row {row} of {vehicle}" for vehicle, row in made.tight)
    tight = f"the shortest plan closes only with exact sides in {rows}" if rows else (
        "the shortest plan has that room in every row"
    )  # fmt: skip
    return f"{cost}; {tight}"


def choices_words(show: Show, choices: list[Choice]) -> str:
    """Return the choices as lines: floor, lifts, turns, what the floor more saves."""
    first = choices[0]
    lines = []
    for number, one in enumerate(choices):
        floor = round(from_um(one.plan.floor_length_um, show.units.length), 2)
        text = f"  {number}: {floor:g} {show.units.length} of floor"
        text += f", {one.effort.lifts} lifts, {one.effort.turns} turned on end or side"
        if number:
            more = from_um(one.plan.floor_length_um - first.plan.floor_length_um, show.units.length)
            saved = first.effort.total - one.effort.total
            text += f": {round(more, 2):g} {show.units.length} more floor saves {saved}"
        lines.append(text)
    easier = "" if len(choices) > 1 else " (no easier plan found)"
    return "\n".join([f"choices{easier}:", *lines])


def choices_document(show: Show, choices: list[Choice]) -> list[dict[str, Any]]:
    """Return the choices as the plan file has them, the shortest first."""
    from server.files.plan_file import write_plan

    return [
        {
            "floor_length": from_um(one.plan.floor_length_um, show.units.length),
            "lifts": one.effort.lifts,
            "turns": one.effort.turns,
            "plan": write_plan(replace(one.plan, revision=number), show.units),
        }
        for number, one in enumerate(choices, start=1)
    ]
