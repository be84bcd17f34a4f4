"""What the state holds for the whole show, beside its legs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from server.core.crew.bundle import Move
from server.core.night.event_kinds import ExcuseWhy, Read, Role, WeighedHow
from server.core.night.state import Held, HomeList, Leg, Mark, Signed, StopState


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardState(Mark):
    """Something that can hurt someone and is still there."""

    hazard: str
    text: str
    photo: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Damage(Mark):
    """A case found damaged."""

    code: str
    note: str
    photo: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedCase(Mark):
    """A sub-hired or late case."""

    code: str
    name: str
    owner: str
    travels: bool
    length_um: int | None
    width_um: int | None
    height_um: int | None
    mass_g: int | None
    photo: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedState(Mark):
    """The latest mass of a case by a scale or by the chief's guess."""

    code: str
    mass_g: int
    how: WeighedHow


@dataclass(frozen=True, slots=True)
class DeviceState:
    """A phone by its own numbers; `gaps`: ranges (first, last) that have not arrived yet."""

    device: str
    by: str
    by_id: str
    role: Role
    last_n: int
    gaps: tuple[tuple[int, int], ...]
    at: int
    hlc: str


Whereabouts = Literal["vehicle", "place", "shop", "venue", "home"]
"""Where a case was when last seen: on its vehicle, at a named place, at shop or venue, home."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenState(Mark):
    """Where a case was last seen, and how."""

    code: str
    what: str
    where: Whereabouts
    place: str | None
    read: Read | None

    @property
    def words(self) -> str:
        """Where it was, in English: for papers and the morning's list."""
        match self.where:
            case "vehicle":
                return f"on {self.vehicle or 'a vehicle'}"
            case "place":
                return self.place or "seen"
            case "home":
                return "home"
        off = f"off {self.vehicle} " if self.what == "off" and self.vehicle else ""
        return f"{off}at the {self.where}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """What the chief said of a case, and what is recorded of it (None: its spare is no case)."""

    code: str
    move: Move
    vehicle: str | None
    why: ExcuseWhy
    note: str | None
    by: str
    at: int
    seen: SeenState | None


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The whole night; `not_back`: what next morning has to be chased."""

    legs: Mapping[Move, Mapping[str, Leg]]
    walk: tuple[StopState, ...]
    hazards: tuple[HazardState, ...]
    damaged: Mapping[str, Damage]
    added: Mapping[str, AddedCase]
    weighed: Mapping[str, WeighedState]
    devices: Mapping[str, DeviceState]
    last_seen: Mapping[str, SeenState]
    contradictions: tuple[Contradiction, ...]
    put_away: tuple[HomeList, ...]
    not_back: tuple[str, ...]
    signoff_held: tuple[Held, ...]
    signed_off: Signed | None
    closed: Mark | None
