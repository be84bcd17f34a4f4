"""A vehicle that cannot be: values that contradict each other or that nothing on a road has.

Each fault names the field by its path in a show file, what is expected and what was there. A kind
value would be optimistic: a ramp shorter than its deck is high once counted as a level floor.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from server.core.base.units import Units, from_g, from_um
from server.core.shop.vehicle import AxleKind, Axles, Vehicle

# Above these the unit was mistaken. Common practice, no source: webbing of 4 in counts 4,000 lb
# (49 CFR 393.108), the heaviest chain some 16,000 lb; lift gates end at about 2 t (makers' lists).
MOST_WLL_G: Final = 10_000_000
MOST_GATE_G: Final = 10_000_000
MOST_RAMP_G: Final = 50_000_000
MOST_PAYLOAD_G: Final = 100_000_000
# A support further than this outside the body, or two closer together, is a mistaken unit or sign;
# common practice, no source.
MOST_OUTSIDE_UM: Final = 6_000_000
LEAST_SPAN_UM: Final = 500_000
# Where the first support stands and how far the second is behind it, as files call the two.
SPANS: Final[dict[AxleKind, tuple[str, str]]] = {
    "truck": ("front_axle_to_bulkhead", "wheelbase"),
    "kingpin": ("kingpin_from_bulkhead", "kingpin_to_axles"),
    "ball": ("ball_ahead_of_bulkhead", "ball_to_axle"),
}


@dataclass(frozen=True, slots=True)
class VehicleFault:
    """One impossible value: the field (axles by support), what is expected, what was there."""

    field: str
    expected: str
    got: str


def vehicle_faults(vehicle: Vehicle, units: Units | None = None) -> tuple[VehicleFault, ...]:
    """Return everything about a vehicle that cannot be; empty: nothing contradicts itself."""
    said = _Words(units or Units())
    found = [*_room(vehicle, said), *_gear(vehicle, said)]
    if vehicle.axles is not None:
        found += _axles(vehicle.axles, vehicle.payload_g, said)
        found += _geometry(vehicle.axles, vehicle.length_um, said)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Words:
    """Lengths and masses in the units of the file."""

    units: Units

    def long(self, um: int) -> str:
        return f"{from_um(um, self.units.length):g} {self.units.length}"

    def heavy(self, grams: int) -> str:
        return f"{from_g(grams, self.units.mass):,.10g} {self.units.mass}"


def _room(vehicle: Vehicle, said: _Words) -> Iterator[VehicleFault]:
    door, roof = vehicle.door_height_um, vehicle.height_um
    if door is not None and door > roof:
        expected = f"no more than the height of the body ({said.long(roof)})"
        yield VehicleFault("door_height", expected, said.long(door))
    for number, stretch in enumerate(vehicle.narrow):
        if stretch.width_um > vehicle.width_um:
            expected = f"no more than the width of the body ({said.long(vehicle.width_um)})"
            yield VehicleFault(f"narrow[{number}].width", expected, said.long(stretch.width_um))
    payload = vehicle.payload_g
    if payload is not None and payload > MOST_PAYLOAD_G:
        expected = f"at most {said.heavy(MOST_PAYLOAD_G)}"
        yield VehicleFault("payload", expected, said.heavy(payload))


def _gear(vehicle: Vehicle, said: _Words) -> Iterator[VehicleFault]:
    ramp, gate, straps, track = vehicle.ramp, vehicle.lift_gate, vehicle.straps, vehicle.track
    if ramp is not None and ramp.length_um <= ramp.deck_height_um:
        expected = f"more than the deck is high ({said.long(ramp.deck_height_um)})"
        yield VehicleFault("ramp.length", expected, said.long(ramp.length_um))
    for field, value, most in (
        ("ramp.rating", ramp.rating_g if ramp else None, MOST_RAMP_G),
        ("lift_gate.rating", gate.rating_g if gate else None, MOST_GATE_G),
        ("straps.wll", straps.wll_g if straps else None, MOST_WLL_G),
    ):
        if value is not None and value > most:
            expected = f"at most {said.heavy(most)}, as the label or plate says for one"
            yield VehicleFault(field, expected, said.heavy(value))
    if track is not None:
        for number, height in enumerate(track.heights_um):
            if height > vehicle.height_um:
                expected = f"no more than the height of the body ({said.long(vehicle.height_um)})"
                yield VehicleFault(f"track.heights[{number}]", expected, said.long(height))


def _axles(axles: Axles, payload_g: int | None, said: _Words) -> Iterator[VehicleFault]:
    empty = axles.empty_front_g + axles.empty_rear_g
    for end in ("front", "rear"):
        alone, limit = getattr(axles, f"empty_{end}_g"), getattr(axles, f"{end}_limit_g")
        if limit is not None and alone > limit:
            expected = f"no more than the limit of that support ({said.heavy(limit)})"
            yield VehicleFault(f"axles.empty_{end}", expected, said.heavy(alone))
    gross = axles.gross_limit_g
    if gross is not None and empty > gross:
        expected = f"no less than the empty vehicle ({said.heavy(empty)})"
        yield VehicleFault("axles.gross_limit", expected, said.heavy(gross))
    if payload_g is not None:
        yield from _payload(axles, payload_g, said)
    low, high = axles.share_min, axles.share_max
    if low is not None and high is not None and low > high:
        yield VehicleFault("axles.share_max", f"at least the least share ({low:g})", f"{high:g}")


def _geometry(axles: Axles, length_um: int, said: _Words) -> Iterator[VehicleFault]:
    """Supports that no vehicle has: outside the body, too close together, without a mass."""
    first, span = SPANS[axles.kind]
    apart = axles.rear_at_um - axles.front_at_um
    if apart < LEAST_SPAN_UM:
        yield VehicleFault(
            f"axles.{span}", f"at least {said.long(LEAST_SPAN_UM)}", said.long(apart)
        )
    outside = axles.front_at_um < -MOST_OUTSIDE_UM or axles.front_at_um >= length_um
    if outside or (axles.kind == "ball" and axles.front_at_um > 0):
        ahead = axles.kind != "kingpin"
        at = said.long(-axles.front_at_um if ahead else axles.front_at_um)
        yield VehicleFault(f"axles.{first}", "a support within reach of the body", at)
    if not 0 < axles.rear_at_um <= length_um + MOST_OUTSIDE_UM:
        expected = "rear axles under the body"
        got = f"{said.long(axles.rear_at_um)} behind the bulkhead"
        yield VehicleFault(f"axles.{span}", expected, got)
    for end in ("front", "rear"):
        if getattr(axles, f"empty_{end}_g") == 0 and (end == "rear" or axles.kind == "truck"):
            expected = "the mass on this support of the empty vehicle, from a scale or its papers"
            yield VehicleFault(f"axles.empty_{end}", expected, said.heavy(0))


def _payload(axles: Axles, payload_g: int, said: _Words) -> Iterator[VehicleFault]:
    """A payload above the gross limit, or above what both supports may carry together."""
    front, rear = axles.front_limit_g, axles.rear_limit_g
    both = None if front is None or rear is None else front + rear
    for what, limit in (("gross limit", axles.gross_limit_g), ("limits of both supports", both)):
        if limit is not None and payload_g > limit:
            expected = f"no more than the {what} ({said.heavy(limit)})"
            yield VehicleFault("payload", expected, said.heavy(payload_g))
            return
