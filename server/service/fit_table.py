"""The fit table as the office shows it; micrometres and grams."""

from __future__ import annotations

from typing import Any

from server.core.shop.case import Case
from server.core.shop.fit import Fill, Way, fills, stretches, ways
from server.core.shop.vehicle import Vehicle
from server.service.ports import Ports


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
