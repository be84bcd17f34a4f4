"""The advisor in the office: questions go into the planner's queue, answers are kept until seen.

An answer is kept under a digest of the question and of all that it was drawn from; where neither
changed, it is shown again at once.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from typing import Any, Final

from server.service import advice_inputs, office, secrets
from server.service.ports import Ports
from server.service.records import Job
from server.service.troubles import Conflict, Unknown, Wrong

KEPT: Final = "advice"
SECONDS: Final = 60
VERSION: Final = 1  # of the answers: another one forgets what was kept


def ask(ports: Ports, asked: dict[str, Any]) -> dict[str, Any]:
    """Return a kept answer, or put the question into the queue; Wrong where it cannot be asked."""
    digest = digest_of(ports, asked)
    kept = ports.settings.get(place_of(asked))
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


def place_of(asked: dict[str, Any]) -> str:
    """Return under which name an answer is kept: one a part, for hires one a show."""
    return f"{KEPT} {asked['part']} {asked.get('show', '')}".strip()[:40]


def digest_of(ports: Ports, asked: dict[str, Any]) -> str:
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
