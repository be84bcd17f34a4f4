"""Loads made into the plan that is handed over: balanced, straight, heavy low, and judged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from server.core.judge import judge
from server.core.planner.improvement.balance import even_out
from server.core.planner.improvement.heavy_low import lower_heavy
from server.core.planner.improvement.row_order import balance_sides
from server.core.planner.improvement.straighten import straighten
from server.core.planner.problem.model import Line, Load
from server.core.planner.problem.plan_writer import StrapsOf, make_plan
from server.core.planner.problem.straps import straps_for
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Plan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle


@dataclass
class Finisher:
    """Writes plans of one show; every plan that it hands over has passed the judge."""

    show: Show
    straps_of: StrapsOf = field(init=False)

    def __post_init__(self) -> None:
        """Take the strap rules of the show."""
        self.straps_of = straps_for(self.show)

    def announced(
        self, loads: Sequence[Load], bound: int, left: Sequence[LeftOut] = ()
    ) -> Plan | None:
        """Return a lawful plan of loads, balanced if that is lawful; None: the judge objects."""
        plans = (self._balanced(loads, bound, left), self._plain(loads, bound, left))
        return self._first_lawful(iter(plans))

    def settled(
        self, loads: Sequence[Load], bound: int, left_out: Sequence[LeftOut] = ()
    ) -> Plan | None:
        """Return the plan with straighter rows and the heavy low, as far as the judge allows."""

        def plans() -> Iterator[Plan]:
            better = [lower_heavy(straighten(load), self.show.rules) for load in loads]
            yield self._balanced(better, bound, left_out)
            yield self._balanced(loads, bound, left_out)
            yield self._plain(loads, bound, left_out)

        return self._first_lawful(plans())

    def _first_lawful(self, plans: Iterator[Plan]) -> Plan | None:
        return next((plan for plan in plans if not judge(self.show, plan)), None)

    def _balanced(self, loads: Sequence[Load], bound: int, left: Sequence[LeftOut]) -> Plan:
        even = [balance_sides(even_out(load)) for load in loads]
        return make_plan(even, bound, left_out=left, straps_of=self.straps_of)

    def _plain(self, loads: Sequence[Load], bound: int, left: Sequence[LeftOut]) -> Plan:
        return make_plan(loads, bound, left_out=left, straps_of=self.straps_of)

    def allows(self, vehicle: Vehicle, line: Line) -> bool:
        """Return whether the judge passes a row alone: no wishes, axles or narrow stretches."""
        alone = replace(vehicle, axles=None, narrow=(), payload_g=None)
        cases = tuple(_unwished(case) for case in line.cases)
        show = replace(self.show, vehicles=(alone,), cases=cases)
        return not judge(show, make_plan([Load(alone, (line,))], 0))


def _unwished(case: Case) -> Case:
    return replace(case, near=None, together=None, vehicle=None)
