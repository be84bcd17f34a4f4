"""What one label says about a case, in the words and units that are printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from server.core.base.figure import Figure
from server.core.base.units import Units, from_g, from_um
from server.core.handling.cards import people_on_flat
from server.core.handling.push import Hands
from server.core.handling.team import LiftTask, grip_um, lift_figure
from server.core.shop.case import Case, Stance

Face = Literal["end A", "end B", "lid", "side"]
Copy = Literal["ends", "lid", "side"]
HANDS: Final[tuple[Hands, ...]] = ("men", "mixed")
# Both ends, the lid and one long side: a stack hides lids, a row hides ends, a ramp shows sides.
FACES_OF: Final[dict[Copy, tuple[Face, ...]]] = {
    "ends": ("end A", "end B"),
    "lid": ("lid",),
    "side": ("side",),
}


@dataclass(frozen=True, slots=True)
class LabelCase:
    """A case as its label shows it; empty text and None are left off the label.

    `roll` people move it on a level floor, `lift` people lift it to the waist, as counted for men
    and for a mixed crew: on a ramp, or up to a lid, the phone counts more. `no_hand_lift` when no
    team should. `lid_load` is what may stand on the lid, `stacks` whether anything may.
    """

    code: str
    name: str = ""
    department: str = ""
    home: str = ""
    footprint: str = ""
    mass: str = ""
    roll: str = ""
    lift: str = ""
    no_hand_lift: bool = False
    stances: tuple[Stance, ...] = ()
    stacks: bool | None = None
    lid_load: str = ""
    owner: str = ""
    contents: str = ""


def label_case(case: Case, units: Units, owner: str = "", contents: str = "") -> LabelCase:
    """Return what the label of a planned case says; people by the figures of core/handling.

    `owner`: whom to call when it is found; `contents`: what lies in it.
    """
    sides = [from_um(um, units.length) for um in (case.length_um, case.width_um, case.height_um)]
    rolls = [people_on_flat(case, hands) for hands in HANDS if case.casters]
    grip = grip_um(case.height_um)
    lifts = [lift_figure(LiftTask(case.mass_g, grip, hands=hands)) for hands in HANDS]
    load = case.lid_load_g
    return LabelCase(
        code=case.code,
        name=case.name,
        department=case.department,
        home=case.home,
        footprint=" x ".join(f"{side:.4g}" for side in sides) + f" {units.length}",
        mass=_mass(case.mass_g, units),
        roll=_range(rolls),
        lift=_range(lifts),
        no_hand_lift=bool(case.mass_g) and any(figure.value is None for figure in lifts),
        stances=case.stances,
        stacks=bool(load) or case.lid_casters,
        lid_load=_mass(load or 0, units),
        owner=owner,
        contents=contents,
    )


def _range(figures: list[Figure]) -> str:
    """Return the fewest and the most people, one number where they agree; none where one is."""
    counts = [figure.value for figure in figures if isinstance(figure.value, int)]
    if not counts or len(counts) < len(figures):
        return ""
    few, many = min(counts), max(counts)
    return str(few) if few == many else f"{few}-{many}"


def _mass(grams: int, units: Units) -> str:
    return f"{from_g(grams, units.mass):.0f} {units.mass}" if grams else ""
