"""Case: one road case, trunk or rack that is rolled or carried as one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final, Literal

from server.core.shop.columns import Column

Stance = Literal["upright", "on_end", "on_side"]
STANCES: Final[tuple[Stance, ...]] = ("upright", "on_end", "on_side")
Near = Literal["bulkhead", "door"]
Priority = Literal["must", "nice"]


@dataclass(frozen=True, slots=True)
class Case:
    """A case as the planner and the crew need it; lengths in micrometres, masses in grams.

    `lid_load_g` None: nothing may stand on the lid, but for cases of no stated mass where
    `lid_casters` says that casters of the same footprint fit the lid. `together` is a word: cases
    with the same word stay in one row or in neighbouring rows. `never_under` names codes that must
    not stand anywhere above this case, `never_beside` codes that must not stand in the stacks next
    to it in a row; either of two cases may name the other.
    """

    code: Annotated[str, Column("Code", "code", longest=60, other_names=("number",))]
    length_um: Annotated[int, Column("Length", "length")]
    width_um: Annotated[int, Column("Width", "length")]
    height_um: Annotated[int, Column("Height with casters", "length")]
    name: Annotated[str, Column("Name", "text")] = ""
    department: Annotated[
        str, Column("Department", "text", longest=40, many=True, other_names=("dept",))
    ] = ""
    home: Annotated[
        str, Column("Home", "text", longest=40, hint="Its place in the shop.", many=True)
    ] = ""
    mass_g: Annotated[
        int,
        Column(
            "Weight, packed",
            "mass",
            hint="From a scale. Without it straps, axles and hands are not known.",
            many=True,
            other_names=("weight",),
        ),
    ] = 0
    weighed: bool = False  # the mass is from a scale
    drop: int = 1
    turn: Annotated[bool, Column("May be turned by 90 degrees", "flag", many=True)] = True
    stances: Annotated[
        tuple[Stance, ...],
        Column("Stances", "stances", choices=STANCES, other_names=("stance",)),
    ] = ("upright",)
    lid_load_g: Annotated[
        int | None, Column("Lid carries", "mass", hint="Empty: nothing may stand on it.")
    ] = None
    rides: Annotated[bool, Column("May ride on lids", "flag", many=True)] = False
    lid_casters: Annotated[
        bool, Column("Lid takes casters of the same footprint", "flag", many=True)
    ] = False
    casters: Annotated[bool, Column("On casters", "flag", many=True)] = True
    vehicle: str | None = None
    near: Near | None = None
    together: str | None = None
    priority: Priority = "must"  # nice to have: left before any case that must go
    never_under: Annotated[tuple[str, ...], Column("Never under", "codes", in_csv=False)] = ()
    never_beside: Annotated[
        tuple[str, ...],
        Column("Never beside", "codes", hint="Codes that never stand next to it in a row."),
    ] = ()

    def __post_init__(self) -> None:
        """Refuse sides, masses and drops that no case can have."""
        for side in ("length_um", "width_um", "height_um"):
            if getattr(self, side) <= 0:
                raise ValueError(f"case {self.code}: expected {side} above zero")
        if self.mass_g < 0 or (self.lid_load_g or 0) < 0:
            raise ValueError(f"case {self.code}: expected mass and lid load of zero or more")
        if self.drop < 1:
            raise ValueError(f"case {self.code}: expected a drop of 1 or more, got {self.drop}")
        if not self.stances or any(stance not in STANCES for stance in self.stances):
            raise ValueError(f"case {self.code}: expected stances out of {', '.join(STANCES)}")

    @property
    def named(self) -> tuple[str, ...]:
        """Codes of other cases that a rule of this one names: no other case may stand for them."""
        return (*self.never_under, *self.never_beside)

    def standing(self, stance: Stance, turned: bool) -> tuple[int, int, int]:
        """Return (across, along, up) in micrometres for a stance.

        Not turned: the first horizontal side lies along the vehicle. Upright stands on
        length x width, on end has its length upright, on side its width.
        """
        first, second, up = {
            "upright": (self.length_um, self.width_um, self.height_um),
            "on_end": (self.width_um, self.height_um, self.length_um),
            "on_side": (self.length_um, self.height_um, self.width_um),
        }[stance]
        return (first, second, up) if turned else (second, first, up)
