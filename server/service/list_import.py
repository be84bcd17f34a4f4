"""The lines of a case list into the fleet: good lines are saved, the others come back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from server.core.shop.case import Case
from server.core.shop.case_code import BadCode, Refused
from server.core.shop.numbering import OwnNumbering
from server.core.shop.own_pattern import canonical_code, fits, is_checked, pattern_of
from server.service.changing import together
from server.service.document_records import Expected
from server.service.ports import Ports
from server.service.records import CaseNotes, FleetCase, ShopSettings
from server.service.shop import numbering
from server.service.troubles import Wrong

NO_STACKING: Final = (
    "No lid of the fleet carries anything, so nothing will be stacked: "
    "set what lids carry for each kind of case."
)


@dataclass(frozen=True, slots=True)
class ListLine:
    """One case of a list as its owner accepted it; None: the list does not state it."""

    code: str
    sides_um: tuple[int, int, int]
    mass_g: int | None = None
    name: str = ""
    department: str = ""
    home: str = ""
    note: str = ""
    lid_load_g: int | None = None
    rides: bool | None = None
    casters: bool | None = None


@dataclass(frozen=True, slots=True)
class RefusedLine:
    """A line that was not saved: its place from 0, the wrong field and what is expected."""

    place: int
    code: str
    field: str
    message: str


@dataclass(frozen=True, slots=True)
class ListImported:
    """What was saved; `numbering` is the pattern of the shop's numbers from now on."""

    new: int
    changed: int
    same: int
    refused: tuple[RefusedLine, ...]
    numbering: str
    hint: str


def own_numbering(ports: Ports, codes: Sequence[str]) -> str:
    """Return the pattern to offer for these numbers; empty where they fit as they are."""
    looks = numbering(ports.fleet.settings())
    kept = [canonical_code(code) for code in codes if code]
    if not kept or all(not isinstance(looks.canonical(code), Refused) for code in kept):
        return ""
    fleet = [one.case.code for one in ports.fleet.cases()]
    return "" if any(is_checked(code) for code in fleet) else pattern_of([*fleet, *kept])


def import_lines(ports: Ports, lines: Sequence[ListLine], pattern: str = "") -> ListImported:
    """Save every good line; a `pattern` makes the numbers of the list the shop's own."""
    return together(ports, "case", lambda expect: _import(ports, lines, pattern, expect))


def _import(
    ports: Ports, lines: Sequence[ListLine], pattern: str, expect: Expected
) -> ListImported:
    shop_version = ports.versions.number("shop", "1")
    settings = ports.fleet.settings()
    there = {one.case.code: one for one in ports.fleet.cases()}
    if pattern:
        settings = _numbered(settings, pattern, there)
    looks = numbering(settings)
    refused: list[RefusedLine] = []
    good: dict[str, FleetCase] = {}
    for place, line in enumerate(lines):
        code = canonical_code(line.code)
        answer = looks.canonical(code)
        if not code:
            refused.append(RefusedLine(place, code, "code", "expected a number of the case"))
        elif isinstance(answer, Refused) and code not in there:
            refused.append(RefusedLine(place, code, "code", answer.reason))
        elif code in good:
            refused.append(RefusedLine(place, code, "code", f"{code} is in the list twice"))
        else:
            good[code] = _case(line, code, there.get(code))
    new = [one for code, one in good.items() if code not in there]
    changed = [one for code, one in good.items() if code in there and there[code] != one]
    if pattern and new:
        ports.fleet.put_settings(settings, ports.now(), by=ports.by, expect=shop_version)
    ports.fleet.put_cases([*new, *changed], ports.now(), by=ports.by, expect=expect)
    fleet = {**there, **good}.values()
    stacks = any(one.case.lid_load_g or one.case.lid_casters for one in fleet)
    return ListImported(
        len(new),
        len(changed),
        len(good) - len(new) - len(changed),
        tuple(refused),
        settings.numbering,
        "" if stacks or not good else NO_STACKING,
    )


def _numbered(settings: ShopSettings, pattern: str, codes: Iterable[str]) -> ShopSettings:
    """Return the settings with an own numbering; Wrong where it leaves out a case of the fleet."""
    try:
        OwnNumbering(pattern)
        unfit = next((code for code in codes if not fits(pattern, code)), None)
    except BadCode as bad:
        raise Wrong(str(bad), (("numbering", f"expected {bad.expected}"),)) from bad
    if unfit is not None:
        detail = f"{unfit} of the fleet does not fit the numbering {pattern}."
        raise Wrong(detail, (("numbering", "expected one that every case of the fleet fits"),))
    return replace(settings, numbering=pattern)


def _case(line: ListLine, code: str, before: FleetCase | None) -> FleetCase:
    """Return the case of a line; what the list does not state stays as it was."""
    length, width, height = line.sides_um
    old = before or FleetCase(Case(code, length, width, height))
    case = replace(
        old.case,
        length_um=length,
        width_um=width,
        height_um=height,
        name=line.name or old.case.name,
        department=line.department or old.case.department,
        home=line.home or old.case.home,
        mass_g=old.case.mass_g if line.mass_g is None else line.mass_g,
        lid_load_g=old.case.lid_load_g if line.lid_load_g is None else line.lid_load_g,
        rides=old.case.rides if line.rides is None else line.rides,
        casters=old.case.casters if line.casters is None else line.casters,
    )
    notes: CaseNotes = replace(old.notes, note=line.note or old.notes.note)
    return replace(old, case=case, notes=notes)
