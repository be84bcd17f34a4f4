"""The planner against the oracle, show by show: what is wrong, and what is merely longer."""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from server.core.base.units import Units
from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.files.plan_file import parse_plan, write_plan
from server.files.show_file import parse_show
from tests.oracle.optimum import Oracle, TooLong, Witness
from tests.oracle.second_judge import second_judge
from tests.oracle.small_shows import ALL_KINDS, kind_of, small_show

Doc = dict[str, Any]
FALSE = ("unlawful", "judges differ", "false proven", "bound above", "false cannot go")


@dataclass(frozen=True)
class Compared:
    """One show: `verdict` is what it came to, `note` the details."""

    seed: int
    kind: str
    exact: bool
    verdict: str
    seconds: float
    note: str = ""


def compare(seed: int, seconds: float, *, exact: bool = False, kind: str | None = None) -> Compared:
    """Solve a show both ways; `exact`: in a vehicle of exactly the optimum's length."""
    kind = kind or kind_of(seed)
    show = small_show(seed, kind)
    oracle = Oracle(show)
    try:
        witness = oracle.solve()
        if exact and witness is not None and len(show["vehicles"]) == 1:
            show["vehicles"][0]["length"] = witness.length / 2
            oracle = Oracle(show)
            witness = oracle.solve()
    except TooLong:
        return Compared(seed, kind, exact, "oracle too slow", 0.0)
    verdict, spent, note = _verdict(show, oracle, witness, seconds)
    return Compared(seed, kind, exact, verdict, spent, note)


def _verdict(
    show: Doc, oracle: Oracle, witness: Witness | None, seconds: float
) -> tuple[str, float, str]:
    core = parse_show(show)
    if witness is not None:
        by_hand = oracle.document(witness)
        faults = [*second_judge(show, by_hand), *judge(core, parse_plan(by_hand))]
        if faults:
            return "judges differ", 0.0, "; ".join(map(str, faults[:2]))
    begun = time.perf_counter()
    answer = solve(core, seconds)
    spent = round(time.perf_counter() - begun, 2)
    plan = answer.best if isinstance(answer, NoPlan) else answer
    faults = second_judge(show, write_plan(plan, Units("in", "lb")))
    if faults:
        return "unlawful", spent, "; ".join(faults[:2])
    if witness is None:
        return ("oracle misses a plan", spent, "") if not isinstance(answer, NoPlan) else (
            "cannot go", spent, "")  # fmt: skip
    best = witness.length / 2
    if isinstance(answer, NoPlan):
        return _refused(answer, spent, best)
    length = plan.floor_length_um / 25_400
    fewer = len(plan.vehicles) - sum(bool(rows) for _, rows in witness.rows)
    note = f"planner {length:g} in, oracle {best:g} in, vehicles {fewer:+d}"
    if fewer == 0 and plan.lower_bound_um > best * 25_400 + 2:
        return ("false proven" if plan.proven else "bound above"), spent, note
    if fewer > 0 or (fewer == 0 and length > best + 1e-4):
        return ("false proven" if plan.proven else "longer"), spent, note
    if fewer < 0 or length < best - 1e-4:
        return "shorter than the oracle", spent, note
    return ("optimal, proven" if plan.proven else "optimal"), spent, note


def _refused(answer: NoPlan, spent: float, best: float) -> tuple[str, float, str]:
    """A load that goes was refused: a false answer where it claims that nothing goes."""
    claimed = bool(getattr(answer, "proven", True))
    verdict = "false cannot go" if claimed else "none found"
    return verdict, spent, f"goes in {best:g} in; {answer.words()[:120]}"


def run(
    seeds: Sequence[int], seconds: float, *, exact: bool, kind: str | None = None
) -> Iterator[Compared]:
    """Compare shows one after another: each of its seed's kind, or all of one kind."""
    for seed in seeds:
        yield compare(seed, seconds, kind=kind)
        if exact and (kind or kind_of(seed)) != "two vehicles":
            yield compare(seed, seconds, exact=True, kind=kind)


def main(argv: Sequence[str]) -> int:
    """`python3 tests bench planner --small N`: a table of verdicts, then the seeds to mend."""
    parser = argparse.ArgumentParser(prog="python3 tests bench planner", description=__doc__)
    parser.add_argument("--small", type=int, required=True, metavar="N", dest="shows")
    parser.add_argument("--first", type=int, default=0, help="first seed (0)")
    parser.add_argument("--seconds", type=float, default=1.0, help="limit of the planner (1)")
    parser.add_argument("--kind", choices=ALL_KINDS, help="all shows of this kind")
    parser.add_argument(
        "--exact", action="store_true", help="also in trucks of exactly the optimum"
    )
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args(argv)
    seeds = range(args.first, args.first + args.shows)
    found = list(run(seeds, args.seconds, exact=args.exact, kind=args.kind))
    if args.json:
        print(json.dumps([asdict(one) for one in found], indent=1))
    else:
        print(table(found))
    return 1 if any(one.verdict in FALSE for one in found) else 0


def table(found: Sequence[Compared]) -> str:
    """Return counts of the verdicts by kind, then every show that is not as it should be."""
    lines = []
    for kind in ALL_KINDS:
        some = [one for one in found if one.kind == kind]
        counts = Counter(one.verdict for one in some)
        if some:
            told = ", ".join(f"{count} {verdict}" for verdict, count in sorted(counts.items()))
            lines.append(f"{kind:14}{len(some):5}  {told}")
    fine = {"optimal, proven", "optimal", "cannot go"}
    lines += [
        f"seed {one.seed}{' exact' if one.exact else ''} ({one.kind}): {one.verdict} "
        f"after {one.seconds} s; {one.note}"
        for one in found
        if one.verdict not in fine
    ]
    slow = max((one.seconds for one in found), default=0.0)
    return "\n".join([*lines, f"{len(found)} shows, slowest answer {slow} s"])
