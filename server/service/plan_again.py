"""A plan changed from the dock: what the chief wishes, planned behind what is loaded, issued."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, Final

from server.core.editing.editing import CannotEdit, Step, edited
from server.core.shop.case import Case
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.service import hand_out, office
from server.service.document_records import Stamp
from server.service.ports import Ports
from server.service.records import Called, Job, PlanRecord, Session
from server.service.troubles import Conflict, Unknown, Wrong

# Parts of a request that change the show or its plan before anything is planned.
WISHES: Final = ("add", "leave", "swap", "out")
# Concerns that a phone shows with each row, before it issues.
SHOWN_BY_ROW: Final = frozenset({"straps", "gaps", "drops"})
STAY_AT_HOME: Final = frozenset({"repair", "retired"})


def wished(ports: Ports, base: PlanRecord, show: Show, differs: Mapping[str, Any]) -> Show:
    """Return the show with cases added, left out or swapped; Wrong names what cannot be.

    `swap` maps a case to the spare that takes over its drop and its wishes.
    """
    swap: dict[str, str] = differs.get("swap") or {}
    leave = {*(differs.get("leave") or ()), *swap}
    called = {case.code: case for case in show.cases}
    coming = [*(differs.get("add") or ()), *swap.values()]
    faults = [
        (field, f"expected a case of this show, got {code}")
        for field, codes in (("leave", differs.get("leave") or ()), ("swap", swap))
        for code in codes
        if code not in called
    ]
    faults += _not_to_come(ports, called.keys() - leave, coming)
    faults += _not_out(base, differs)
    if faults:
        raise Wrong("Nothing can be planned.", tuple(faults[:20]))
    fleet = {one.case.code: one for one in ports.fleet.cases()}
    instead = {spare: called[code] for code, spare in swap.items()}

    def as_called(code: str) -> Case:
        one = fleet[code]
        case = replace(one.case, weighed=bool(one.notes.weighed_on))
        if code not in instead:
            return case
        old = instead[code]
        return replace(
            case, drop=old.drop, vehicle=old.vehicle, near=old.near, together=old.together
        )

    kept = [case for case in show.cases if case.code not in leave]
    return replace(show, cases=(*kept, *(as_called(code) for code in coming)))


def _not_to_come(ports: Ports, called: Iterable[str], coming: list[str]) -> list[tuple[str, str]]:
    """Return what is wrong with the cases that are to come."""
    fleet = {one.case.code: one for one in ports.fleet.cases()}
    seen = set(called)
    faults = []
    for code in coming:
        if code not in fleet:
            faults.append(("add", f"expected a case of the fleet, got {code}"))
        elif fleet[code].state in STAY_AT_HOME:
            faults.append(("add", f"{code} is marked {fleet[code].state}: it may not travel"))
        elif code in seen:
            faults.append(("add", f"{code} is called already: expected each case once"))
        seen.add(code)
    return faults


def _not_out(base: PlanRecord, differs: Mapping[str, Any]) -> list[tuple[str, str]]:
    planned = {place.code for one in base.plan.vehicles for place in one.places()}
    return [
        ("out", f"expected a case that stands in revision {base.plan.revision}, got {code}")
        for code in differs.get("out") or ()
        if code not in planned
    ]


def opened(base: PlanRecord, differs: Mapping[str, Any]) -> Plan:
    """Return the plan without cases that keep a row from closing: they must find another place."""
    steps = [Step("out", code) for code in differs.get("out") or ()]
    try:
        return edited(base.show, base.plan, steps) if steps else base.plan
    except (CannotEdit, KeyError) as trouble:
        raise Wrong("Nothing can be planned.", (("out", str(trouble)),)) from trouble


def rows_that_stay(base: PlanRecord, differs: Mapping[str, Any]) -> dict[str, int | list[int]]:
    """Return the loaded rows, and with them rows that do not close: what is out stays out."""
    out = set(differs.get("out") or ())
    stay: dict[str, int | list[int]] = dict(differs["loaded"])
    for one in base.plan.vehicles:
        open_rows = [
            row.number for row in one.rows if out.intersection(place.code for place in row.places)
        ]
        if open_rows:
            before = stay.get(one.vehicle, [])
            known = range(1, before + 1) if isinstance(before, int) else before
            stay[one.vehicle] = sorted({*known, *open_rows})
    return stay


def vehicles(ports: Ports) -> list[dict[str, str]]:
    """Return the vehicles of the shop that are not in its archive."""
    return [
        {"id": one.vehicle.id, "name": one.vehicle.name}
        for one in ports.fleet.vehicles()
        if not one.aside
    ]


def proposal(ports: Ports, show_id: str, job_id: str) -> tuple[Job, PlanRecord | None]:
    """Return a job that planned from a revision on, and what came of it."""
    job = office.job_of(ports, show_id, job_id)
    if "revision" not in (job.asked or {}):
        raise Unknown("This planning did not start from a revision.")
    made = office.revision_of(ports, show_id, job.revision) if job.revision else None
    return job, made


def sheets_of(ports: Ports, made: PlanRecord) -> list[dict[str, Any]]:
    """Return the sheets of a proposal, with the marks by which the crew knows its vehicles."""
    marks = {one.vehicle.id: one.mark for one in ports.fleet.vehicles()}
    return hand_out.sheets(made.show, made.plan, marks)


def left_out(made: PlanRecord) -> list[str]:
    """Return the cases that a proposal gives no place."""
    planned = {place.code for one in made.plan.vehicles for place in one.places()}
    return sorted(case.code for case in made.show.cases if case.code not in planned)


def _words(ports: Ports, show_id: str, base: int, revision: int) -> dict[str, str]:
    """Return why the concerns of a proposal stay; Conflict names one that nobody has accepted.

    The base was issued with a word for each of its own. The phone shows straps, fillers and drops
    row by row, so that the chief has seen those.
    """
    accepted = {one.key for one in office.concerns_of(ports, show_id, base)}
    words: dict[str, str] = {}
    for one in office.concerns_of(ports, show_id, revision):
        if one.key not in accepted | SHOWN_BY_ROW:
            raise Conflict(f"{one.title}: {'; '.join(one.lines[:3])}. {one.way}")
        words[one.key] = (
            "as issued before" if one.key in accepted else "seen by the chief on the phone"
        )
    return words


def issue_proposal(
    ports: Ports, show_id: str, job_id: str, by: Session | None, address: str
) -> int:
    """Issue a proposal, and call what it calls; Conflict when another plan was issued since."""
    job, made = proposal(ports, show_id, job_id)
    if made is None:
        raise Conflict("This planning has not ended with a plan.")
    assert job.asked is not None
    record = office.show_of(ports, show_id)
    if record.issued != job.asked["revision"]:
        raise Conflict(
            f"Revision {record.issued} is in the crew's hands, and this proposal was planned from "
            f"revision {job.asked['revision']}: ask for a new one."
        )
    if missing := left_out(made):
        raise Conflict(
            f"{missing[0]} has no place in this proposal: leave it out or take another vehicle."
        )
    words = _words(ports, show_id, job.asked["revision"], made.revision)
    office.issue(ports, show_id, made.revision, by, address, words=words)
    called = [
        Called(case.code, case.drop, case.vehicle, case.near, case.together, case.priority)
        for case in made.show.cases
    ]
    vehicles = [vehicle.id for vehicle in made.show.vehicles]
    ports.shows.put(office.show_of(ports, show_id), vehicles, called, Stamp(ports.now(), ports.by))
    return made.revision
