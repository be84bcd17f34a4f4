"""Bundle: what one phone needs for a show, as far as the fold reads it; micrometres and grams.

The bundle itself travels as JSON (`rowcall-bundle-1`); here it becomes frozen types. What only
screens read (names, figures, words) stays in the JSON.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from server.core.shop.vehicle import Axles

Move = Literal["shop_load", "load_in", "load_out", "put_away"]
MOVES: Final[tuple[Move, ...]] = ("shop_load", "load_in", "load_out", "put_away")
LOADING: Final[frozenset[Move]] = frozenset({"shop_load", "load_out"})
Scope = Literal["vehicle", "show"]


@dataclass(frozen=True, slots=True)
class PlaceSheet:
    """Where a case is planned along the vehicle, what carries it and how many people it asks."""

    code: str
    y: int
    dy: int
    z: int = 0
    on: tuple[str, ...] = ()
    side: str = "full"
    push: int = 0
    lift: int = 0


@dataclass(frozen=True, slots=True)
class RowSheet:
    """One planned row and the straps it needs."""

    number: int
    start_um: int
    depth_um: int
    slack_um: int
    straps: int
    places: tuple[PlaceSheet, ...]
    void_um: int = 0


@dataclass(frozen=True, slots=True)
class VehicleSheet:
    """One vehicle's rows, limits and the order of its cases both ways.

    `unread`: plates and labels of which nobody entered the figure (payload, straps, ramp, lift
    gate, axles).
    """

    id: str
    payload_g: int | None
    floor_length_um: int
    axles: Axles | None
    rows: tuple[RowSheet, ...]
    load: tuple[str, ...]
    unload: tuple[str, ...]
    wll_g: int | None = None
    unread: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CaseCard:
    """A case of the fleet; `drop` None: not on this show.

    `mass_g` 0: nobody stated it; `most_g` is then what it weighs at worst, by its size.
    """

    code: str
    home: str
    mass_g: int
    drop: int | None
    owner: str
    state: str
    most_g: int = 0


@dataclass(frozen=True, slots=True)
class Check:
    """One question of a list, asked for each vehicle or once for the show.

    `note` and `photo`: a yes counts with them only, where a note may say why there is no photo.
    `before`: it is asked before the first case moves.
    """

    id: str
    move: Move
    scope: Scope
    gate: str
    note: bool = False
    photo: bool = False
    before: bool = False


@dataclass(frozen=True, slots=True)
class Bundle:
    """All that the fold reads of a show; `homes` in the order in which the owner walks them."""

    show: str
    revision: int
    slack_limit_um: int | None
    vehicles: tuple[VehicleSheet, ...]
    cases: Mapping[str, CaseCard]
    checks: tuple[Check, ...]
    walk: tuple[str, ...]
    homes: tuple[str, ...] = ()


def read_bundle(document: Mapping[str, Any]) -> Bundle:
    """Return the typed part of a bundle that this server wrote."""
    return Bundle(
        show=document["show"]["id"],
        revision=document["revision"],
        slack_limit_um=document["rules"]["slack_limit_um"],
        vehicles=tuple(_vehicle(sheet) for sheet in document["vehicles"]),
        cases={code: _card(card) for code, card in document["cases"].items()},
        checks=tuple(
            Check(
                one["id"],
                one["move"],
                one["scope"],
                one["gate"],
                bool(one.get("note")),
                bool(one.get("photo")),
                one.get("moment") == "before",
            )
            for one in document["checks"]
        ),
        walk=tuple(stop["id"] for stop in document["walk"]),
        homes=tuple(document.get("homes", ())),
    )


def _vehicle(sheet: Mapping[str, Any]) -> VehicleSheet:
    axles = sheet["axles"]
    return VehicleSheet(
        id=sheet["id"],
        payload_g=sheet["payload_g"],
        floor_length_um=sheet["floor_length_um"],
        axles=None if axles is None else Axles(**axles),
        rows=tuple(_row(row) for row in sheet["rows"]),
        load=tuple(sheet["load"]),
        unload=tuple(sheet["unload"]),
        wll_g=(sheet.get("straps") or {}).get("wll_g"),
        unread=_unread(sheet),
    )


def _unread(sheet: Mapping[str, Any]) -> tuple[str, ...]:
    """Name the plates that nobody entered; a gross limit bounds the load as a payload does."""
    ramp, axles, gate = sheet.get("ramp"), sheet["axles"], sheet.get("lift_gate")
    gross = None if axles is None else axles.get("gross_limit_g")
    found = {
        "payload": sheet["payload_g"] is None and gross is None,
        "straps": (sheet.get("straps") or {}).get("wll_g") is None,
        "ramp": ramp is not None and ramp.get("rating_g") is None,
        "lift_gate": gate is not None and gate.get("rating_g") is None,
        "axles": _axles_unread(axles),
    }
    return tuple(name for name, missing in found.items() if missing)


def _axles_unread(axles: Mapping[str, Any] | None) -> bool:
    """Return whether a limit of a support is not known; without axles their loads are not."""
    if axles is None:
        return True
    return axles.get("front_limit_g") is None or axles.get("rear_limit_g") is None


def _row(row: Mapping[str, Any]) -> RowSheet:
    places = tuple(
        PlaceSheet(
            code=place["code"],
            y=place["y"],
            dy=place["dy"],
            z=place["z"],
            on=tuple(place["on"]),
            side=place["side"],
            push=place["push"],
            lift=place["lift"],
        )
        for place in row["places"]
    )
    return RowSheet(
        row["number"],
        row["start_um"],
        row["depth_um"],
        row["slack_um"],
        row["straps"],
        places,
        row.get("void_um", 0),
    )


def _card(card: Mapping[str, Any]) -> CaseCard:
    return CaseCard(
        card["code"],
        card["home"],
        card["mass_g"],
        card["drop"],
        card["owner"],
        card["state"],
        card.get("most_g", 0),
    )
