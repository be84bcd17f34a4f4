"""Whether a smaller set of cases could stay: bounds that no lawful plan undercuts.

What stays must weigh as much as the load is over the payload, and what goes must find rows in the
programme that covers every lawful plan. Wishes, narrow floors and axles only ask for more. A set
that costs no more than these bounds is the smallest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil, gcd

from server.core.planner.bounds.area_relaxation import loose_demand
from server.core.planner.column_generation.covering import LeaveEach, OpenDemand
from server.core.planner.column_generation.integer_master import (
    choose_rows,
    promising,
    promising_stacks,
)
from server.core.planner.column_generation.linear_model import INFINITE, Sheet, quiet_model
from server.core.planner.column_generation.pricing import Pricer
from server.core.planner.column_generation.restricted_master import Priced, price_out
from server.core.planner.column_generation.row_problem import Pattern
from server.core.planner.lid_runs.columns import run_demand
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Task
from server.core.planner.stacking.tower_enumeration import TooMany
from server.core.shop.case import Case

BLUR = 1e-4  # of the dearest case: what fractions may be off
MOST_SUMS = 20_000_000
MOST_PATTERNS = 4_000
FEW_PATTERNS = 800  # as few rows are chosen among at once
MOST_STACKS = 8_000
MOST_TRIES = 16  # choices of whole rows
SHARES = (64, 16, 4, 1)  # parts of the gap within which rows are sought, near ones first

Price = Callable[[Case], int]


@dataclass(frozen=True)
class Answer:
    """The cheapest set known, and whether none is cheaper."""

    left: tuple[Case, ...]
    proven: bool


@dataclass
class Prover:
    """Proves sets of one task, or finds smaller ones; `goes` plans what is to go.

    `goes` answers True, or False where it cannot be, or None where no plan was found.
    """

    task: Task
    clock: Clock
    goes: Callable[[Sequence[Case]], bool | None]
    too_much: list[frozenset[str]] = field(default_factory=list)
    by_price: dict[Price, tuple[int, tuple[Case, ...]]] = field(default_factory=dict)

    def prove(self, left: Sequence[Case], price: Price) -> Answer:
        """Return the set, or a cheaper one found on the way, and whether none is cheaper."""
        cost = Costs(self.task.cases, price)
        best = tuple(left)
        least, light = self.by_mass(price)
        if not cost.meets(best, least) and cost.of(light) < cost.of(best) and self.goes(light):
            best = light
        if cost.meets(best, least):
            return Answer(best, proven=True)
        demand = self.demand
        if demand is None or self.clock.over():
            return Answer(best, proven=False)
        leave = LeaveEach(cost.shares, self.over_g, self.too_much)
        demand.leave = leave
        part = self.clock.part(0.6)
        priced, pricers = price_out(demand.problem, demand, (), part.over, bind_lengths=True)
        if not priced.converged or not all(pricer.whole for pricer in pricers):
            return Answer(best, proven=False)
        least = max(least, cost.round_up(priced.bound))
        tries = iter(range(MOST_TRIES))
        for share in SHARES:
            for _ in tries:
                if cost.meets(best, least) or part.over():
                    return Answer(best, proven=cost.meets(best, least))
                gap = cost.of(best) / cost.scale - priced.bound + BLUR
                few = promising(demand.problem, priced, pricers, gap, FEW_PATTERNS) is not None
                ring = gap if few else gap / share
                closer, stays = self._whole(demand, (priced, pricers), cost, ring, part)
                least = max(least, closer)
                if stays is None or cost.of(stays) >= cost.of(best):
                    break  # nothing smaller so near the prices: further away, then
                goes = self.goes(stays)
                if goes is None:
                    break
                if goes:
                    best = stays
                else:
                    self._add_too_much(stays)
        return Answer(best, proven=cost.meets(best, least))

    def _add_too_much(self, stays: Sequence[Case]) -> None:
        codes = {case.code for case in stays}
        self.too_much.append(frozenset(c.code for c in self.task.cases if c.code not in codes))

    @cached_property
    def over_g(self) -> int:
        """What must stay at least for its mass, rounding of masses and sums allowed for."""
        payloads = [vehicle.payload_g for vehicle in self.task.vehicles]
        if None in payloads:
            return 0
        mass = sum(case.mass_g for case in self.task.cases)
        blur = len(self.task.cases) // 2 + 2 * len(payloads)
        return max(0, mass - sum(one for one in payloads if one is not None) - blur)

    def by_mass(self, price: Price) -> tuple[int, tuple[Case, ...]]:
        """Return the least cost of a set that weighs enough, and such a set."""
        if price not in self.by_price:
            self.by_price[price] = self._by_mass(Costs(self.task.cases, price))
        return self.by_price[price]

    def _by_mass(self, cost: Costs) -> tuple[int, tuple[Case, ...]]:
        if not self.over_g:
            return 0, tuple(self.task.cases)
        sheet = Sheet()
        row = sheet.row(self.over_g / 1000, INFINITE)
        for case in self.task.cases:
            sheet.column(cost.shares[case.code], [(row, case.mass_g / 1000)], 1.0)
        model = quiet_model()
        model.setOptionValue("time_limit", max(0.05, min(0.5, self.clock.left())))
        model.setOptionValue("mip_rel_gap", 0.0)
        model.passModel(sheet.model(whole=True))
        model.run()
        values = model.getSolution().col_value
        there = model.getInfo().primal_solution_status == 2
        pairs = zip(self.task.cases, values, strict=True) if there else ()
        codes = {case.code for case, value in pairs if round(value)}
        return cost.round_up(max(0.0, model.getInfo().mip_dual_bound)), cost.heaviest_of(codes)

    @cached_property
    def demand(self) -> OpenDemand | None:
        """The programme over every lawful plan, or None where there are too many stacks to list."""
        stop = self.clock.part(0.5).over
        try:
            runs = run_demand(self.task, stop)
            if runs is not None:
                runs.cuts = ()  # they count on every case
                return runs
            return loose_demand(self.task)
        except TooMany:
            return None

    def _whole(
        self,
        demand: OpenDemand,
        prices: tuple[Priced, Sequence[Pricer]],
        cost: Costs,
        ring: float,
        clock: Clock,
    ) -> tuple[int, tuple[Case, ...] | None]:
        """Choose whole rows; return what no set undercuts, and the cheapest set that they allow."""
        priced, pricers = prices
        patterns = promising(demand.problem, priced, pricers, ring, MOST_PATTERNS)
        stacks = promising_stacks(demand, priced, ring)
        if patterns is None or len(stacks) > MOST_STACKS:
            return 0, None
        chosen = choose_rows(
            demand.problem,
            demand,
            _distinct([*patterns, *priced.patterns]),
            seconds=clock.left() * 0.7,
            bound=priced.bound,
            keep=stacks,
            gap=cost.finest,
        )
        outside = priced.bound + ring
        least = cost.round_up(min(outside, max(chosen.least, priced.bound)))
        if chosen.rows is None:
            return (least if chosen.closed else 0), None
        assert isinstance(demand.leave, LeaveEach)
        columns = zip(demand.leave.columns, chosen.left, strict=True)
        codes = {code for among, n in columns for code in among[:n]}
        return least, cost.heaviest_of(codes)


def _distinct(patterns: Iterable[Pattern]) -> list[Pattern]:
    return list(dict.fromkeys(patterns))


@dataclass
class Costs:
    """What each case costs to leave, as whole numbers and as shares of the dearest."""

    cases: Sequence[Case]
    price: Price

    @cached_property
    def whole(self) -> Mapping[str, int]:
        """Costs by code."""
        return {case.code: self.price(case) for case in self.cases}

    @cached_property
    def scale(self) -> int:
        """The cost of the dearest case."""
        return max(1, *self.whole.values())

    @cached_property
    def shares(self) -> Mapping[str, float]:
        """Costs as parts of the dearest."""
        return {code: cost / self.scale for code, cost in self.whole.items()}

    @property
    def finest(self) -> float:
        """What two sets must differ by to differ: just below the least cost if all cost alike."""
        return 0.999 if len(set(self.whole.values())) == 1 else BLUR / 10

    def of(self, cases: Iterable[Case]) -> int:
        """Return what a set costs."""
        return sum(self.whole[case.code] for case in cases)

    def meets(self, cases: Sequence[Case], least: int) -> bool:
        """Return whether no set costs less by more than what each case may be rounded."""
        blur = len(cases) if self.scale > len(self.cases) ** 2 else 0
        return self.of(cases) <= least + blur

    def round_up(self, share: float) -> int:
        """Return the least that a set can cost if it costs so many times the dearest case."""
        least = ceil((share - BLUR) * self.scale)
        return self._next_sum(least) if least > 0 else 0

    def _next_sum(self, least: int) -> int:
        """Return the least sum of costs that is no less: every sum is a bit of a long number."""
        step = gcd(*self.whole.values()) or 1
        low, top = -(-least // step), (least + self.scale) // step + 1
        if top > MOST_SUMS:
            return least
        within, sums = (1 << (top + 1)) - 1, 1
        for value in self.whole.values():
            sums |= sums << value // step & within
        above = sums >> low
        return (low + (above & -above).bit_length() - 1) * step if above else least

    def heaviest_of(self, codes: set[str]) -> tuple[Case, ...]:
        """Return the cases, each exchanged for a heavier one that is the same but for its mass."""
        groups: dict[object, list[Case]] = {}
        for case in sorted(self.cases, key=lambda one: (-one.mass_g, one.code)):
            groups.setdefault((_all_but_mass(case), self.whole[case.code]), []).append(case)
        found: list[Case] = []
        for among in groups.values():
            found += among[: sum(case.code in codes for case in among)]
        return tuple(sorted(found, key=lambda one: one.code))


def _all_but_mass(case: Case) -> tuple[object, ...]:
    return (
        *(case.length_um, case.width_um, case.height_um, case.drop, case.turn, case.stances),
        case.priority,
        *(case.lid_load_g, case.lid_casters, case.rides, case.vehicle, case.near, case.together),
        case.named,
    )
