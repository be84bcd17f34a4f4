"""Further tags of cases: each names one case, and a crew binds a new one with its phone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from server.core.shop.tags import MOST_TAGS, case_of, tag_faults, tag_key, tag_owners
from server.service.ports import Ports
from server.service.records import FleetCase
from server.service.troubles import Conflict, Unknown, Wrong


def owners_of(cases: Iterable[FleetCase]) -> dict[str, str]:
    """Return tag key → code of the case that carries the tag."""
    return tag_owners((one.case.code, one.notes.tags) for one in cases)


def refuse_tags(ports: Ports, cases: Iterable[FleetCase]) -> None:
    """Refuse cases whose tags name another case already; Wrong names each."""
    new = {one.case.code: one for one in cases}
    if not any(one.notes.tags for one in new.values()):
        return
    fleet = {one.case.code: one for one in ports.fleet.cases()} | new
    taken: dict[str, str] = {}
    for one in sorted(fleet.values(), key=lambda one: one.case.code in new):
        for tag in one.notes.tags:
            taken.setdefault(tag_key(tag), one.case.code)
    faults = [
        (f"tags of {code}", fault)
        for code, one in new.items()
        for fault in tag_faults(code, one.notes.tags, taken, fleet.keys())
    ]
    if faults:
        raise Wrong(f"A tag names one case only: {faults[0][1]}.", tuple(faults[:50]))


def bind(ports: Ports, code: str, text: str) -> str:
    """Add a tag to a case; return the case's code. The same tag again changes nothing."""
    one = ports.fleet.case(code)
    if one is None:
        raise Unknown(f"There is no case {code[:60]}.")
    fleet = ports.fleet.cases()
    named = case_of(text, {each.case.code for each in fleet}, owners_of(fleet))
    if named == code:
        return code
    if named is not None:
        raise Conflict(f"This tag is of {named} already: change that in the office.")
    if len(one.notes.tags) >= MOST_TAGS:
        raise Conflict(f"A case has at most {MOST_TAGS} further tags: remove one in the office.")
    tagged = replace(one, notes=replace(one.notes, tags=(*one.notes.tags, text.strip())))
    refuse_tags(ports, [tagged])
    ports.fleet.put_cases([tagged], ports.now(), by=ports.by)
    return code
