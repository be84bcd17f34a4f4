"""Fit table and next purchase as the office shows them; micrometres and grams."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

from server.core.planner.solve import solve
from server.core.shop.case import Case
from server.core.shop.fit import Fill, Way, fills, stretches, ways
from server.core.shop.plan import Plan
from server.core.shop.purchase import Verdict, candidates, next_purchase
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.service import aside, office
from server.service.ports import Ports
from server.service.troubles import Wrong

MOST_TRIALS: Final = 1_000
Say = Callable[[dict[str, Any]], None]
MOST_TOLD: Final = 12


def kinds(cases: list[Case]) -> list[tuple[Case, list[str]]]:
    """Group cases that stand alike: one line of the table serves them all."""
    found: dict[tuple[object, ...], tuple[Case, list[str]]] = {}
    for case in cases:
        sides = (case.length_um, case.width_um, case.height_um)
        key = (*sides, case.turn, case.stances, case.lid_casters, case.lid_load_g, case.mass_g)
        found.setdefault(key, (case, []))[1].append(case.code)
    return list(found.values())


def table(ports: Ports) -> dict[str, Any]:
    """Return for every kind of case and every vehicle how it stands, and what fills a row."""
    cases = [one.case for one in ports.fleet.cases() if one.state != "retired"]
    groups = kinds(cases)
    vehicles = [one.vehicle for one in ports.fleet.vehicles() if not one.aside]
    return {
        "kinds": [{"codes": codes, "name": case.name} for case, codes in groups],
        "vehicles": [
            _stretch(vehicle, part, groups) for vehicle in vehicles for part in stretches(vehicle)
        ],
    }


def _stretch(
    vehicle: Vehicle, part: Vehicle, groups: list[tuple[Case, list[str]]]
) -> dict[str, Any]:
    return {
        "id": vehicle.id,
        "narrow": part is not vehicle,
        "width_um": part.width_um,
        "length_um": part.length_um,
        "ways": [[_way(way) for way in ways(case, part)] for case, _ in groups],
        "fills": [_fill(fill) for fill in fills((case for case, _ in groups), part)],
    }


def _way(way: Way) -> dict[str, Any]:
    one = way.standing
    return {
        "stance": one.stance,
        "turned": one.turned,
        "across_um": one.across,
        "along_um": one.along,
        "fits": way.passes,
        "count": way.across,
        "slack_um": way.slack,
        "rows": way.rows,
        "high": way.high,
    }


def _fill(fill: Fill) -> dict[str, Any]:
    return {
        "along_um": fill.along,
        "slack_um": fill.slack,
        "parts": [
            {"count": part.count, "across_um": part.across, "codes": list(part.codes[:8])}
            for part in fill.parts
        ],
    }


def ask_purchase(ports: Ports, like: Case, shows: list[str], vehicles: list[str]) -> dict[str, Any]:
    """Return what the worker needs to judge candidates; Wrong where nothing can be compared."""
    asked = [office.core_show(ports, show) for show in shows]
    garage = {one.vehicle.id: one.vehicle for one in ports.fleet.vehicles()}
    unknown = [vehicle for vehicle in vehicles if vehicle not in garage]
    if unknown:
        got = unknown[0][:60]
        raise Wrong("Nothing can be compared.", (("vehicles", f"expected ours, got {got}"),))
    away = aside.first_aside(ports, vehicles)
    if away is not None:
        told = (("vehicles", f"{away} is archived: take it out of the archive first"),)
        raise Wrong("Nothing can be compared.", told)
    tried = candidates(like, [garage[one] for one in vehicles])
    trials = len(tried) * len(asked) * len(vehicles)
    if not trials:
        raise Wrong("Nothing can be compared.", (("shows", "expected a show and a vehicle"),))
    if trials > MOST_TRIALS:
        expected = f"expected at most {MOST_TRIALS} trials, got {trials}: pick fewer"
        raise Wrong("This would take too long.", (("shows", expected),))
    sides = {"length_um": like.length_um, "width_um": like.width_um, "height_um": like.height_um}
    return {
        "purchase": {
            "like": {**sides, "mass_g": like.mass_g, "turn": like.turn, "rides": like.rides,
                     "lid_load_g": like.lid_load_g},
            "shows": shows,
            "vehicles": vehicles,
        }
    }  # fmt: skip


def purchase(
    ports: Ports, asked: dict[str, Any], seconds: float, hear: Callable[[], bool], say: Say
) -> tuple[dict[str, Any], bool]:
    """Judge candidates by every show in every vehicle; return the answer, and whether it is whole.

    `hear` tells whether to stop; `say` is told after each candidate how far it is.
    """
    like = Case("NEW", name="the new case", **asked["like"])
    garage = {one.vehicle.id: one.vehicle for one in ports.fleet.vehicles()}
    vehicles = tuple(garage[one] for one in asked["vehicles"] if one in garage)
    shows = [replace(office.core_show(ports, one), vehicles=vehicles) for one in asked["shows"]]
    tried = candidates(like, vehicles)
    far = {"done": 0, "of": len(tried), "verdicts": []}
    say(far)

    def tell(done: int, of: int, best: tuple[Verdict, ...]) -> bool:
        if hear():
            return False  # what was planned while it was stopped is no measure
        far.update(done=done, of=of, verdicts=[told(one) for one in best])
        say(far)
        return True

    found = next_purchase(shows, tried, floor_of(seconds, hear), tell)
    far.update(verdicts=[told(one) for one in found])
    return far, far["done"] == far["of"]


def floor_of(seconds: float, hear: Callable[[], bool]) -> Callable[[Show], int | None]:
    """Return what measures a show's floor length; None: the load does not go."""

    def measure(show: Show) -> int | None:
        plan = solve(show, seconds, 0, None, hear)
        return plan.floor_length_um if isinstance(plan, Plan) else None

    return measure


def told(verdict: Verdict) -> dict[str, Any]:
    """Return a verdict with the trials that explain it."""
    case = verdict.candidate
    return {
        "length_um": case.length_um,
        "width_um": case.width_um,
        "refused": verdict.refused,
        "free": verdict.free,
        "trials": len(verdict.trials),
        "mean_added_um": round(verdict.mean_added_um),
        "each": [
            {
                "show": trial.show,
                "vehicle": trial.vehicle,
                "before_um": trial.before_um,
                "added_um": trial.added_um,
            }
            for trial in verdict.trials[:MOST_TOLD]
        ],
    }
