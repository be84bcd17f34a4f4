"""Show files read into core types: one function a model, units turned at this edge."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from server.core.base.units import Units, to_g, to_um
from server.core.shop.case import Case
from server.core.shop.columns import Declared, columns
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Axles, LiftGate, Narrow, Ramp, Straps, Track, Vehicle
from server.core.shop.vehicle_faults import vehicle_faults
from server.files.errors import bad_input
from server.files.show_details import details_of, refuse_details
from server.files.show_schema import (
    BallAxles,
    CaseModel,
    KingpinAxles,
    NarrowModel,
    RulesModel,
    ShowModel,
    TruckAxles,
    VehicleModel,
)
from server.trouble import BadInput


def read_json(path: Path) -> Any:
    """Return the JSON of a file; BadInput names line and column where it breaks off."""
    try:
        return json.loads(path.read_bytes(), object_pairs_hook=lambda pairs: _once(pairs, path))
    except OSError as error:
        raise BadInput(str(path), "a file that can be read", error.strerror) from error
    except UnicodeDecodeError as error:
        raise BadInput(str(path), "UTF-8 text", f"byte {error.start} that is none") from error
    except json.JSONDecodeError as error:
        place = f"{path}: line {error.lineno}, column {error.colno}"
        raise BadInput(place, "JSON", error.msg) from error
    except RecursionError as error:
        raise BadInput(str(path), "JSON of sensible depth", "endless nesting") from error


def _once(pairs: list[tuple[str, Any]], path: Path) -> dict[str, Any]:
    """Return an object whose keys stand once; of a repeated key JSON would keep the last."""
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise BadInput(f"{path}: {key}", "this key once in its object", "it twice")
        found[key] = value
    return found


def read_show(path: Path) -> Show:
    """Read a show file; BadInput names file, place and what was expected."""
    return parse_show(read_json(path), str(path))


def parse_show(document: object, place: str = "show") -> Show:
    """Turn a show document into a Show; BadInput names the place inside it."""
    try:
        model = ShowModel.model_validate(document)
    except ValidationError as error:
        raise bad_input(place, error) from error
    scale = _Scale(Units(model.units.length, model.units.mass))
    try:
        show = Show(
            name=model.name,
            date=model.date,
            units=scale.units,
            rules=scale.rules(model.rules),
            details=details_of(model, scale.units),
            vehicles=tuple(scale.vehicle(vehicle) for vehicle in model.vehicles),
            cases=tuple(one for case in model.cases for one in scale.cases(case)),
        )
    except ValueError as error:
        where, _, rest = str(error).rpartition("expected ")
        expected, _, got = rest.partition(", got ")
        raise BadInput(
            f"{place}: {where.strip(' :') or 'show'}", expected, got or "other"
        ) from error
    refuse_details(show, place)
    _refuse_impossible(show, place)
    return show


# What a support is called in the file, by the kind of its vehicle.
_SUPPORTS: Final[dict[str, tuple[str, str]]] = {
    "truck": ("front", "rear"),
    "kingpin": ("kingpin", "axles"),
    "ball": ("tongue", "axle"),
}


def _least_share(model: TruckAxles | KingpinAxles | BallAxles) -> float | None:
    if isinstance(model, TruckAxles):
        return model.steering_share_min
    return model.tongue_share_min if isinstance(model, BallAxles) else None


def _refuse_impossible(show: Show, place: str) -> None:
    """Raise BadInput naming the first field of a vehicle that cannot be."""
    for number, vehicle in enumerate(show.vehicles):
        faults = vehicle_faults(vehicle, show.units)
        if not faults:
            continue
        first = faults[0]
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        where = f"{place}: vehicles[{number}].{_in_file(first.field, vehicle)}"
        raise BadInput(where, first.expected, first.got + more)


def _in_file(field: str, vehicle: Vehicle) -> str:
    """Return the key of a field as this kind of vehicle has it in the file."""
    if vehicle.axles is None or not field.startswith("axles."):
        return field
    front, rear = _SUPPORTS[vehicle.axles.kind]
    words = field.removeprefix("axles.").split("_")
    named = "_".join({"front": front, "rear": rear}.get(word, word) for word in words)
    return f"axles.{named.replace('share_', 'tongue_share_')}"


class _Scale:
    """Turns models in the file's units into core types."""

    def __init__(self, units: Units) -> None:
        self.units = units

    def room(self, value: float) -> int:
        return to_um(value, self.units.length, "near")

    def side(self, value: float) -> int:
        return max(1, to_um(value, self.units.length, "down"))

    def mass(self, value: float) -> int:
        return to_g(value, self.units.mass)

    def limit(self, value: float | None) -> int | None:
        return None if value is None else to_g(value, self.units.mass)

    def rules(self, model: RulesModel) -> Rules:
        given = model.model_fields_set
        kept: dict[str, Any] = {}
        for key in ("slack_limit", "lift_top"):
            if key in given:
                value = getattr(model, key)
                kept[f"{key}_um"] = None if value is None else self.room(value)
        if "rider_mass" in given:
            kept["rider_mass_g"] = self.limit(model.rider_mass)
        return Rules(
            securing=model.securing,
            straps_min=model.straps_min,
            side_difference=model.side_difference,
            hands=model.hands,
            **kept,
        )

    def vehicle(self, model: VehicleModel) -> Vehicle:
        door = model.door_height
        return Vehicle(
            id=model.id,
            name=model.name,
            width_um=self.room(model.width),
            length_um=self.room(model.length),
            height_um=self.room(model.height),
            door_height_um=None if door is None else self.room(door),
            payload_g=self.limit(model.payload),
            narrow=tuple(self.narrow(stretch) for stretch in model.narrow),
            ramp=self.ramp(model),
            axles=self.axles(model.axles),
            straps=self.straps(model),
            bars=model.bars,
            driver_side=model.driver_side,
            lift_gate=self.lift_gate(model),
            track=self.track(model),
        )

    def lift_gate(self, model: VehicleModel) -> LiftGate | None:
        gate = model.lift_gate
        if gate is None:
            return None
        return LiftGate(self.room(gate.depth), self.room(gate.width), self.limit(gate.rating))

    def track(self, model: VehicleModel) -> Track | None:
        track = model.track
        if track is None:
            return None
        heights = sorted({self.room(height) for height in track.heights})
        return Track(tuple(heights), self.room(track.pitch))

    def straps(self, model: VehicleModel) -> Straps | None:
        straps = model.straps
        return None if straps is None else Straps(straps.count, self.limit(straps.wll))

    def narrow(self, model: NarrowModel) -> Narrow:
        return Narrow(
            from_um=self.room(model.from_),
            to_um=self.room(model.to),
            width_um=self.room(model.width),
            up_to_um=self.room(model.up_to),
        )

    def ramp(self, model: VehicleModel) -> Ramp | None:
        if model.ramp is None:
            return None
        return Ramp(
            length_um=self.room(model.ramp.length),
            deck_height_um=self.room(model.ramp.deck_height),
            rating_g=self.limit(model.ramp.rating),
            wet=model.ramp.wet,
        )

    def axles(self, model: TruckAxles | KingpinAxles | BallAxles | None) -> Axles | None:
        if model is None:
            return None
        if isinstance(model, TruckAxles):
            front = -self.room(model.front_axle_to_bulkhead)
            span = model.wheelbase
            empty = (model.empty_front, model.empty_rear)
            limits = (model.front_limit, model.rear_limit)
        elif isinstance(model, KingpinAxles):
            front = self.room(model.kingpin_from_bulkhead)
            span = model.kingpin_to_axles
            empty = (model.empty_kingpin, model.empty_axles)
            limits = (model.kingpin_limit, model.axles_limit)
        else:
            front = -self.room(model.ball_ahead_of_bulkhead)
            span = model.ball_to_axle
            empty = (model.empty_tongue, model.empty_axle)
            limits = (model.tongue_limit, model.axle_limit)
        ball = model if isinstance(model, BallAxles) else None
        return Axles(
            kind=model.kind,
            front_at_um=front,
            rear_at_um=front + self.room(span),
            empty_front_g=self.mass(empty[0]),
            empty_rear_g=self.mass(empty[1]),
            front_limit_g=self.limit(limits[0]),
            rear_limit_g=self.limit(limits[1]),
            gross_limit_g=self.limit(model.gross_limit),
            share_min=_least_share(model),
            share_max=ball.tongue_share_max if ball else None,
        )

    def cases(self, model: CaseModel) -> list[Case]:
        codes = [model.code]
        if model.quantity > 1:
            codes = [f"{model.code}#{number}" for number in range(1, model.quantity + 1)]
        return [self.case(model, code) for code in codes]

    def case(self, model: CaseModel, code: str) -> Case:
        values = {
            one.field: self.value(one, getattr(model, one.name))
            for one in columns(Case).values()
            if one.column.kind != "code"
        }
        return Case(
            code=code,
            weighed=model.weighed,
            drop=model.drop,
            vehicle=model.vehicle,
            near=model.near,
            together=model.with_,
            priority=model.priority,
            **values,
        )

    def value(self, one: Declared, value: Any) -> Any:
        """Return a value of a case as it stands inside: whole units, tuples without repeats."""
        if one.column.kind == "length":
            return self.side(value)
        if one.column.kind == "mass":
            return one.default if value is None else self.mass(value)
        return tuple(dict.fromkeys(value)) if isinstance(value, list) else value
