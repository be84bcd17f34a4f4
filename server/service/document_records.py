"""Documents of the office with versions: what they were, when and by whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from server.core.base.units import Units
from server.core.shop.details import Details
from server.core.shop.show import Rules
from server.service.records import Called, FleetCase, FleetVehicle, ShopSettings

DocumentKind = Literal["shop", "case", "vehicle", "show"]
# The version that a change replaces: of one document, or of each by its id (0: it is new).
Expected = int | Mapping[str, int] | None


@dataclass(frozen=True, slots=True)
class ShowDocument:
    """All that the office says of a show, as one document with versions."""

    name: str
    date: str
    rules: Rules
    units: Units
    vehicles: tuple[str, ...]
    called: tuple[Called, ...]
    issued: int = 0
    closed: bool = False
    details: Details = field(default_factory=Details)


@dataclass(frozen=True, slots=True)
class Stamp:
    """When something was done, and by whom; empty: by a command on the server."""

    at: int
    by: str = ""


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a document as it was kept."""

    number: int
    stamp: Stamp
    document: ShopSettings | FleetCase | FleetVehicle | ShowDocument


Scope = Literal["read", "change", "metrics", "calendar"]


@dataclass(frozen=True, slots=True)
class ApiToken:
    """A token of another program: what it may do, until when, when it was last used."""

    id: str
    name: str
    scope: Scope
    show: str | None
    made_by: str
    created_at: int
    ends_at: int
    used_at: int | None = None
