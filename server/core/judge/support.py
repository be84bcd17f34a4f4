"""Hard rules of stacks: what stands on what, what a lid carries, what hands may lift."""

from __future__ import annotations

from collections.abc import Iterator

from server.core.base.units import within
from server.core.judge.scene import BLUR_UM, Scene, shared_um2
from server.core.shop.case import Case
from server.core.shop.plan import Place


def stands_on_something(scene: Scene) -> Iterator[str]:
    """Every case stands on the floor, or wholly on lids of equal height, and says on which."""
    for place in scene.places:
        if place.z <= BLUR_UM:
            if place.on:
                yield f"{place.code} stands on the floor and yet on {', '.join(place.on)}"
            continue
        below = scene.carriers(place)
        borne = sum(shared_um2(lower, place) for lower in below)
        edge = 2 * BLUR_UM * (place.dx + place.dy)
        if borne < place.dx * place.dy - edge:
            yield f"{place.code} does not stand wholly on lids of equal height"
        if {lower.code for lower in below} != set(place.on):
            yield f"{place.code} stands on other cases than the plan says"


def on_casters(lower_case: Case, lower: Place, upper: Place) -> bool:
    """Return whether `upper` stands as the same footprint on a lid made for casters."""
    same = max(abs(lower.x - upper.x), abs(lower.y - upper.y)) <= BLUR_UM
    same = same and max(abs(lower.dx - upper.dx), abs(lower.dy - upper.dy)) <= BLUR_UM
    return same and lower_case.lid_casters


def lids_may_carry(scene: Scene) -> Iterator[str]:
    """A lid carries riders, or the same footprint where it takes casters; ends and sides do not."""
    for upper in scene.places:
        for lower in scene.carriers(upper):
            below, above = scene.cases[lower.code], scene.cases[upper.code]
            if lower.stance != "upright":
                yield f"{upper.code} stands on {lower.code}, whose lid is not on top"
            elif on_casters(below, lower, upper):
                if below.lid_load_g is None and above.mass_g:
                    yield f"{upper.code} stands on {lower.code}, whose lid carries nothing"
            elif not above.rides:
                yield f"{upper.code} rides on {lower.code} but may not ride"
            elif below.lid_load_g is None:
                yield f"{upper.code} stands on {lower.code}, whose lid carries nothing"


def lids_hold(scene: Scene) -> Iterator[str]:
    """Each lid's load, counted through all that stands above it, keeps its limit.

    A bridging rider presses on each lid by the share of its footprint that lies there.
    """
    loads = dict.fromkeys(scene.by_code, 0.0)
    counts = dict.fromkeys(scene.by_code, 0)
    for upper in sorted(scene.places, key=lambda place: -place.z):
        if upper.z <= BLUR_UM:
            continue
        pressing = scene.cases[upper.code].mass_g + loads[upper.code]
        for lower in scene.carriers(upper):
            share = shared_um2(lower, upper) / (upper.dx * upper.dy)
            loads[lower.code] += pressing * min(1.0, share)
            counts[lower.code] += 1 + counts[upper.code]
    for code, load in loads.items():
        limit = scene.cases[code].lid_load_g
        if limit is not None and not within(round(load), limit, counts[code]):
            yield f"the lid of {code} carries more than its limit"


def hands_can_lift(scene: Scene) -> Iterator[str]:
    """No rider is heavier or lifted higher than the house allows; footprint stacks are exempt."""
    rules = scene.show.rules
    for upper in scene.places:
        below = scene.carriers(upper)
        rider = upper.z > BLUR_UM and not any(
            on_casters(scene.cases[lower.code], lower, upper) for lower in below
        )
        if not rider:
            continue
        if not within(scene.cases[upper.code].mass_g, rules.rider_mass_g, 1):
            yield f"{upper.code} rides but is too heavy to be lifted onto a lid"
        if rules.lift_top_um is not None and upper.z + upper.dz > rules.lift_top_um + BLUR_UM:
            yield f"{upper.code} rides higher than the house lifts"


def nothing_forbidden_above(scene: Scene) -> Iterator[str]:
    """No case stands anywhere above one that names it under never_under."""
    for upper in scene.places:
        seen: set[str] = set()
        below = [upper.code]
        while below:
            for lower in scene.carriers(scene.by_code[below.pop()]):
                if lower.code not in seen:
                    seen.add(lower.code)
                    below.append(lower.code)
        for code in sorted(seen):
            if upper.code in scene.cases[code].never_under:
                yield f"{upper.code} stands above {code}, which the owner forbids"


def earlier_drops_on_top(scene: Scene) -> Iterator[str]:
    """What comes off first carries nothing that comes off later; the reverse is fine."""
    for upper in scene.places:
        late = scene.cases[upper.code].drop
        for lower in scene.carriers(upper):
            early = scene.cases[lower.code].drop
            if late > early:
                yield (
                    f"{upper.code} of drop {late} stands on {lower.code}, "
                    f"which comes off before it at drop {early}"
                )
