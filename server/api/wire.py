"""JSON models and core types, one pair of functions a type."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from server.api.case_models import CaseModel
from server.api.show_models import CalledModel, RulesModel, ShowModel
from server.api.vehicle_models import (
    AxlesModel,
    LiftGateModel,
    NarrowModel,
    RampModel,
    StrapsModel,
    TrackModel,
    VehicleModel,
)
from server.core.shop.case import Case
from server.core.shop.columns import columns
from server.core.shop.details import Details, Venue
from server.core.shop.show import Rules
from server.core.shop.vehicle import Axles, LiftGate, Narrow, Ramp, Straps, Track, Vehicle
from server.core.shop.vehicle_faults import vehicle_faults
from server.service.records import Called, CaseNotes, Content, FleetCase, FleetVehicle
from server.service.troubles import Wrong

OF_CASE: Final = tuple(columns(Case))
OF_FLEET: Final = tuple(columns(FleetCase))
OF_NOTES: Final = tuple(columns(CaseNotes))


def case_from(model: CaseModel) -> FleetCase:
    """Return the case that a model says."""
    values = model.model_dump()
    notes = {**values["notes"]}
    notes["contents"] = tuple(Content(**each) for each in notes["contents"])
    notes["tags"] = tuple(notes["tags"])
    of_case = {name: _frozen(values[name]) for name in OF_CASE}
    of_case["stances"] = tuple(dict.fromkeys(of_case["stances"]))
    try:
        case = Case(**of_case)
    except ValueError as error:
        raise Wrong(str(error)) from error
    return FleetCase(case, notes=CaseNotes(**notes), **{name: values[name] for name in OF_FLEET})


def case_plain(one: FleetCase) -> dict[str, Any]:
    """Return a case as `case_to` does, as plain JSON: a list of thousands is built in no time."""
    plain = {name: _thawed(getattr(one.case, name)) for name in OF_CASE}
    plain |= {name: getattr(one, name) for name in OF_FLEET}
    notes = {name: _thawed(getattr(one.notes, name)) for name in OF_NOTES}
    notes["contents"] = [{"what": each.what, "count": each.count} for each in one.notes.contents]
    return {**plain, "notes": notes}


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _thawed(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def vehicle_from(model: VehicleModel) -> FleetVehicle:
    """Return the vehicle that a model says."""
    parts = {"mark", "aside", "narrow", "ramp", "axles", "straps", "lift_gate", "track"}
    try:
        vehicle = Vehicle(
            **model.model_dump(exclude=parts),
            narrow=tuple(Narrow(**one.model_dump()) for one in model.narrow),
            ramp=None if model.ramp is None else Ramp(**model.ramp.model_dump()),
            axles=None if model.axles is None else Axles(**model.axles.model_dump()),
            straps=None if model.straps is None else Straps(**model.straps.model_dump()),
            lift_gate=(
                None if model.lift_gate is None else LiftGate(**model.lift_gate.model_dump())
            ),
            track=(
                None
                if model.track is None
                else Track(tuple(sorted(set(model.track.heights_um))), model.track.pitch_um)
            ),
        )
    except ValueError as error:
        raise Wrong(str(error)) from error
    for fault in vehicle_faults(vehicle):
        raise Wrong(f"{fault.field}: expected {fault.expected}, got {fault.got}")
    return FleetVehicle(vehicle, model.mark, model.aside)


def vehicle_to(one: FleetVehicle) -> VehicleModel:
    """Return a vehicle as a model."""
    vehicle = one.vehicle
    values: dict[str, Any] = asdict(vehicle)
    values |= {
        "narrow": [NarrowModel.model_construct(**asdict(part)) for part in vehicle.narrow],
        "ramp": None if vehicle.ramp is None else RampModel.model_construct(**values["ramp"]),
        "axles": None if vehicle.axles is None else AxlesModel.model_construct(**values["axles"]),
        "straps": (
            None if vehicle.straps is None else StrapsModel.model_construct(**values["straps"])
        ),
        "lift_gate": (
            None
            if vehicle.lift_gate is None
            else LiftGateModel.model_construct(**values["lift_gate"])
        ),
        "track": (
            None
            if vehicle.track is None
            else TrackModel.model_construct(
                heights_um=list(vehicle.track.heights_um), pitch_um=vehicle.track.pitch_um
            )
        ),
    }
    return VehicleModel.model_construct(**values, mark=one.mark, aside=one.aside)


def rules_from(model: RulesModel) -> Rules:
    """Return the house rules that a model says."""
    return Rules(**model.model_dump())


def rules_to(rules: Rules) -> RulesModel:
    """Return house rules as a model."""
    return RulesModel.model_construct(**asdict(rules))


def called_from(models: list[CalledModel]) -> tuple[Called, ...]:
    """Return the cases called and the wishes for them."""
    return tuple(
        Called(one.code, one.drop, one.vehicle, one.near, one.with_, one.priority) for one in models
    )


def called_to(called: list[Called]) -> list[dict[str, Any]]:
    """Return the cases called as JSON."""
    return [
        {
            "code": one.code,
            "drop": one.drop,
            "vehicle": one.vehicle,
            "near": one.near,
            "with": one.together,
            "priority": one.priority,
        }
        for one in called
    ]


def details_from(model: ShowModel) -> Details:
    """Return names of drops, days and venue as a model states them; empty names are none."""
    named = ((int(drop), name.strip()) for drop, name in model.drops.items())
    return Details(
        drop_names=tuple(sorted((drop, name) for drop, name in named if name)),
        load_day=model.load_day,
        return_day=model.return_day,
        venue=None if model.venue is None else Venue(**model.venue.model_dump()),
    )


def details_to(details: Details) -> dict[str, Any]:
    """Return names of drops, days and venue as JSON."""
    return {
        "load_day": details.load_day,
        "return_day": details.return_day,
        "drops": {str(drop): name for drop, name in details.drop_names},
        "venue": None if details.venue is None else asdict(details.venue),
    }
