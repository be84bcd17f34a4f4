"""All that the advisor is asked in one document, answered part by part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from server.core.advisor import report, report_ways
from server.core.advisor.buy import buy
from server.core.advisor.fleet_rows import fleet_rows
from server.core.advisor.hire import Hiring, Part
from server.core.advisor.hire_ways import ways_out
from server.core.advisor.load_time import expected
from server.core.advisor.questions import (
    AskBuy,
    Asked,
    AskHire,
)
from server.core.advisor.year import year
from server.core.shop.case import Case
from server.core.shop.show import Rules
from server.core.shop.vehicle import Vehicle

Tell = Callable[[str, int, int], bool]
"""Hears which part is at which step of how many; False: stop."""


def _always(_part: str, _done: int, _of: int) -> bool:
    return True


def advise(asked: Asked, tell: Tell = _always) -> dict[str, Any]:
    """Answer every part; keys end in _um, _g, _um3 or _cents by their unit."""
    answer: dict[str, Any] = {"fleet": of_fleet(asked.cases, asked.vehicles, asked.rules, tell)}
    if asked.nights:
        found = year(
            asked.nights,
            asked.changes,
            asked.rules,
            asked.prices,
            lambda done, of: tell("year", done, of),
        )
        answer["year"] = report.of_year(found, asked.cases, asked.prices.currency)
    if asked.buy is not None:
        answer["buy"] = of_buy(asked.buy, asked.cases, asked.rules, tell)
    if asked.hire is not None:
        answer["hire"] = of_hire(asked.hire, asked.prices.currency, tell)
    if asked.timed:
        moves = sorted({one.move for one in asked.timed})
        count = len(asked.hire.show.cases) if asked.hire is not None else len(asked.cases)
        answer["load_time"] = {
            move: report_ways.load_time(expected(asked.timed, count, move), count) for move in moves
        }
    return answer


def of_fleet(
    cases: Sequence[Case], vehicles: Sequence[Vehicle], rules: Rules, tell: Tell = _always
) -> list[dict[str, Any]]:
    """Return the fleet in rows of each vehicle; fewer where it was stopped."""
    found = []
    for number, vehicle in enumerate(vehicles):
        if not tell("fleet", number, len(vehicles)):
            break
        found.append(report.fleet(fleet_rows(cases, vehicle, rules), vehicle))
    return found


def of_buy(
    asked: AskBuy, owned: Sequence[Case], rules: Rules, tell: Tell = _always
) -> dict[str, Any]:
    """Return footprints for new cases, ranked, and the best sets of sizes."""
    found = buy(
        asked.needs,
        asked.nights,
        owned,
        rules,
        most=asked.most,
        tell=lambda done, of: tell("buy", done, of),
    )
    return report_ways.bought(found)


def of_hire(asked: AskHire, currency: str, tell: Tell = _always) -> dict[str, Any]:
    """Return the cheapest hire; where booked vehicles do not do, the ways out as well."""
    hiring = Hiring(
        asked.show,
        asked.offers,
        asked.drive,
        asked.seconds,
        stop=lambda: not tell("hire", 0, 0),
    )
    answer = report_ways.hired(hiring.cheapest(), hiring, currency)
    booked = tuple(
        Part(number, asked.booked.count(offer.vehicle.id), asked.booked.count(offer.vehicle.id))
        for number, offer in enumerate(asked.offers)
        if offer.vehicle.id in asked.booked
    )
    if booked:
        why, found = ways_out(hiring, booked)
        answer["booked"] = report_ways.ways(why, found, hiring)
    return answer
