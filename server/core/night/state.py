"""The night as the events tell it.

Every field stands under the same name in the phone's `pwa/src/core/state.ts`, None for null; both
suites compare them. Loading moves (shop_load, load_out): a case is done when it is on. Unloading
moves (load_in, put_away): when it is off (off the vehicle, or back in its home).
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any, Literal

from server.core.crew.bundle import Move
from server.core.night.event_kinds import ExcuseWhy, Read, Role
from server.core.night.event_kinds_way import Floor

Did = Literal["on", "off"]
Status = Literal["not_yet", "missing", "left_on_purpose", "never_came", "swapped", "other_vehicle"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Who said it, when and how; `at` is the phone's clock, `hlc` orders."""

    event: str
    move: Move
    vehicle: str | None
    device: str
    by: str
    by_id: str
    role: Role
    at: int
    hlc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseMark(Mark):
    """A case put on or taken off."""

    did: Did
    row: int | None
    read: Read
    why: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Excuse(Mark):
    """A due case that the chief accounts for."""

    code: str
    why: ExcuseWhy
    custodian: str | None
    collect_by: str | None
    for_code: str | None
    to_vehicle: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class NotOn:
    """One due case that is not done; `accounted`: the chief excused it."""

    code: str
    row: int | None
    status: Status
    accounted: bool
    for_code: str | None
    to_vehicle: str | None
    stands_on: str | None


@dataclass(frozen=True, slots=True)
class Stray:
    """On board, yet not due here: other_vehicle, swapped, excused, not_on_show or unknown."""

    code: str
    what: str
    due_on: str | None


@dataclass(frozen=True, slots=True)
class Conflict:
    """Recorded on `vehicle` and later on `stands_on`, never taken off the first."""

    code: str
    vehicle: str
    stands_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StrapCount(Mark):
    """Straps of a row as one phone counted them."""

    count: int
    filled: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RowState:
    """One row: open, full, strapped, or (unloading) empty."""

    number: int
    state: str
    called_full: bool
    needed: int
    counts: tuple[StrapCount, ...]
    counted: int | None
    disagreement: bool
    filled: bool
    needs_fill: bool
    due: tuple[str, ...]
    on: tuple[str, ...]
    taken_by: Mark | None
    reopened: int
    photos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CheckState:
    """One check of the list; open until it is answered well.

    `disagreement`: phones answered differently, each counted by its latest answer. `lacks`: what a
    yes still needs to count.
    """

    id: str
    gate: str
    open: bool
    ok: bool | None
    note: str | None
    photo: str | None
    disagreement: bool
    mark: Mark | None
    lacks: Literal["note", "photo"] | None = None


@dataclass(frozen=True, slots=True)
class AxleState:
    """Grams with the empty vehicle; `assumed`: codes whose place is not known.

    Where masses are assumed, each support and the gross are at their greatest, `least_front_g`,
    `least_rear_g` and `share` at their least, `most_share` at its greatest.
    """

    front_g: int
    rear_g: int
    gross_g: int
    share: float | None
    assumed: tuple[str, ...]
    least_front_g: int
    least_rear_g: int
    most_share: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One reason why a vehicle may not go, or the night not be signed off."""

    gate: str
    code: str | None = None
    row: int | None = None
    check: str | None = None
    device: str | None = None
    vehicle: str | None = None
    what: str | None = None
    value: float | None = None
    limit: float | None = None
    overridable: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Override(Mark):
    """A gate that the chief overrode by name."""

    gate: str
    why: str


@dataclass(frozen=True, slots=True)
class SignerName:
    """Who signed, as what."""

    role: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed(Mark):
    """A release or a sign-off, with the digest it sealed."""

    digest: str
    signers: tuple[SignerName, ...]


@dataclass(frozen=True, slots=True)
class RampState:
    """The ramp as measured at the venue; every figure of the way counts it in place of the plan."""

    rise_um: int
    length_um: int
    floor: Floor
    width_um: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One vehicle in one move; `row_of` of what stands on board.

    `place_of`: whose planned place each due or standing case takes, its own or that of the case it
    goes for; None where neither is planned here. `mass_g` is the load at worst, `least_mass_g` at
    its least; they differ by the `unweighed` cases on board. `before_open`: checks that hold the
    first case; empty once a case has moved.
    """

    move: Move
    vehicle: str
    due: tuple[str, ...]
    on: tuple[str, ...]
    off: tuple[str, ...]
    done: int
    marks: Mapping[str, CaseMark]
    excused: Mapping[str, Excuse]
    not_on: tuple[NotOn, ...]
    strays: tuple[Stray, ...]
    conflicts: tuple[Conflict, ...]
    rows: tuple[RowState, ...]
    row_of: Mapping[str, int | None]
    place_of: Mapping[str, str | None]
    checks: tuple[CheckState, ...] = ()
    before_open: tuple[str, ...] = ()
    hands: int | None = None
    ramp: RampState | None = None
    mass_g: int = 0
    least_mass_g: int = 0
    unweighed: tuple[str, ...] = ()
    axles: AxleState | None = None
    held: tuple[Held, ...] = ()
    overridden: tuple[Override, ...] = ()
    unsent_known: tuple[str, ...] = ()
    released: Signed | None = None
    recalled: Mark | None = None
    changed_since_release: bool = False
    first_at: int | None = None
    last_at: int | None = None


@dataclass(frozen=True, slots=True)
class StopState:
    """One stop of the walk."""

    id: str
    done: bool
    ok: bool | None
    note: str | None
    mark: Mark | None


@dataclass(frozen=True, slots=True)
class HomeCase:
    """One case on its way back to its home."""

    code: str
    away: bool
    damaged: bool
    mark: CaseMark | None


@dataclass(frozen=True, slots=True)
class HomeList:
    """What belongs into one home of the shop."""

    home: str
    cases: tuple[HomeCase, ...]


@cache
def _names(kind: Hashable) -> tuple[str, ...]:
    held: Any = kind
    return tuple(field.name for field in fields(held))


def as_json(value: Any) -> Any:
    """Return state as plain JSON, the shape that the phone holds."""
    if value is None or isinstance(value, str | int | float):
        return value
    if is_dataclass(value):
        kind: Any = type(value)
        return {name: as_json(getattr(value, name)) for name in _names(kind)}
    if isinstance(value, Mapping):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [as_json(one) for one in value]
    return value
