"""Show: the cases called, the vehicles booked and the house rules for one night."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Literal

from server.core.base.units import Units
from server.core.shop.case import Case
from server.core.shop.details import Details
from server.core.shop.vehicle import Vehicle

Securing = Literal["us-49cfr393", "en-12195"]


@dataclass(frozen=True, slots=True)
class Rules:
    """House rules of the owner; None means no limit.

    `lift_top_um`: no rider's top edge is lifted above it. `rider_mass_g`: heaviest case that hands
    lift onto a lid. Neither binds stacks of the same footprint on lid casters.
    `hands`: whose strength the figures of guidance are read for; `mixed` takes the lower.
    `side_difference`: greatest share of the mass by which the sides may differ (a goal, warned of).
    """

    securing: Securing = "us-49cfr393"
    straps_min: int = 1
    slack_limit_um: int | None = 76_200
    lift_top_um: int | None = 1_524_000
    rider_mass_g: int | None = 68_039
    side_difference: float = 0.1
    hands: Literal["men", "mixed"] = "mixed"


@dataclass(frozen=True, slots=True)
class Show:
    """One night's job for the planner: cases (one per physical case), vehicles, rules."""

    name: str
    vehicles: tuple[Vehicle, ...]
    cases: tuple[Case, ...]
    date: str = ""
    rules: Rules = field(default_factory=Rules)
    units: Units = field(default_factory=Units)
    details: Details = field(default_factory=Details)

    def __post_init__(self) -> None:
        """Refuse two cases or vehicles of one name, and wishes for vehicles that are not there."""
        codes = [case.code for case in self.cases]
        ids = [vehicle.id for vehicle in self.vehicles]
        for what, names in (("case", codes), ("vehicle", ids)):
            twice = [name for name, count in Counter(names).items() if count > 1]
            if twice:
                raise ValueError(f"expected every {what} once, got {min(twice)} more than once")
        for case in self.cases:
            if case.vehicle is not None and case.vehicle not in ids:
                raise ValueError(
                    f"case {case.code}: expected a vehicle of this show ({', '.join(ids)}), "
                    f"got {case.vehicle}"
                )

    def case(self, code: str) -> Case:
        """Return the case with this code; KeyError when it is not called."""
        for case in self.cases:
            if case.code == code:
                return case
        raise KeyError(code)

    def vehicle(self, vehicle_id: str) -> Vehicle:
        """Return the vehicle with this id; KeyError when it is not booked."""
        for vehicle in self.vehicles:
            if vehicle.id == vehicle_id:
                return vehicle
        raise KeyError(vehicle_id)
