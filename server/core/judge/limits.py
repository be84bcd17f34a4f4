"""Hard rules of mass, and the sums that a plan states."""

from __future__ import annotations

from collections.abc import Iterator

from server.core.base.units import share_within, within
from server.core.judge.scene import BLUR_UM, Scene


def payload_is_kept(scene: Scene) -> Iterator[str]:
    """The load is no heavier than the vehicle's payload."""
    if not within(scene.mass_g, scene.vehicle.payload_g, len(scene.places)):
        yield f"{scene.vehicle.id} carries more than its payload"


def supports_g(scene: Scene) -> tuple[float, float] | None:
    """Return the mass on front and rear support, loaded, by moments; None: no axles."""
    axles = scene.vehicle.axles
    if axles is None:
        return None
    span = axles.rear_at_um - axles.front_at_um
    moment = sum(
        scene.cases[place.code].mass_g * (2 * (place.y - axles.front_at_um) + place.dy)
        for place in scene.places
    )
    rear = moment / (2 * span)
    return axles.empty_front_g + scene.mass_g - rear, axles.empty_rear_g + rear


def axles_are_kept(scene: Scene) -> Iterator[str]:
    """Neither support nor the gross mass is over its limit; a ball carries its share."""
    axles, masses = scene.vehicle.axles, supports_g(scene)
    if axles is None or masses is None or not scene.places:
        return
    parts = len(scene.places)
    names = {"truck": ("front axle", "rear axle"), "kingpin": ("kingpin", "group of trailer axles")}
    for name, mass, limit in zip(
        names.get(axles.kind, ("tongue", "trailer axle")),
        masses,
        (axles.front_limit_g, axles.rear_limit_g),
        strict=True,
    ):
        if not within(round(mass), limit, parts):
            yield f"the {name} of {scene.vehicle.id} carries more than its limit"
    gross = round(sum(masses))
    if not within(gross, axles.gross_limit_g, parts):
        yield f"{scene.vehicle.id} is heavier than its gross limit"
    tongue, whole = masses[0], sum(masses)
    if not share_within(tongue, whole, axles.share_min, None):
        yield f"the tongue of {scene.vehicle.id} carries less than its share of the gross mass"
    if not share_within(tongue, whole, None, axles.share_max):
        yield f"the tongue of {scene.vehicle.id} carries more than its share of the gross mass"


def sums_are_right(scene: Scene) -> Iterator[str]:
    """Floor length, mass and axle masses of the vehicle are what its rows add up to."""
    plan, name = scene.plan, scene.vehicle.id
    if abs(plan.floor_length_um - sum(row.depth for row in plan.rows)) > BLUR_UM:
        yield f"the floor length of {name} is not the sum of its rows"
    slop = 1 + len(scene.places) // 2
    # A file in pounds states tenths, half of which is 23 g.
    if abs(plan.mass_g - scene.mass_g) > slop + 23:
        yield f"the mass of {name} is not the sum of its cases"
    masses = supports_g(scene)
    if masses and plan.front_g is not None and plan.rear_g is not None:
        wrong = max(abs(masses[0] - plan.front_g), abs(masses[1] - plan.rear_g))
        if wrong > slop + 23:
            yield f"the axle masses of {name} are not what the moments give"
