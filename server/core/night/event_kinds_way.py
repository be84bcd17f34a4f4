"""What the crew reports of the way into a vehicle: hands that are there, the ramp as measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

Floor = Literal["good", "rough", "soft"]


@dataclass(frozen=True, slots=True)
class Hands:
    """How many people are there."""

    kind: ClassVar[str] = "hands"
    count: int


@dataclass(frozen=True, slots=True)
class RampMeasured:
    """The ramp as it lies at the venue: rise, length along the slope, floor before it, width."""

    kind: ClassVar[str] = "ramp"
    rise_um: int
    length_um: int
    floor: Floor
    width_um: int | None = None
