"""The owner's shows: what is called and booked, how the crew joins, plans made and issued."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from server.core.shop.details import detail_faults
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.service import aside, hand_out, secrets
from server.service.before_issue import Concern, concerns
from server.service.document_records import Stamp
from server.service.join_life import LEAST_MS
from server.service.ports import Ports
from server.service.records import SILENT_MS, Called, Job, PlanRecord, Session, ShowRecord
from server.service.troubles import Conflict, Stale, Unknown, Wrong

PIN_LEAST: Final = 6


@dataclass(frozen=True, slots=True)
class Asked:
    """What the office says of a show."""

    vehicles: tuple[str, ...]
    called: tuple[Called, ...]


def show_of(ports: Ports, show_id: str) -> ShowRecord:
    """Return a show; Unknown when there is none."""
    show = ports.shows.show(show_id)
    if show is None:
        raise Unknown("There is no such show.")
    return show


def put_show(ports: Ports, show: ShowRecord, asked: Asked, expect: int | None = None) -> ShowRecord:
    """Keep a show with what is called and booked; every wrong entry is named by its place.

    `expect`: the version that is changed; Stale where it is another by now.
    """
    faults: list[tuple[str, str]] = []
    fleet = {one.case.code: one for one in ports.fleet.cases()}
    faults += _not_to_be_booked(ports, show.id, asked.vehicles)
    for place, one in enumerate(asked.called):
        if one.code not in fleet:
            faults.append((f"cases.{place}.code", f"expected a case of the fleet, got {one.code}"))
        elif fleet[one.code].state in {"repair", "retired"}:
            state = fleet[one.code].state
            faults.append((f"cases.{place}.code", f"expected a case that may travel, got {state}"))
        if one.vehicle is not None and one.vehicle not in asked.vehicles:
            faults.append((f"cases.{place}.vehicle", "expected a vehicle of this show"))
    codes = Counter(one.code for one in asked.called)
    for what, names in (("vehicles", Counter(asked.vehicles)), ("cases", codes)):
        twice = [name for name, count in names.items() if count > 1]
        faults += [(what, f"expected each once, got {name} more than once") for name in twice]
    faults += [
        (one.field, f"expected {one.expected}, got {one.got}")
        for one in detail_faults(show.details, show.date, show.units)
    ]
    if faults:
        raise Wrong("This show cannot be kept so.", tuple(faults[:50]))
    stamp = Stamp(ports.now(), ports.by)
    ports.shows.put(show, asked.vehicles, asked.called, stamp, expect)
    return show_of(ports, show.id)


def _not_to_be_booked(
    ports: Ports, show_id: str, vehicles: tuple[str, ...]
) -> list[tuple[str, str]]:
    """Name what is no vehicle of the shop, or archived since this show booked it."""
    garage = {one.vehicle.id for one in ports.fleet.vehicles()}
    away = aside.aside(ports) - frozenset(ports.shows.vehicles(show_id))
    faults = []
    for place, vehicle in enumerate(vehicles):
        field = f"vehicles.{place}"
        if vehicle not in garage:
            faults.append((field, f"expected a vehicle of the shop, got {vehicle}"))
        elif vehicle in away:
            faults.append((field, f"{vehicle} is archived: take it out of the archive first"))
    return faults


def new_show(ports: Ports, show: ShowRecord, asked: Asked) -> ShowRecord:
    """Add a show with a join code of its own."""
    kept = put_show(ports, replace(show, id=secrets.short_id(), created_at=ports.now()), asked)
    renew_join(ports, kept.id)
    return show_of(ports, kept.id)


def renew_join(ports: Ports, show_id: str) -> None:
    """Give a show a new join code; the one before it is dead at once."""
    show = show_of(ports, show_id)
    if show.closed_at is not None:
        raise Conflict("This show is closed: nobody joins it any more.")
    ports.shows.set_join(show_id, secrets.join_code(), ports.now() + LEAST_MS)


def set_pin(ports: Ports, show_id: str, pin: str | None) -> str:
    """Set the chief's PIN; return it, to be shown this once."""
    show_of(ports, show_id)
    chosen = pin or secrets.pin()
    if len(chosen) < PIN_LEAST or len(set(chosen)) < 2:
        raise Wrong("This PIN is guessed at once.", (("pin", "expected another one"),))
    ports.shows.set_pin(show_id, secrets.hash_password(chosen))
    ports.guesses.forget(f"pin {show_id}")  # guesses at the PIN before count no more
    return chosen


def core_show(ports: Ports, show_id: str) -> Show:
    """Return the show as the planner takes it: called cases with their wishes, booked vehicles."""
    record = show_of(ports, show_id)
    fleet = {
        one.case.code: replace(one.case, weighed=bool(one.notes.weighed_on))
        for one in ports.fleet.cases()
    }
    garage = {one.vehicle.id: one.vehicle for one in ports.fleet.vehicles()}
    return Show(
        name=record.name,
        date=record.date,
        rules=record.rules,
        units=record.units,
        details=record.details,
        vehicles=tuple(garage[vehicle] for vehicle in ports.shows.vehicles(show_id)),
        cases=tuple(
            replace(
                fleet[one.code],
                drop=one.drop,
                vehicle=one.vehicle,
                near=one.near,
                together=one.together,
                priority=one.priority,
            )
            for one in ports.shows.called(show_id)
        ),
    )


def ask_plan(
    ports: Ports,
    show_id: str,
    *,
    seconds: int,
    seed: int,
    differs: dict[str, Any] | None = None,
) -> Job:
    """Put planning into the queue; a show is planned by one job at a time.

    `differs`: other vehicles, or a revision and its loaded rows (service/edit_plan).
    """
    show = core_show(ports, show_id)
    if not show.vehicles and not {"vehicles", "revision"}.intersection(differs or {}):
        raise Wrong("Nothing can be planned.", (("vehicles", "expected at least one vehicle"),))
    if not show.cases:
        raise Wrong("Nothing can be planned.", (("cases", "expected at least one case"),))
    busy = ports.jobs.busy(show_id)
    if busy is not None:
        raise Conflict("This show is being planned already: stop that first.")
    job = Job(secrets.short_id(), show_id, "waiting", seconds, seed, asked=differs)
    ports.jobs.add(job, ports.now())
    ports.start_planner()
    return job


def look_for_jobs_left(ports: Ports) -> None:
    """Let a worker do what one left that ended suddenly; called now and then."""
    if ports.jobs.left(ports.now(), SILENT_MS):
        ports.start_planner()


def job_of(ports: Ports, show_id: str, job_id: str) -> Job:
    """Return a job of this show; Unknown when there is none."""
    job = ports.jobs.get(job_id)
    if job is None or job.show != show_id:
        raise Unknown("There is no such planning.")
    return job


def revision_of(ports: Ports, show_id: str, revision: int) -> PlanRecord:
    """Return a revision; Unknown when there is none."""
    record = ports.plans.get(show_id, revision)
    if record is None:
        raise Unknown(f"There is no revision {revision}.")
    return record


def keep_plan(
    ports: Ports, show_id: str, show: Show, plan: Plan, faults: tuple[str, ...]
) -> PlanRecord:
    """Keep a plan as the next revision."""
    return ports.plans.add(show_id, show, plan, faults, ports.now())


def _book(ports: Ports, record: PlanRecord) -> None:
    """Book the vehicles of a plan that was made with others than the show had."""
    planned = [vehicle.id for vehicle in record.show.vehicles]
    version = ports.versions.number("show", record.show_id)
    if planned == ports.shows.vehicles(record.show_id):
        return
    called = [
        one if one.vehicle in {None, *planned} else replace(one, vehicle=None)
        for one in ports.shows.called(record.show_id)
    ]
    stamp = Stamp(ports.now(), ports.by)
    try:
        ports.shows.put(show_of(ports, record.show_id), planned, called, stamp, version)
    except Stale as stale:
        raise Conflict("Somebody changed this show just now: look again, then issue.") from stale


def concerns_of(ports: Ports, show_id: str, revision: int) -> tuple[Concern, ...]:
    """Return what should be settled before a revision is issued."""
    record = revision_of(ports, show_id, revision)
    show = replace(record.show, details=show_of(ports, show_id).details)
    record = replace(record, show=show)
    return concerns(record, hand_out.sheets(record.show, record.plan, {}))


def issue(
    ports: Ports,
    show_id: str,
    revision: int,
    by: Session | None,
    address: str,
    *,
    words: Mapping[str, str],
) -> None:
    """Put a revision into the crew's hands; one that the judge faults is never issued.

    `words`: why each concern stays; one without a word is refused, whoever asks. They are written
    into the audit.
    """
    record = revision_of(ports, show_id, revision)
    if record.faults:
        raise Wrong(
            "The judge found this plan unlawful: it is not issued.",
            tuple(("plan", fault) for fault in record.faults[:20]),
        )
    if show_of(ports, show_id).closed_at is not None:
        raise Conflict("This show is closed.")
    away = aside.first_aside(ports, (one.id for one in record.show.vehicles))
    if away is not None:
        raise Conflict(
            f"{away} is archived: take it out of the archive before this plan is issued."
        )
    said = _answered(ports, show_id, revision, words)
    _book(ports, record)
    marks = {one.vehicle.id: one.mark for one in ports.fleet.vehicles()}
    sheets = hand_out.sheets(record.show, record.plan, marks)
    ports.plans.issue(show_id, revision, sheets, ports.now(), by=ports.by)
    ports.audit.add(
        at=ports.now(),
        who=by,
        address=address,
        action="issued",
        show=show_id,
        detail=f"revision {revision}{said}"[:400],
    )


def _answered(ports: Ports, show_id: str, revision: int, words: Mapping[str, str]) -> str:
    """Return the words for the audit; Wrong names every concern that has none."""
    open_ones = concerns_of(ports, show_id, revision)
    missing = [one for one in open_ones if not words.get(one.key, "").strip()]
    if missing:
        raise Wrong(
            "Some of what is wrong with this plan has no way out and no word yet.",
            tuple(
                (one.key, f"{one.title}: {one.way} Or say why it stays: words.{one.key}")
                for one in missing
            ),
        )
    return "".join(f"; {one.key}: {words[one.key].strip()}" for one in open_ones)
