"""The advisor's answers as documents: keys end in _um, _g, _um3 or _cents; sentences in English."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from server.core.advisor.fleet_rows import Direction, FleetRows, KindRows
from server.core.advisor.floor import FoundRow
from server.core.advisor.year import Compared, Drawn, NightLoad, Span, Year
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle

MOST_COSTLY: Final = 10
MOST_DRAWN: Final = 40
ASIDE: Final = (
    "Floor is compared by the sides of cases and the lids they may stand on. Order of drops, axle "
    "limits and wishes are in the plan of each show, not in this comparison."
)
VERDICTS: Final = {
    "less": "less, proven",
    "more": "more, proven",
    "tie": "exactly the same: a tie",
    "open": "not decided: the interval holds zero",
}


def span(one: Span, unit: str = "um") -> dict[str, Any]:
    """Return an interval with its verdict as a difference."""
    return {
        f"low_{unit}": one.low,
        f"high_{unit}": one.high,
        "verdict": one.verdict,
    }


def rows_of(found: Sequence[FoundRow]) -> list[dict[str, Any]]:
    """Return the rows found, for a drawing: depth, and what stands in each from the wall."""
    return [
        {
            "depth_um": row.depth_um,
            "stacks": [
                {
                    "across_um": one.across_um,
                    "along_um": one.along_um,
                    "high": one.high,
                    "name": one.name,
                }
                for one in row.stacks
            ],
        }
        for row in found[:MOST_DRAWN]
    ]


def fleet(found: FleetRows, vehicle: Vehicle) -> dict[str, Any]:
    """Return the fleet in rows of one vehicle, and the kinds that lose most floor."""
    worst = sorted(found.kinds, key=lambda one: (-one.lost_um, one.name, one.codes))
    return {
        "vehicle": vehicle.id,
        "name": vehicle.name,
        "width_um": vehicle.width_um,
        "length_um": vehicle.length_um,
        "floor": {"low_um": found.floor.low_um, "high_um": found.floor.high_um},
        "least_um": found.least_um,
        "used": round(float(found.used), 4),
        "sentence": _fleet_words(found, vehicle),
        "costly": [_costly(one) for one in worst[:MOST_COSTLY] if one.lost_um >= 1],
        "kinds": [_kind(one, found.kinds) for one in found.kinds],
        "rows": rows_of(found.floor.rows),
    }


def _fleet_words(found: FleetRows, vehicle: Vehicle) -> str:
    nowhere = [one.codes[0] for one in found.kinds if not one.directions]
    words = f"Volume and footprints need at least {float(found.used):.0%} of the floor that rows "
    words += (
        f"take in {vehicle.name or vehicle.id}; the rest is width and depth that no case stands on."
    )
    if nowhere:
        words += f" Does not fit at all: {', '.join(nowhere[:6])}"
        words += f" and {len(nowhere) - 6} more kinds." if len(nowhere) > 6 else "."
    return words


def _costly(one: KindRows) -> dict[str, Any]:
    return {
        "name": one.name,
        "codes": list(one.codes[:8]),
        "count": len(one.codes),
        "rows_um": round(one.rows_um),
        "least_um": round(one.least_um),
        "lost_um": round(one.lost_um),
    }


def _kind(one: KindRows, kinds: Sequence[KindRows]) -> dict[str, Any]:
    return {
        "name": one.name,
        "codes": list(one.codes),
        "count": len(one.codes),
        "packs": sorted({way.pack for way in one.directions if way.pack}),
        "rows_um": round(one.rows_um),
        "directions": [_direction(way, kinds) for way in one.directions],
    }


def _direction(way: Direction, kinds: Sequence[KindRows]) -> dict[str, Any]:
    return {
        "stance": way.stance,
        "turned": way.turned,
        "across_um": way.across_um,
        "along_um": way.along_um,
        "count": way.count,
        "slack_um": way.slack_um,
        "full_rows": way.full_rows,
        "orphans": way.orphans,
        "pack": way.pack,
        "floor_each_um": round(way.floor_each_um),
        "partners": [
            {
                "code": kinds[one.kind].codes[0],
                "name": kinds[one.kind].name,
                "count": one.count,
                "others": one.others,
                "across_um": one.across_um,
                "along_um": one.along_um,
                "slack_um": one.slack_um,
            }
            for one in way.partners
        ],
    }


def of_year(found: Year, cases: Sequence[Case], currency: str) -> dict[str, Any]:
    """Return the year: floor by night, what each kind costs, and every change."""
    names = {case.code: case.name or case.code for case in cases}
    by_name: dict[str, list[float]] = {}
    for code, cost in found.costs.items():
        by_name.setdefault(names.get(code, code), []).append(cost)
    ranked = sorted(by_name.items(), key=lambda one: (-sum(one[1]), one[0]))
    return {
        "note": ASIDE,
        "currency": currency,
        "whole": found.whole,
        "nights": [_night(one) for one in found.nights],
        "costs": [
            {"name": name, "count": len(costs), "floor_um": round(sum(costs))}
            for name, costs in ranked
        ],
        "changes": [_change(one) for one in found.changes],
    }


def _night(one: NightLoad) -> dict[str, Any]:
    return {
        "night": one.night,
        "times": one.times,
        "does_not_fit": list(one.misfits),
        "loads": [
            {
                "vehicle": load.vehicle,
                "floor": {"low_um": load.floor.low, "high_um": load.floor.high},
                "vehicles": {"low": load.vehicles.low, "high": load.vehicles.high},
                "lifts": load.lifts,
                "rows": load.rows,
                "money": None
                if load.money is None
                else {"low_cents": load.money.low, "high_cents": load.money.high},
            }
            for load in one.loads
        ],
    }


def _change(one: Compared) -> dict[str, Any]:
    vehicles = {"low": one.vehicles.low, "high": one.vehicles.high}
    return {
        "name": one.name,
        "floor": span(one.floor),
        "vehicles": {**vehicles, "verdict": one.vehicles.verdict},
        "lifts": one.lifts,
        "money": None if one.money is None else span(one.money, "cents"),
        "cost_cents": one.cost,
        "sentence": f"Floor over the year: {VERDICTS[one.floor.verdict]}. "
        f"Vehicles: {VERDICTS[one.vehicles.verdict]}.",
        "nights": [
            {"night": night, "vehicle": vehicle, "floor": span(difference)}
            for night, vehicle, difference in one.nights
            if difference.verdict != "tie"
        ],
        "not_compared": list(one.left_out),
        "drawn": None if one.drawn is None else _drawn(one.drawn),
    }


def _drawn(one: Drawn) -> dict[str, Any]:
    return {
        "night": one.night,
        "vehicle": one.vehicle.id,
        "width_um": one.vehicle.width_um,
        "before": rows_of(one.before),
        "after": rows_of(one.after),
    }
