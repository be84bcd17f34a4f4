"""Many cases at once: one change for all, their labels, where one was seen."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any, Final

from server.core.shop.case import Case
from server.core.shop.columns import columns
from server.service.changing import together
from server.service.document_records import Expected
from server.service.label_paper import LabelPaper
from server.service.ports import Ports
from server.service.records import CaseNotes, FleetCase
from server.service.troubles import Unknown, Wrong

MOST_SEEN: Final = 200
OF_THE_CASE: Final = frozenset(columns(Case))
OF_THE_NOTES: Final = frozenset(columns(CaseNotes))
WORDS: Final = {
    "on": "went on board",
    "off": "came off",
    "seen": "seen",
    "damaged": "reported damaged",
    "excused": "excused",
    "added": "added at the dock",
    "unexcused": "excuse taken back",
}


def picked(ports: Ports, codes: list[str]) -> list[FleetCase]:
    """Return the cases of these codes; Wrong names each that is not in the fleet."""
    fleet = {one.case.code: one for one in ports.fleet.cases()}
    faults = [
        (f"codes.{place}", f"expected a case of the fleet, got {code[:60]}")
        for place, code in enumerate(codes)
        if code not in fleet
    ]
    if faults:
        raise Wrong("Not all of these are in the fleet.", tuple(faults[:50]))
    return [fleet[code] for code in dict.fromkeys(codes)]


def change(ports: Ports, codes: list[str], values: dict[str, Any]) -> int:
    """Change every picked case, or none; return how many differ now."""
    return together(ports, "case", lambda expect: _change(ports, codes, values, expect))


def _change(ports: Ports, codes: list[str], values: dict[str, Any], expect: Expected) -> int:
    before = picked(ports, codes)
    of_case = {key: value for key, value in values.items() if key in OF_THE_CASE}
    of_notes = {key: value for key, value in values.items() if key in OF_THE_NOTES}
    others = {key: value for key, value in values.items() if key not in OF_THE_CASE | OF_THE_NOTES}
    after = [
        replace(
            one, case=replace(one.case, **of_case), notes=replace(one.notes, **of_notes), **others
        )
        for one in before
    ]
    changed = [now for was, now in zip(before, after, strict=True) if was != now]
    ports.fleet.put_cases(changed, ports.now(), by=ports.by, expect=expect)
    return len(changed)


def labels(ports: Ports, codes: list[str], paper: LabelPaper) -> bytes:
    """Return the labels of the picked cases as PDF."""
    return ports.print_labels(picked(ports, codes), ports.fleet.settings().units, paper)


def history(ports: Ports, code: str) -> list[dict[str, Any]]:
    """Return where phones saw a case, newest first: show, what happened, by whom, how read."""
    if ports.fleet.case(code) is None:
        raise Unknown(f"There is no case {code[:60]}.")
    names = {show.id: show.name for show in ports.shows.all()}
    return [_told(json.loads(text), names) for text in ports.log.of_case(code, MOST_SEEN)]


def _told(event: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    body = event["body"]
    kind = body["kind"]
    words = WORDS.get(kind, kind)
    where = body.get("place") or (event.get("vehicle") if kind in {"on", "off"} else "") or ""
    more = body.get("note") or body.get("why") or ""
    return {
        "at": event["at"],
        "show": event["show"],
        "show_name": names.get(event["show"], event["show"]),
        "what": ", ".join(filter(None, [f"{words} {where}".strip(), str(more)])),
        "by": event["by"]["name"],
        "read": body.get("read", ""),
    }
