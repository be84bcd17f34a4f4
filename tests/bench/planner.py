"""`python3 tests bench planner [--json]`: how short the rows are, how sure, and how soon.

Groups: outside instances with their proven row optimum (beside the checkout), random shows by
seed, three trailers, planning again in mid-load, what to leave (proven: no smaller set would do).
`--rules all|planted`: shows in which every rule may bind (`--rules all --help`).
`--small N`: N shows of four to eight cases against an exhaustive optimum (`--small 1 --help`).
Every plan is judged. Exit status 1 when a target is missed; targets are those of the project, on
one core of a machine with nothing else to do.
"""

from __future__ import annotations

import argparse
import json
import resource
import sys
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Final

from server.core.base.units import UM_PER
from tests.bench import rules
from tests.bench.outside import DATA, strips, thpack
from tests.bench.planner_leave import measure_all
from tests.bench.planner_measure import Measured, Summary, measure, sum_up
from tests.bench.planner_replan import measure_replan
from tests.bench.show_generator import make_show, make_tour
from tests.oracle import compare

# cases → seconds allowed, share proven (%), mean gap (%), seconds to the first plan
TARGETS: Final = {
    20: (5.0, 100.0, 0.0, 0.2),
    60: (5.0, 95.0, 0.15, 0.2),
    120: (10.0, 85.0, 0.15, 0.2),
    300: (20.0, 50.0, 0.3, 0.5),
}
OUTSIDE_SECONDS: Final = 2.0
CM: Final = int(UM_PER["cm"])
MEMORY_MB: Final = 600
PARTS: Final = ("outside", "20", "60", "120", "300", "trailers", "replan", "leave")


def main(argv: Sequence[str]) -> int:
    """Run the parts asked for; print a table or JSON."""
    if any(word.startswith("--rules") for word in argv):  # shows in which every rule may bind
        return rules.main(argv)
    if "--small" in argv:  # small shows against an exhaustive optimum, with options of their own
        return compare.main(argv)
    parser = argparse.ArgumentParser(prog="python3 tests bench planner", description=__doc__)
    parser.add_argument("parts", nargs="*", metavar="PART", help=", ".join(PARTS))
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--seeds", type=int, default=30, help="random shows of each size (30)")
    parser.add_argument("--instances", type=int, default=20, help="of each outside class (20)")
    parser.add_argument(
        "--slower",
        type=float,
        default=1.0,
        metavar="TIMES",
        help="stretch the seconds allowed on a machine that has other work (1)",
    )
    parser.add_argument("--each", action="store_true", help="say each show as it is done")
    args = parser.parse_args(argv)
    unknown = [part for part in args.parts if part not in PARTS]
    if unknown:
        parser.error(f"{unknown[0]}: expected a part out of {', '.join(PARTS)}")
    found = []
    for one in _run(args.parts or PARTS, args.seeds, args.instances, args.slower):
        found.append(one)
        if args.each:
            print(_line(one), file=sys.stderr, flush=True)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    summaries = sum_up(found)
    missed = [miss for one in summaries for miss in misses(one)]
    if memory > MEMORY_MB:
        missed.append(f"memory {memory} MB, target {MEMORY_MB} MB")
    if args.json:
        report = {
            "groups": [asdict(one) for one in summaries],
            "memory_mb": memory,
            "missed": missed,
        }
        print(json.dumps(report, indent=1))
    else:
        print(table(summaries, memory, missed))
    return 1 if missed else 0


def _run(parts: Sequence[str], seeds: int, instances: int, slower: float) -> Iterator[Measured]:
    for part in parts:
        if part == "outside":
            if DATA.is_dir():
                yield from _outside(instances, OUTSIDE_SECONDS * slower)
            else:
                print("outside data is not beside the checkout: left out", file=sys.stderr)
        elif part == "trailers":
            for seed in range(max(1, seeds // 6)):
                yield measure(
                    f"tour-{seed}", "3 trailers, 300", make_tour(300, seed), 20.0 * slower
                )
        elif part == "replan":
            for seed in range(max(1, seeds // 3)):
                yield from measure_replan(seed)
        elif part == "leave":
            yield from measure_all(max(1, seeds // 3), 10.0 * slower)
        else:
            cases = int(part)
            for seed in range(seeds):
                show = make_show(cases, seed)
                seconds = TARGETS[cases][0] * slower
                yield measure(f"{cases}-{seed}", f"{cases} cases", show, seconds)


def _outside(instances: int, seconds: float) -> Iterator[Measured]:
    for known in strips():
        best = round(known.best * CM)
        yield measure(known.name, known.group, known.show, seconds, best)
    for known in thpack():
        if int(known.name.partition("-")[2]) <= instances:
            best = round(known.best * CM)
            yield measure(known.name, known.group, known.show, seconds, best)


def misses(one: Summary) -> list[str]:
    """Return the targets that a group misses, in words."""
    found = []
    if one.faults:
        found.append(f"{one.group}: {one.faults} plans not lawful or not whole")
    if one.above_greedy:
        found.append(f"{one.group}: {one.above_greedy} plans longer than the greedy one")
    if one.met is not None:
        share = 90.0 if one.group in {"BR4", "BR5", "BR6", "BR7"} else 100.0
        if one.met < share:
            found.append(f"{one.group}: optimum met on {one.met:.0f} %, target {share:.0f} %")
        if (one.excess or 0) > 0.1:
            found.append(f"{one.group}: mean excess {one.excess:.3f} %, target 0.1 %")
    cases = one.group.removesuffix(" cases")
    if cases != one.group:
        _, proven, gap, first = TARGETS[int(cases)]
        if one.proven < proven:
            found.append(f"{one.group}: proven on {one.proven:.0f} %, target {proven:.0f} %")
        if one.gap > gap:
            found.append(f"{one.group}: mean gap {one.gap:.3f} %, target {gap} %")
        if one.first > first:
            found.append(f"{one.group}: first plan after {one.first:.2f} s, target {first} s")
    return found


def table(summaries: Sequence[Summary], memory: int, missed: Sequence[str]) -> str:
    """Return the groups as a table for people."""
    heads = f"{'group':18}{'shows':>6}{'proven':>9}{'gap':>9}{'met':>7}{'excess':>9}"
    lines = [heads + f"{'first':>8}{'wall':>8}{'cpu':>8}"]
    for one in summaries:
        met = "" if one.met is None else f"{one.met:.0f} %"
        excess = "" if one.excess is None else f"{one.excess:.3f} %"
        lines.append(
            f"{one.group:18}{one.shows:6d}{one.proven:7.0f} %{one.gap:7.3f} %{met:>7}{excess:>9}"
            f"{one.first:6.2f} s{one.wall:6.2f} s{one.processor:6.2f} s"
        )
    lines.append(f"largest memory {memory} MB; every plan judged")
    lines += [f"missed: {one}" for one in missed] or ["every target met"]
    return "\n".join(lines)


def _line(one: Measured) -> str:
    state = "proven" if one.proven else f"gap {one.gap:.2f} %"
    known = "" if one.best is None else f", known best {one.best / CM:g} cm"
    return f"{one.name}: {one.floor / 25_400:g} in, {state}, {one.wall:.2f} s{known} {one.faults}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
