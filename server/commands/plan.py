"""`python3 server plan SHOW.json`: plan a show file without a database."""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from server.commands.interrupts import stop_on_interrupt
from server.trouble import BadInput

if TYPE_CHECKING:
    from server.core.planner.problem.answer import NoPlan
    from server.core.shop.plan import Plan
    from server.core.shop.show import Show


def few(text: str) -> int:
    """Read how many alternatives are asked."""
    value = int(text)
    if not 1 <= value <= 20:
        raise argparse.ArgumentTypeError(f"expected 1 to 20, got {text}")
    return value


def share(text: str) -> float:
    """Read a share of a mass."""
    value = float(text)
    if not 0 <= value <= 1:
        raise argparse.ArgumentTypeError(f"expected a share from 0 to 1, got {text}")
    return value


def length(text: str) -> float:
    """Read a length of zero or more."""
    value = float(text)
    if not 0 <= value <= 1_000:
        raise argparse.ArgumentTypeError(f"expected a length from 0 to 1000, got {text}")
    return value


OTHER_WAYS: Final[dict[str, dict[str, Any]]] = {
    "--from": {
        "dest": "before",
        "type": Path,
        "metavar": "PLAN.json",
        "help": "plan from this plan on, with as few moves as possible",
    },
    "--proof": {
        "type": Path,
        "metavar": "FILE",
        "help": "write a certificate for `prove`; only what it shows is then called proven",
    },
    "--loaded": {
        "type": Path,
        "metavar": "FILE",
        "help": 'with --from, what stands loaded: {"T1": 3} (rows from the bulkhead), '
        '{"T1": [1, 2]} or a list of codes; those rows stay as they are',
    },
    "--alternatives": {
        "type": few,
        "metavar": "N",
        "help": "up to N longer plans with fewer lifts and turns",
    },
    "--robust": {
        "action": "store_true",
        "help": "rows that close when cases are off, and what that costs in floor",
    },
    "--row-tolerance": {
        "type": length,
        "metavar": "LENGTH",
        "help": "with --robust: room in each row, in the show's unit (half an inch)",
    },
    "--mass-tolerance": {
        "type": share,
        "metavar": "SHARE",
        "help": "with --robust: of a mass that was never weighed (0.1)",
    },
}


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("show", type=Path, nargs="?", metavar="SHOW.json")
    parser.add_argument("--json", action="store_true", help="print the plan file")
    parser.add_argument("--seconds", type=seconds, default=10.0, help="longest search (10)")
    parser.add_argument("--seed", type=int, default=0, help="same seed, same plan (0)")
    parser.add_argument("--svg", type=Path, metavar="DIR", help="draw every row into this folder")
    parser.add_argument("--pdf", type=Path, metavar="FILE", help="one page for each vehicle")
    parser.add_argument("--progress", action="store_true", help="say each better plan as it comes")
    for name, given in OTHER_WAYS.items():
        parser.add_argument(name, **given)
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
    if sum(map(bool, (args.before, args.alternatives, args.robust, args.proof))) > 1:
        ways = "--from, --alternatives, --robust and --proof"
        raise BadInput("plan", f"one of {ways}", "several")
    for asked, way in (
        (args.before, replan_and_print),
        (args.robust, robust_and_print),
        (args.alternatives, choices_and_print),
    ):
        if asked:
            return way(show, args)
    if args.proof:
        return prove_and_print(show, args)
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
        from server.commands.judge import open_questions
        from server.files.plan_file import write_plan
        from server.files.refused import write_refused

        document = write_plan(plan, show.units) | (extra or {})
        if asks := list(open_questions(show, plan)):
            document["asks"] = asks
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


def prove_and_print(show: Show, args: argparse.Namespace) -> int:
    """Plan, and write what a certificate shows of the answer; 0 all go, 1 not."""
    from server.core.planner.bounds.certify import certify, with_certificate
    from server.core.planner.problem.answer import NoPlan
    from server.files.proof_file import show_digest, write_proof
    from server.files.show_file import read_json

    plan, refusal = solve_show(show, args)
    end = time.perf_counter() + max(5.0, args.seconds)
    certificate = certify(show, refusal or plan, lambda: time.perf_counter() > end)
    answer = with_certificate(refusal or plan, certificate)
    refusal = answer if isinstance(answer, NoPlan) else None
    plan = plan if isinstance(answer, NoPlan) else answer
    document = write_proof(certificate.claims, certificate.duals, show_digest(read_json(args.show)))
    args.proof.write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")
    write_drawings(show, plan, args)
    print_plan(show, plan, refusal, args)
    kinds = ", ".join(claim.kind for claim in certificate.claims) or "nothing"
    text = f"certificate in {args.proof}: {kinds}"
    print(text, file=sys.stderr if args.json else sys.stdout)
    return 0 if refusal is None else 1


def robust_and_print(show: Show, args: argparse.Namespace) -> int:
    """Plan with room for error; 0 all go so, 1 not."""
    from server.commands.plan_choices import robust_document, robust_of, robust_words

    made = robust_of(show, args)
    write_drawings(show, made.plan, args)
    extra = {"robust": robust_document(show, made, args)}
    print_plan(show, made.plan, made.refusal, args, extra)
    words = "\n".join([robust_words(show, made), *made.faults])
    print(words, file=sys.stderr if args.json else sys.stdout)
    return 0 if made.refusal is None and not made.faults else 1


def choices_and_print(show: Show, args: argparse.Namespace) -> int:
    """Plan several ways; 0 all go, 1 not."""
    from server.commands.plan_choices import choices_document, choices_words
    from server.core.planner.alternatives.choices import alternatives
    from server.core.planner.problem.answer import NoPlan

    found = alternatives(show, args.alternatives, seconds=args.seconds, seed=args.seed)
    if isinstance(found, NoPlan):
        print_plan(show, found.best, found, args)
        return 1
    write_drawings(show, found[0].plan, args)
    print_plan(show, found[0].plan, None, args, {"alternatives": choices_document(show, found)})
    print(choices_words(show, found), file=sys.stderr if args.json else sys.stdout)
    return 0


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
            left = f", {len(plan.left_out)} cases left out" if plan.left_out else ""
            print(f"{spent:6.2f} s  {floor:g} {show.units.length}{left}", file=sys.stderr)

    with stop_on_interrupt() as stopped:
        answer = solve(show, args.seconds, args.seed, say, stopped)
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
