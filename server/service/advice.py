"""The advisor in the office: questions go into the planner's queue, answers are kept until seen.

An answer is kept under a digest of the question and of all that it was drawn from; where neither
changed, it is shown again at once.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import asdict
from typing import Any, Final

from server.core.advisor import report, report_ways
from server.core.advisor.advise import of_buy, of_fleet, of_hire
from server.core.advisor.load_time import expected
from server.core.advisor.year import year
from server.core.shop.show import Rules
from server.service import advice_inputs, office, secrets
from server.service.ports import Ports
from server.service.records import Job
from server.service.troubles import Conflict, Unknown, Wrong

KEPT: Final = "advice"
SECONDS: Final = 60
SAY_EVERY_MS: Final = 400
VERSION: Final = 1  # of the answers: another one forgets what was kept


def ask(ports: Ports, asked: dict[str, Any]) -> dict[str, Any]:
    """Return a kept answer, or put the question into the queue; Wrong where it cannot be asked."""
    digest = _digest(ports, asked)
    kept = ports.settings.get(_place(asked))
    if kept is not None and kept["digest"] == digest:
        return {"job": "", "state": "done", "answer": kept["answer"], "at": kept["at"]}
    show = _free_show(ports, asked)
    job = Job(secrets.short_id(), show, "waiting", SECONDS, 0, asked={KEPT: asked})
    ports.jobs.add(job, ports.now())
    ports.start_planner()
    return shown(job)


def job_of(ports: Ports, job_id: str) -> Job:
    """Return a question that was asked; Unknown when there is none."""
    job = ports.jobs.get(job_id)
    if job is None or KEPT not in (job.asked or {}):
        raise Unknown("There is no such question.")
    return job


def shown(job: Job) -> dict[str, Any]:
    """Return a question as the office sees it: how far it is, and what is known."""
    best = job.best or {}
    return {
        "job": job.id,
        "state": job.state,
        "part": best.get("part"),
        "done": best.get("done", 0),
        "of": best.get("of", 0),
        "answer": best.get("answer"),
        "trouble": job.trouble,
    }


def work(ports: Ports, job: Job) -> None:
    """Answer a question; what was not stopped is kept."""
    assert job.asked is not None
    asked = job.asked[KEPT]
    digest = _digest(ports, asked)
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
        ports.settings.put(_place(asked), kept)
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


def _place(asked: dict[str, Any]) -> str:
    """Return under which name an answer is kept: one a part, for hires one a show."""
    return f"{KEPT} {asked['part']} {asked.get('show', '')}".strip()[:40]


def _digest(ports: Ports, asked: dict[str, Any]) -> str:
    """Return a digest of the question and of its grounds; Wrong where it cannot be asked."""
    cases, vehicles = advice_inputs.fleet_of(ports)
    drawn: list[Any] = [VERSION, asked, advice_inputs.prices_document(ports)]
    drawn += [[asdict(case) for case in cases], [asdict(vehicle) for vehicle in vehicles]]
    if asked["part"] == "year":
        nights = advice_inputs.nights_of(ports, asked["shows"], asked["vehicles"], asked["times"])
        if not nights:
            raise Wrong(advice_inputs.NOT_SO, (("shows", "expected a show with cases"),))
        drawn += [asdict(night) for night in nights]
        advice_inputs.changes_of(ports, asked["changes"])
    if asked["part"] == "buy":
        drawn.append(asdict(advice_inputs.buy_of(ports, asked)))
    if asked["part"] == "hire":
        drawn.append(asdict(advice_inputs.hire_of(ports, asked)))
        drawn.append(len(advice_inputs.timed(ports)))
    text = json.dumps(drawn, sort_keys=True, default=sorted)
    return hashlib.sha256(text.encode()).hexdigest()


def _free_show(ports: Ports, asked: dict[str, Any]) -> str:
    """Return the show on which the job hangs in the queue: any that is not being planned."""
    wanted = asked.get("show") or ""
    shows = [office.show_of(ports, wanted)] if wanted else ports.shows.all()
    if not shows:
        raise Conflict("Add a show first: the advisor judges by the shop's shows.")
    for show in shows:
        if ports.jobs.busy(show.id) is None:
            return show.id
    raise Conflict("The planner is at work on this already: wait or stop that first.")
