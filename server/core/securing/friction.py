"""Friction of cargo on a floor, CTU Code annex 7 appendix 2; surfaces swept clean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from server.core.base.figure import Figure

TABLE_SOURCE: Final = "CTU Code, annex 7, appendix 2"
DYNAMIC_SHARE: Final = 0.75  # same table: beside direct lashing, share of the static figure


@dataclass(frozen=True, slots=True)
class Friction:
    """Static friction of one pair of surfaces, dry and wet; None: no figure in the table."""

    dry: float
    wet: float | None


# (what stands, on what floor)
FRICTION: Final[dict[tuple[str, str], Friction]] = {
    ("wooden pallet", "plywood"): Friction(0.45, 0.45),
    ("wooden pallet", "grooved aluminium"): Friction(0.40, 0.40),
    ("wooden pallet", "stainless sheet"): Friction(0.30, 0.30),
    ("wooden pallet", "shrink film"): Friction(0.30, 0.30),
    ("planed wood", "plywood"): Friction(0.30, 0.30),
    ("planed wood", "grooved aluminium"): Friction(0.25, 0.25),
    ("planed wood", "stainless sheet"): Friction(0.20, 0.20),
    ("plastic pallet", "plywood"): Friction(0.20, 0.20),
    ("plastic pallet", "grooved aluminium"): Friction(0.15, 0.15),
    ("plastic pallet", "stainless sheet"): Friction(0.15, 0.15),
    ("steel crate", "plywood"): Friction(0.45, 0.45),
    ("steel crate", "grooved aluminium"): Friction(0.30, 0.30),
    ("steel crate", "stainless sheet"): Friction(0.20, 0.20),
    ("cardboard", "cardboard"): Friction(0.50, None),
    ("cardboard", "wooden pallet"): Friction(0.50, None),
}
# What the table calls by longer names, said the short way.
SAME_CARGO: Final[dict[str, str]] = {"sawn timber": "wooden pallet"}
SAME_FLOOR: Final[dict[str, str]] = {"fabric laminate": "plywood", "laminate": "plywood"}


def friction(cargo: str, floor: str, *, wet: bool = False) -> Figure | None:
    """Return static friction of a pair of surfaces; None where the table has no figure."""
    key = SAME_CARGO.get(cargo, cargo), SAME_FLOOR.get(floor, floor)
    if key not in FRICTION:
        return None
    value = FRICTION[key].wet if wet else FRICTION[key].dry
    if value is None:
        return None
    state = "wet" if wet else "dry"
    return Figure(
        value,
        "share of the weight",
        TABLE_SOURCE,
        f"{value:g} for {cargo} on {floor}, {state}, swept clean; none of it for cases on casters",
        "straps",
        (("dynamic", round(value * DYNAMIC_SHARE, 6)),),
    )
