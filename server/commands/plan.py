"""`python3 server plan SHOW.json`: plan a show file without a database."""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from server.trouble import BadInput

if TYPE_CHECKING:
    from server.core.planner.problem.answer import NoPlan
    from server.core.shop.plan import Plan
    from server.core.shop.show import Show


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("show", type=Path, nargs="?", metavar="SHOW.json")
    parser.add_argument("--json", action="store_true", help="print the plan file")
    parser.add_argument("--seconds", type=seconds, default=10.0, help="longest search (10)")
    parser.add_argument("--seed", type=int, default=0, help="same seed, same plan (0)")
    parser.add_argument("--svg", type=Path, metavar="DIR", help="draw every row into this folder")
    parser.add_argument("--pdf", type=Path, metavar="FILE", help="one page for each vehicle")
    parser.add_argument("--progress", action="store_true", help="say each better plan as it comes")
    parser.add_argument("--from", dest="before", type=Path, metavar="PLAN.json",
                        help="plan from this plan on, with as few moves as possible")  # fmt: skip
    parser.add_argument("--loaded", type=Path, metavar="FILE",
                        help='what stands loaded: {"T1": 3}, {"T1": [1, 2]} or a list of codes; '
                        "those rows stay (with --from)")  # fmt: skip
    parser.add_argument("--schema", action="store_true", help="print the schema of a show file")


def seconds(text: str) -> float:
    """Read a number of seconds above zero."""
    value = float(text)
    if not 0 < value <= 86_400:
        raise argparse.ArgumentTypeError(f"expected seconds above 0, got {text}")
    return value


def run(args: argparse.Namespace) -> int:
    """Plan a show file; 0 all go, 1 not all."""
    if args.schema:
        from server.files.schemas import schema_of

        print(json.dumps(schema_of("show"), indent=1))
        return 0
    if args.show is None:
        raise BadInput("plan", "SHOW.json (or --schema)", "nothing")
    from server.files.show_file import read_show

    show = read_show(args.show)
    if args.loaded and not args.before:
        raise BadInput("--loaded", "--from PLAN.json with it", "none")
    if args.before:
        return replan_and_print(show, args)
    plan, refusal = solve_show(show, args)
    write_drawings(show, plan, args)
    print_plan(show, plan, refusal, args)
    return 0 if refusal is None else 1


def print_plan(
    show: Show,
    plan: Plan,
    refusal: NoPlan | None,
    args: argparse.Namespace,
    extra: dict[str, Any] | None = None,
) -> None:
    """Print a plan as a table or as a plan file with `extra` keys."""
    if args.json:
        from server.files.plan_file import write_plan
        from server.files.refused import write_refused

        document = write_plan(plan, show.units) | (extra or {})
        if refusal is not None:
            document["refused"] = write_refused(refusal, show.units)
        print(json.dumps(document, indent=1))
    else:
        from server.commands.plan_table import plan_table

        print(plan_table(show, plan, refusal))


def replan_and_print(show: Show, args: argparse.Namespace) -> int:
    """Plan from a plan on; 0 all go and the judge agrees, 1 not."""
    from server.commands.replan import moves_document, moves_table, replan_show

    made = replan_show(show, args)
    write_drawings(show, made.plan, args)
    print_plan(show, made.plan, made.refusal, args, {"moves": moves_document(made)})
    text = moves_table(made)
    print(text, file=sys.stderr if args.json else sys.stdout)
    return 0 if made.refusal is None and not made.faults else 1


def solve_show(show: Show, args: argparse.Namespace) -> tuple[Plan, NoPlan | None]:
    """Plan, with the time taken written in; say better plans on the way if asked."""
    from dataclasses import replace

    from server.core.base.units import from_um
    from server.core.planner.problem.answer import NoPlan
    from server.core.planner.solve import solve

    begun = time.perf_counter()

    def say(plan: Plan) -> None:
        if args.progress:
            floor = from_um(plan.floor_length_um, show.units.length)
            spent = time.perf_counter() - begun
            print(f"{spent:6.2f} s  {floor:g} {show.units.length}", file=sys.stderr)

    answer = solve(show, seconds=args.seconds, seed=args.seed, on_progress=say)
    spent = time.perf_counter() - begun
    if isinstance(answer, NoPlan):
        return replace(answer.best, seconds=spent), answer
    return replace(answer, seconds=spent), None


def write_drawings(show: Show, plan: Plan, args: argparse.Namespace) -> None:
    """Write the SVG files and the PDF that were asked for."""
    if args.svg:
        from server.drawing.rows_svg import draw_plan

        args.svg.mkdir(parents=True, exist_ok=True)
        for name, text in draw_plan(show, plan).items():
            (args.svg / name).write_text(text, encoding="utf-8")
    if args.pdf:
        from server.drawing.rows_pdf import plan_pdf

        args.pdf.write_bytes(plan_pdf(show, plan))
