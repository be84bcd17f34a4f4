"""How far a new shop is on its first evening: the steps from a fleet to a phone that joined."""

from __future__ import annotations

from dataclasses import dataclass

from server.service.ports import Ports

DEMO_SHOW = "demo"


@dataclass(frozen=True, slots=True)
class FirstEvening:
    """Which steps are done with the shop's own data; the demo's does not count.

    `show`: the own show that is furthest, empty where there is none.
    """

    fleet: bool
    vehicle: bool
    show: str
    planned: bool
    issued: bool
    joined: bool


def first_evening(ports: Ports) -> FirstEvening:
    """Return how far the shop is; plans and phones are looked up for the latest shows only."""
    demo = frozenset(ports.fleet.settings().demo)
    own = [show for show in ports.shows.all() if show.id != DEMO_SHOW]
    issued = [show for show in own if show.issued]
    joined = next((show for show in issued[:20] if ports.people.devices(show.id)), None)
    planned = next((show for show in own[:20] if ports.plans.newest(show.id)), None)
    furthest = joined or next(iter(issued), None) or planned or next(iter(own), None)
    return FirstEvening(
        fleet=any(one.case.code not in demo for one in ports.fleet.cases()),
        vehicle=any(one.vehicle.id not in demo for one in ports.fleet.vehicles()),
        show="" if furthest is None else furthest.id,
        planned=planned is not None or bool(issued),
        issued=bool(issued),
        joined=joined is not None,
    )
