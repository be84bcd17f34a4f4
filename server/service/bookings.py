"""Before the plan: kits, a copy of a past show, who else wants a case that day, the calendar."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any, Final

from server.core.shop.details import Details, as_day
from server.service import aside, office, secrets
from server.service.ports import Ports
from server.service.records import ShowRecord
from server.service.troubles import Wrong

LINE_OCTETS: Final = 75  # RFC 5545, 3.1: longer lines are folded


def put_kits(
    ports: Ports, kits: list[dict[str, Any]], expect: int | None = None
) -> list[dict[str, Any]]:
    """Keep the kits: cases that go together, under a name; every code must be in the fleet."""
    codes = {one.case.code for one in ports.fleet.cases()}
    faults = [
        (f"{place}.codes", f"expected cases of the fleet, got {code[:60]}")
        for place, kit in enumerate(kits)
        for code in kit["codes"]
        if code not in codes
    ]
    names = [kit["name"].strip().lower() for kit in kits]
    if len(set(names)) < len(names):
        faults.append(("name", "expected each name once"))
    if faults:
        raise Wrong("These kits cannot be kept.", tuple(faults[:50]))
    kept = tuple(
        {"id": kit["id"] or secrets.short_id(), "name": kit["name"].strip(), "codes": kit["codes"]}
        for kit in kits
    )
    settings = replace(ports.fleet.settings(), kits=kept)
    ports.fleet.put_settings(settings, ports.now(), by=ports.by, expect=expect)
    return list(kept)


def copied(ports: Ports, show_id: str, name: str, day: str) -> tuple[ShowRecord, list[str]]:
    """Return a new show as the other one was called and booked, and what cannot go.

    That are cases that may not travel, and vehicles that are archived.
    """
    before = office.show_of(ports, show_id)
    states = {one.case.code: one.state for one in ports.fleet.cases()}
    called = ports.shows.called(show_id)
    stay = [one.code for one in called if states.get(one.code) in {None, "repair", "retired"}]
    away = aside.aside(ports)
    booked = ports.shows.vehicles(show_id)
    asked = office.Asked(
        tuple(one for one in booked if one not in away),
        tuple(
            replace(one, vehicle=None) if one.vehicle in away else one
            for one in called
            if one.code not in stay
        ),
    )
    fresh = replace(
        before, id="", name=name, date=day, cursor=0, issued=0, closed_at=None, join_code=None,
        join_ends_at=0, pin=None, details=_moved(before, day),
    )  # fmt: skip
    return office.new_show(ports, fresh, asked), [*stay, *(one for one in booked if one in away)]


def _moved(before: ShowRecord, day: str) -> Details:
    """Return the details of a copy on another day: load and return as many days away."""
    was, now = as_day(before.date), as_day(day)
    if was is None or now is None:
        return replace(before.details, load_day="", return_day="")

    def moved(text: str) -> str:
        there = as_day(text)
        return "" if there is None else (now + (there - was)).isoformat()

    details = before.details
    return replace(details, load_day=moved(details.load_day), return_day=moved(details.return_day))


def conflicts(
    ports: Ports, first: str, besides: str, last: str = ""
) -> dict[str, dict[str, list[str]]]:
    """Return which cases and vehicles other open shows have between two days, and their names.

    A show has them from its load day to its return day. `last` empty: one day only.
    """
    last = last or first
    cases: dict[str, list[str]] = {}
    vehicles: dict[str, list[str]] = {}
    for show in ports.shows.all() if first else ():
        begins, ends = show.details.span(show.date)
        if not begins or begins > last or ends < first:
            continue
        if show.id == besides or show.closed_at is not None:
            continue
        for one in ports.shows.called(show.id):
            cases.setdefault(one.code, []).append(show.name)
        for vehicle in ports.shows.vehicles(show.id):
            vehicles.setdefault(vehicle, []).append(show.name)
    return {"cases": cases, "vehicles": vehicles}


def calendar(ports: Ports, host: str, only: str | None = None) -> str:
    """Return every dated show, or one, as iCalendar (RFC 5545): all-day events.

    An event keeps its UID; its SEQUENCE (3.8.7.4) is the version of the show, so that a calendar
    that subscribes takes the later one.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Rowcall//Shows//EN", "CALSCALE:GREGORIAN"]
    numbers = ports.versions.numbers("show")
    counts = ports.shows.counts()
    for show in ports.shows.all():
        if only is not None and show.id != only:
            continue
        try:
            day = date.fromisoformat(show.date)
        except ValueError:
            continue
        cases, vehicles = counts.get(show.id, (0, []))
        held = f"{cases} cases in {', '.join(vehicles) or 'no vehicle yet'}"
        begins, ends = (as_day(one) or day for one in show.details.span(show.date))
        if begins < day or day < ends:
            held += f"; load {begins}, show {day}, return {ends}"
        venue = show.details.venue
        where = [f"LOCATION:{_text(venue.name)}"] if venue and venue.name else []
        lines += [
            "BEGIN:VEVENT",
            f"UID:{show.id}@{host}",
            f"DTSTAMP:{_stamp(show.created_at)}",
            f"SEQUENCE:{numbers.get(show.id, 1)}",
            f"DTSTART;VALUE=DATE:{begins:%Y%m%d}",
            f"DTEND;VALUE=DATE:{ends + timedelta(days=1):%Y%m%d}",
            f"SUMMARY:{_text(show.name)}",
            *where,
            f"DESCRIPTION:{_text(held)}",
            "TRANSP:OPAQUE",
            "END:VEVENT",
        ]
    return "".join(f"{_folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def _stamp(ms: int) -> str:
    return f"{datetime.fromtimestamp(ms / 1000, UTC):%Y%m%dT%H%M%SZ}"


def _text(text: str) -> str:
    """Escape text by RFC 5545, 3.3.11."""
    plain = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return plain.replace("\n", "\\n")


def _folded(line: str) -> str:
    """Fold a line by RFC 5545, 3.1, never inside a character."""
    parts: list[bytes] = []
    now = b""
    for character in line:
        octets = character.encode()
        if len(now) + len(octets) > LINE_OCTETS - (1 if parts else 0):
            parts.append(now)
            now = b""
        now += octets
    parts.append(now)
    return b"\r\n ".join(parts).decode()
