"""Hard rules of mass, and the sums that a plan states."""

from __future__ import annotations

from collections.abc import Iterator

from server.core.base.units import share_within, within
from server.core.judge.scene import BLUR_UM, Scene

# Front share of the mass on the ground where the vehicle states none, said here apart from the
# search: steering axle of a truck (common practice, no source), tongue (trailer-loading guides).
LEAST_FRONT = {"truck": 0.20, "ball": 0.10}
MOST_FRONT = {"ball": 0.15}


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
    """No support is lifted or over its limit, nor the gross mass; the front carries its share."""
    axles, masses = scene.vehicle.axles, supports_g(scene)
    if axles is None or masses is None or not scene.places:
        return
    parts = len(scene.places)
    names = {"truck": ("front axle", "rear axle"), "kingpin": ("kingpin", "group of trailer axles")}
    words = names.get(axles.kind, ("tongue", "trailer axle"))
    for name, mass, limit in zip(
        words, masses, (axles.front_limit_g, axles.rear_limit_g), strict=True
    ):
        if round(mass) < 0:
            yield f"the load lifts the {name} of {scene.vehicle.id}: it carries less than nothing"
        if not within(round(mass), limit, parts):
            yield f"the {name} of {scene.vehicle.id} carries more than its limit"
    gross = round(sum(masses))
    if not within(gross, axles.gross_limit_g, parts):
        yield f"{scene.vehicle.id} is heavier than its gross limit"
    least = LEAST_FRONT.get(axles.kind) if axles.share_min is None else axles.share_min
    most = MOST_FRONT.get(axles.kind) if axles.share_max is None else axles.share_max
    if not share_within(masses[0], sum(masses), least, None):
        yield f"the {words[0]} of {scene.vehicle.id} carries less than its share of the gross mass"
    if not share_within(masses[0], sum(masses), None, most):
        yield f"the {words[0]} of {scene.vehicle.id} carries more than its share of the gross mass"


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
