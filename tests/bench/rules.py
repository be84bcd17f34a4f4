"""`python3 tests bench planner --rules all|planted`: shows in which every rule may bind.

The distributions stand in `rules_shows`; `planted` shows have a known optimum. Every plan passes a
judge that shares no code with the project's. Table, or JSON with --json.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from time import process_time
from typing import Any

from server.core.planner.problem import deadline
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.files.plan_file import write_plan
from server.files.show_file import parse_show
from tests.bench.rules_shows import all_rules_show, planted_show
from tests.oracle.second_judge import second_judge

Doc = dict[str, Any]
IN = 25_400
# cases → seconds allowed, share proven (%), mean gap (%)
TARGETS = {
    20: (1.0, 100.0, 0.0),
    60: (5.0, 95.0, 0.1),
    120: (10.0, 85.0, 0.15),
    300: (20.0, 60.0, 0.3),
}


@dataclass(frozen=True)
class Answered:
    """One show and what came of it; lengths in inches, times in seconds of the processor."""

    name: str
    verdict: str
    floor: float
    bound: float
    best: float | None
    first: float
    wall: float

    @property
    def gap(self) -> float:
        """How far the floor may lie above the shortest, in percent."""
        return 100 * (self.floor - self.bound) / self.floor if self.floor else 0.0


def answer(name: str, show: Doc, seconds: float, best: float | None) -> Answered:
    """Plan a show and judge the answer by the second judge."""
    core, start = parse_show(show), process_time()
    firsts: list[float] = []
    found = solve(core, seconds, on_progress=lambda _: firsts.append(process_time() - start))
    wall = process_time() - start
    plan = found.best if isinstance(found, NoPlan) else found
    faults = second_judge(show, write_plan(plan, core.units))
    if faults:
        verdict = f"UNLAWFUL: {faults[0]}"
    elif isinstance(found, NoPlan):
        verdict = "cannot go" if found.proven else "none found"
        if found.proven and best is not None:
            verdict = "FALSE cannot go"
    else:
        verdict = "proven" if plan.proven else "lawful"
        if best is not None and plan.lower_bound_um > best * IN + 2:
            verdict = "FALSE bound"
    floor, bound = plan.floor_length_um / IN, plan.lower_bound_um / IN
    return Answered(name, verdict, floor, bound, best, firsts[0] if firsts else wall, wall)


def run(
    rules: str, sizes: Sequence[int], seeds: int, slower: float
) -> Iterator[tuple[int, Answered]]:
    """Plan shows of each size."""
    for size in sizes:
        for seed in range(seeds):
            show, best = planted_show(size, seed) if rules == "planted" else (
                all_rules_show(size, seed), None)  # fmt: skip
            yield size, answer(f"{size}-{seed}", show, TARGETS[size][0] * slower, best)


def main(argv: Sequence[str]) -> int:
    """Run the sizes asked for; 1 where an answer is false or a target is missed."""
    parser = argparse.ArgumentParser(prog="python3 tests bench planner", description=__doc__)
    parser.add_argument("sizes", nargs="*", type=int, metavar="CASES", help="20, 60, 120, 300")
    parser.add_argument("--rules", choices=("all", "planted"), required=True)
    parser.add_argument("--seeds", type=int, default=30, help="shows of each size (30)")
    parser.add_argument("--slower", type=float, default=1.0, metavar="TIMES")
    parser.add_argument("--each", action="store_true", help="print each show as it is done")
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args(argv)
    sizes = args.sizes or list(TARGETS)
    if unknown := [size for size in sizes if size not in TARGETS]:
        parser.error(f"{unknown[0]}: expected 20, 60, 120 or 300 cases")
    deadline.now = process_time  # seconds of this process: other work on the machine cuts nothing
    found: list[tuple[int, Answered]] = []
    for size, one in run(args.rules, sizes, args.seeds, args.slower):
        found.append((size, one))
        if args.each:
            print(one, file=sys.stderr, flush=True)
    groups = [summary(size, [one for at, one in found if at == size]) for size in sizes]
    if args.json:
        shows = [{**asdict(one), "cases": size} for size, one in found]
        print(json.dumps({"rules": args.rules, "groups": groups, "shows": shows}, indent=1))
    else:
        print(table(groups))
    return 1 if any(group["missed"] for group in groups) else 0


def summary(size: int, some: list[Answered]) -> Doc:
    """Return one line of the table: shares in percent over the shows that have an answer."""
    seconds, proven, gap = TARGETS[size]
    gone = [one for one in some if one.verdict in ("proven", "lawful")]
    settled = [one for one in some if one.verdict in ("proven", "cannot go")]
    share = 100 * len(settled) / len(some)
    mean = sum(one.gap for one in gone) / len(gone) if gone else 0.0
    false = [f"{one.name} {one.verdict}" for one in some if one.verdict.isupper()
             or one.verdict.startswith(("FALSE", "UNLAWFUL"))]  # fmt: skip
    known = [one for one in some if one.best is not None]
    met = [one for one in known if one in gone and one.floor <= (one.best or 0) + 1e-4]
    missed = list(false)
    if share < proven:
        missed.append(f"settled {share:.0f} %, target {proven:.0f} %")
    if mean > gap:
        missed.append(f"mean gap {mean:.2f} %, target {gap} %")
    return {
        "cases": size,
        "limit": seconds,
        "shows": len(some),
        "settled": share,
        "lawful": len(gone),
        "none_found": sum(one.verdict == "none found" for one in some),
        "gap": mean,
        "met": 100 * len(met) / len(known) if known else None,
        "first": max((one.first for one in some), default=0.0),
        "wall": max((one.wall for one in some), default=0.0),
        "missed": missed,
    }


def table(groups: Sequence[Doc]) -> str:
    """Return the groups as a table for people."""
    heads = f"{'cases':>6}{'shows':>7}{'settled':>9}{'lawful':>8}{'none found':>12}{'gap':>9}"
    lines = [heads + f"{'met':>7}{'first':>9}{'slowest':>9}"]
    for one in groups:
        met = "" if one["met"] is None else f"{one['met']:.0f} %"
        lines.append(
            f"{one['cases']:6d}{one['shows']:7d}{one['settled']:7.0f} %{one['lawful']:8d}"
            f"{one['none_found']:12d}{one['gap']:7.2f} %{met:>7}{one['first']:7.2f} s"
            f"{one['wall']:7.2f} s"
        )
    lines += [f"missed ({one['cases']}): {text}" for one in groups for text in one["missed"]]
    return "\n".join(lines)
