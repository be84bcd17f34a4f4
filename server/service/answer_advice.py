"""Answers to what the advisor was asked: for the planner's process, which loads the solver."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from server.core.advisor import report, report_ways
from server.core.advisor.advise import of_buy, of_fleet, of_hire
from server.core.advisor.load_time import expected
from server.core.advisor.year import year
from server.core.shop.show import Rules
from server.service import advice_inputs
from server.service.advice import KEPT, digest_of, place_of
from server.service.ports import Ports
from server.service.records import Job

SAY_EVERY_MS: Final = 400


def work(ports: Ports, job: Job) -> None:
    """Answer a question; what was not stopped is kept."""
    assert job.asked is not None
    asked = job.asked[KEPT]
    digest = digest_of(ports, asked)
    far: dict[str, Any] = {"part": asked["part"], "done": 0, "of": 0}
    said, stopped = [0], [False]

    def tell(_part: str, done: int, of: int) -> bool:
        if of:
            far.update(done=done, of=of)
        now = ports.now()
        if now - said[0] >= SAY_EVERY_MS and not stopped[0]:
            said[0] = now
            stopped[0] = ports.jobs.heard(job.id, far, now)
        return not stopped[0]

    answer = _answer(ports, asked, tell)
    far["answer"] = answer
    ports.jobs.heard(job.id, far, ports.now())
    if not stopped[0]:
        kept = {"digest": digest, "answer": answer, "at": ports.now()}
        ports.settings.put(place_of(asked), kept)
    words = "Stopped: what is shown is not the whole answer." if stopped[0] else None
    ports.jobs.end(job.id, revision=0, trouble=words, now=ports.now())


def _answer(
    ports: Ports, asked: dict[str, Any], tell: Callable[[str, int, int], bool]
) -> dict[str, Any]:
    cases, vehicles = advice_inputs.fleet_of(ports)
    prices = advice_inputs.prices_of(ports)
    if asked["part"] == "fleet":
        return {"vehicles": of_fleet(cases, vehicles, Rules(), tell)}
    if asked["part"] == "year":
        nights = advice_inputs.nights_of(ports, asked["shows"], asked["vehicles"], asked["times"])
        changes = advice_inputs.changes_of(ports, asked["changes"])
        found = year(nights, changes, Rules(), prices, lambda done, of: tell("year", done, of))
        return report.of_year(found, cases, prices.currency)
    if asked["part"] == "buy":
        return of_buy(advice_inputs.buy_of(ports, asked), cases, Rules(), tell)
    question = advice_inputs.hire_of(ports, asked)
    answer = of_hire(question, prices.currency, tell)
    nights_timed = advice_inputs.timed(ports)
    count = len(question.show.cases)
    answer["load_time"] = {
        move: report_ways.load_time(expected(nights_timed, count, move), count)
        for move in ("shop_load", "load_out")
    }
    return answer
