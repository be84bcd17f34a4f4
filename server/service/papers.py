"""Papers of a show: the sheet of every vehicle, and the record of the night."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from server.core.crew.bundle import read_bundle
from server.core.crew.show_papers import ShowPapers
from server.core.night.fold import fold
from server.core.night.house_state import State
from server.core.night.record_chain import head
from server.core.night.record_sheet import Drawing, Night
from server.service import hand_out
from server.service.ports import Ports
from server.service.records import PlanRecord
from server.service.seal import fingerprint
from server.service.stored import read_stored
from server.service.troubles import Conflict, Unknown


def sheets(ports: Ports, show_id: str, vehicle: str | None, address: str) -> bytes:
    """Return the sheets of the issued plan, of all vehicles or one, with the join QR."""
    record = ports.shows.show(show_id)
    issued = _issued(ports, show_id)
    plan = issued.plan
    if vehicle is not None:
        kept = tuple(one for one in plan.vehicles if one.vehicle == vehicle)
        if not kept:
            raise Unknown(f"The plan has no vehicle {vehicle}.")
        plan = replace(plan, vehicles=kept)
    code = None if record is None else record.join_code
    return ports.draw_sheets(issued.show, plan, f"{address}/join#{code}" if code else None)


def tape_up(ports: Ports, show_id: str, kind: str, address: str) -> bytes:
    """Return the wall sheet, the driver's sheet or the pull list of the issued plan."""
    record = ports.shows.show(show_id)
    issued = _issued(ports, show_id)
    code = None if record is None else record.join_code
    marks = {one.vehicle.id: one.mark for one in ports.fleet.vehicles()}
    papers = ShowPapers(
        show=issued.show,
        plan=issued.plan,
        sheets=tuple(issued.sheets or hand_out.sheets(issued.show, issued.plan, marks)),
        revision=issued.revision,
        homes=ports.fleet.settings().homes,
        of_case={one.case.code: one.case.home for one in ports.fleet.cases()},
        join_url=f"{address}/join#{code}" if code else None,
        language=ports.fleet.settings().language,
    )
    return ports.draw_papers(kind, papers)


def record(ports: Ports, show_id: str) -> bytes:
    """Return the record of a show as a PDF, folded from the log."""
    issued = _issued(ports, show_id)
    bundle = hand_out.bundle(ports, show_id)
    stored = ports.log.all(show_id)
    documents = [json.loads(one.document) for one in stored]
    state = fold(read_bundle(bundle), read_stored(stored))
    return ports.draw_record(
        Night(
            show=issued.show,
            plan=issued.plan,
            state=state,
            head=head(show_id, documents),
            key=fingerprint(ports),
            checks=_words(bundle["checks"]),
            walk=_words(bundle["walk"]),
            when=_when,
            drawings={one["id"]: _drawings(one["body"]) for one in documents},
            photos=_photos(ports, show_id, state),
        )
    )


def _issued(ports: Ports, show_id: str) -> PlanRecord:
    record = ports.shows.show(show_id)
    if record is None:
        raise Unknown("There is no such show.")
    plan = ports.plans.get(show_id, record.issued) if record.issued else None
    if plan is None:
        raise Conflict("No plan of this show is issued yet.")
    # Names of drops, days and venue are as the office has them now.
    return replace(plan, show=replace(plan.show, details=record.details))


def _words(listed: Iterable[Mapping[str, Any]]) -> dict[str, str]:
    return {one["id"]: one["text"].get("en") or next(iter(one["text"].values())) for one in listed}


def _drawings(body: Mapping[str, Any]) -> tuple[Drawing, ...]:
    return tuple(
        (str(one.get("role", "")), str(one.get("name", "")), str(one.get("signature", "")))
        for one in body.get("signers") or ()
    )


def _photos(ports: Ports, show_id: str, state: State) -> dict[str, bytes]:
    """Return the photos of rows and of checks, as far as they have arrived."""
    legs = [leg for legs in state.legs.values() for leg in legs.values()]
    wanted = {photo for leg in legs for row in leg.rows for photo in row.photos}
    wanted |= {check.photo for leg in legs for check in leg.checks if check.photo}
    found = {name: ports.photos.get(show_id, name) for name in sorted(wanted)}
    return {name: photo.content for name, photo in found.items() if photo is not None}


def _when(ms: int) -> str:
    try:
        return datetime.fromtimestamp(ms / 1000, UTC).strftime("%d %b %H:%M UTC")
    except (OverflowError, ValueError, OSError):
        return f"clock {ms}"  # a phone's clock may say anything
