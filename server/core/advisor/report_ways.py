"""What to buy and what to hire as documents, and how long a load takes; see report.py."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from server.core.advisor.buy import Bought, Ranked
from server.core.advisor.hire import Hired, Hiring, Tried
from server.core.advisor.hire_ways import Way
from server.core.advisor.load_time import ENOUGH, Expected
from server.core.advisor.money import loading_metres
from server.core.advisor.questions import Footprint
from server.core.advisor.report import ASIDE, span
from server.core.planner.problem.answer import NoPlan

MOST_RANKED: Final = 16


def bought(found: Bought) -> dict[str, Any]:
    """Return footprints ranked, and the best sets of sizes."""
    return {
        "note": ASIDE,
        "tried": found.tried,
        "loads": found.loads,
        "whole": found.whole,
        "before": {"low_um": found.before.low, "high_um": found.before.high},
        "left_out": list(found.left_out),
        "sentence": _bought_words(found),
        "ranked": [_ranked(one, found.loads) for one in found.ranked[:MOST_RANKED]],
        "sets": [
            {
                "at_most": one.most,
                "sizes": [
                    {**_sides(footprint), "split": list(split)}
                    for footprint, split in zip(one.sizes.footprints, one.sizes.split, strict=True)
                ],
                "added": span(one.added),
                "proven": one.sizes.proven,
                "gap_um": one.sizes.high_um - one.sizes.low_um,
                "ties": [[_sides(each) for each in tie] for tie in one.ties],
            }
            for one in found.sets
        ],
    }


def _bought_words(found: Bought) -> str:
    if not found.ranked:
        return "No single footprint holds everything; see the sets of sizes."
    ties = sum(one.tie for one in found.ranked)
    if ties > 1:
        return f"{ties} footprints take exactly the same floor; the roomiest stands first."
    return "One footprint takes less floor than every other that was tried."


def _ranked(one: Ranked, loads: int) -> dict[str, Any]:
    return {
        **_sides(one.footprint),
        "added": span(one.added),
        "each_um": -(-one.added.high // max(1, loads)),
        "inside_um3": one.inside_um3,
        "tie": one.tie,
    }


def _sides(footprint: Footprint) -> dict[str, int]:
    return {"length_um": footprint[0], "width_um": footprint[1]}


def hired(found: Hired, hiring: Hiring, currency: str = "") -> dict[str, Any]:
    """Return the cheapest set of vehicles, and why each cheaper one was refused."""
    return {
        "currency": currency,
        "by_money": found.by_money,
        "proven": found.proven,
        "stopped": found.stopped,
        "sentence": _hired_words(found),
        "best": None if found.best is None else tried(found.best, hiring),
        "cheaper": [tried(one, hiring) for one in found.cheaper],
        "not_legal": list(found.illegal),
        "cautions": cautions(hiring),
    }


def _hired_words(found: Hired) -> str:
    what = "cheaper" if found.by_money else "smaller"
    if found.stopped:
        return "Stopped before a set was found."
    if found.best is None:
        sure = "this is proven" if found.proven else "one may exist"
        return f"No set of these vehicles carries the show; {sure}."
    if found.proven:
        return f"No {what} set carries the show: every one is refused by proof."
    return f"A {what} set may exist: some could be neither planned nor refused in the time given."


def tried(one: Tried, hiring: Hiring) -> dict[str, Any]:
    """Return one set of vehicles: how many, how many trips, what it costs, why it is refused."""
    floors = [] if one.plan is None else [each.floor_length_um for each in one.plan.vehicles]
    rooms = hiring.rooms(one.parts)
    widths = {room.id: room.width_um for room in rooms}
    return {
        "vehicles": [
            {
                "id": hiring.offers[part.offer].vehicle.id,
                "name": hiring.offers[part.offer].vehicle.name,
                "count": part.vehicles,
                "loads": part.loads,
                "licence": hiring.offers[part.offer].licence,
            }
            for part in one.parts
        ],
        "cost_cents": one.cost,
        "state": one.state,
        "why": one.why,
        "floor_um": sum(floors),
        "loading_metres": 0
        if one.plan is None
        else round(
            sum(
                loading_metres(each.floor_length_um, widths[each.vehicle])
                for each in one.plan.vehicles
            ),
            2,
        ),
    }


def cautions(hiring: Hiring) -> list[str]:
    """Return what the search could not know; it stands beside every figure of a hire."""
    found = []
    bare = [case.code for case in hiring.show.cases if not case.mass_g]
    if bare:
        found.append(
            f"{len(bare)} cases have no weight ({', '.join(bare[:4])}): payload and axles are not "
            "known to hold. Weigh them first."
        )
    for offer in hiring.offers:
        if offer.vehicle.payload_g is None:
            found.append(
                f"{offer.vehicle.id}: payload not known. Read its plate before it is hired."
            )
        if offer.vehicle.axles is None:
            found.append(
                f"{offer.vehicle.id}: axle loads are not checked, its axles are not entered."
            )
        if not offer.licence:
            found.append(f"{offer.vehicle.id}: licence class not entered.")
    if not hiring.drive.distance and not hiring.drive.hours:
        found.append("Distance and driving time are not entered: further trips cost nothing here.")
    found.append("Local law, the plate and the driver's own licence and hours come first.")
    return found


def ways(why: NoPlan | None, found: Sequence[Way], hiring: Hiring) -> dict[str, Any]:
    """Return by how much the booked vehicles fail, and each way out with what it costs."""
    if why is None:
        return {"fits": True, "over_g": 0, "short_um": 0, "reasons": [], "ways": []}
    return {
        "fits": False,
        "over_g": why.over_g,
        "short_um": why.short_um,
        "reasons": list(why.reasons),
        "ways": [
            {
                "kind": way.kind,
                "extra_cents": way.extra,
                "leave": list(way.leave),
                "leave_mass_g": way.leave_g,
                "proven": way.proven,
                "set": None if way.tried is None else tried(way.tried, hiring),
            }
            for way in found
        ],
    }


def load_time(found: Expected | None, cases: int) -> dict[str, Any]:
    """Return the expected minutes, and in words how far they may be trusted."""
    if found is None:
        return {"nights": 0, "words": "No night of this shop was timed yet: no figure."}
    words = (
        f"{found.minutes:.0f} minutes for {cases} cases, {found.low:.0f} to {found.high:.0f} in "
        f"four nights of five; of {found.nights} nights held back {found.held_back} lay in it."
    )
    if not found.enough:
        words = f"Only {found.nights} nights, fewer than {ENOUGH}: do not rely on it. {words}"
    return {
        "minutes": round(found.minutes, 1),
        "low": round(found.low, 1),
        "high": round(found.high, 1),
        "nights": found.nights,
        "held_back": found.held_back,
        "enough": found.enough,
        "words": words,
    }
