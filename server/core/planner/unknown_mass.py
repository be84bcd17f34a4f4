"""Shows with cases of no stated mass: a plan that stays lawful when they weigh what they may.

A plan may look lawful only because a mass is missing. So everything is planned first with each
such case as heavy as its size allows; what is found counts if it is lawful with the stated masses
too. Where no such plan is found, the plan for the stated masses is what there is, and its open
questions say what has to be weighed (`judge.at_worst`, `weight.asks`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from server.core.base.units import within
from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.deadline import Clock
from server.core.planner.replanning.restated import restated
from server.core.shop.case_mass import at_worst, unweighed
from server.core.shop.plan import Plan
from server.core.shop.show import Show

FOR_WORST = 0.5  # of the time, to plan with the greatest masses

Progress = Callable[[Plan], None]
PlanWhole = Callable[[Show, Clock, Progress], Plan | None]
PlanStated = Callable[[Show, Clock, Progress], Plan | NoPlan]


def heaviest(show: Show) -> Show:
    """Return the show with each case of no stated mass as heavy as its size allows."""
    return replace(show, cases=tuple(at_worst(case) for case in show.cases))


@dataclass
class UnknownMasses:
    """One planning of a show with cases of no stated mass."""

    show: Show
    clock: Clock
    heard: Progress | None
    known: Plan | None = None  # lawful at worst and as stated

    @staticmethod
    def matter(show: Show) -> bool:
        """Return whether the show has such cases, and floor and payload may bear them at worst."""
        if not unweighed(show.cases):
            return False
        payloads = [vehicle.payload_g for vehicle in show.vehicles]
        mass = sum(at_worst(case).mass_g for case in show.cases)
        known = [one for one in payloads if one is not None]
        return len(known) < len(payloads) or within(mass, sum(known), len(show.cases))

    def answer(self, plan_whole: PlanWhole, plan_stated: PlanStated) -> Plan | NoPlan:
        """Return the plan that is lawful at worst, with the bound of every lawful plan."""
        worst = heaviest(self.show)
        last = plan_whole(worst, self.clock.part(FOR_WORST), self._take)
        if last is not None:
            self._settle(last)
        stated = plan_stated(self.show, self.clock, self._hear)
        known = self.known
        if known is None or isinstance(stated, NoPlan):
            return stated if known is None else known
        length = known.floor_length_um
        shorter = (len(stated.vehicles), stated.floor_length_um) < (len(known.vehicles), length)
        if shorter and not judge(worst, restated(worst, stated)):
            return stated
        bound = min(stated.lower_bound_um, length)
        same = len(stated.vehicles) == len(known.vehicles)
        return replace(known, lower_bound_um=bound, proven=same and bound == length)

    def _settle(self, plan: Plan) -> bool:
        """Keep a plan of the heaviest masses if it is lawful as stated too."""
        plan = replace(restated(self.show, plan), lower_bound_um=0, proven=False)
        if plan.left_out or judge(self.show, plan):
            return False
        self.known = plan
        return True

    def _take(self, plan: Plan) -> None:
        """Keep a better plan, and announce it."""
        if self._settle(plan) and self.known is not None and self.heard is not None:
            self.heard(self.known)

    def _hear(self, plan: Plan) -> None:
        """Announce plans for the stated masses only while there is none that is lawful at worst."""
        if self.heard is not None and self.known is None:
            self.heard(plan)
