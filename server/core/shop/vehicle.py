"""Vehicle: a truck, van or trailer as measured: inside room, plate, ramp, axles, gear on board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal


@dataclass(frozen=True, slots=True)
class Narrow:
    """A stretch of floor (wheel boxes, nose) that is only `width_um` wide, centred.

    It reaches from `from_um` to `to_um` behind the bulkhead and up to height `up_to_um`.
    """

    from_um: int
    to_um: int
    width_um: int
    up_to_um: int

    def __post_init__(self) -> None:
        """Refuse a stretch that ends before it begins."""
        if not 0 <= self.from_um < self.to_um or self.width_um <= 0 or self.up_to_um <= 0:
            raise ValueError("narrow stretch: expected from < to, width and up_to above zero")


@dataclass(frozen=True, slots=True)
class Ramp:
    """The walk ramp: its length along the slope, the deck it reaches, its rating by the maker."""

    length_um: int
    deck_height_um: int
    rating_g: int | None = None
    wet: bool = False


AxleKind = Literal["truck", "kingpin", "ball"]
# Tongue as a share of the gross mass: trailer-loading guides; under 10 % a trailer sways.
TONGUE_SHARE: Final = (0.10, 0.15)
# Least share of the mass on the ground that the steering axle carries; common practice, no source
# for the day (a design rule for goods vehicles asks the same of the maximum laden mass).
STEERING_SHARE: Final = 0.20


@dataclass(frozen=True, slots=True)
class Axles:
    """Two supports that carry the vehicle; positions in micrometres behind the bulkhead.

    `truck`: front and rear axle. `kingpin`: kingpin and trailer axles. `ball`: coupling and trailer
    axle. A support ahead of the bulkhead has a negative position. Limits come from the plate;
    None: not given. `share_min` and `share_max` bound the front share of the mass on the ground:
    the tongue of a ball, the steering axle of a truck. Where they are not stated, `least_share`
    and `most_share` say the house figure.
    """

    kind: AxleKind
    front_at_um: int
    rear_at_um: int
    empty_front_g: int
    empty_rear_g: int
    front_limit_g: int | None = None
    rear_limit_g: int | None = None
    gross_limit_g: int | None = None
    share_min: float | None = None
    share_max: float | None = None

    def __post_init__(self) -> None:
        """Refuse supports in the wrong order."""
        if self.rear_at_um <= self.front_at_um:
            raise ValueError("axles: expected the rear support behind the front one")

    @property
    def least_share(self) -> float | None:
        """Least front share of the mass on the ground, as stated or by house rule."""
        if self.share_min is not None:
            return self.share_min
        return {"truck": STEERING_SHARE, "kingpin": None, "ball": TONGUE_SHARE[0]}[self.kind]

    @property
    def most_share(self) -> float | None:
        """Greatest front share of the mass on the ground, as stated or by house rule."""
        if self.share_max is not None:
            return self.share_max
        return TONGUE_SHARE[1] if self.kind == "ball" else None


@dataclass(frozen=True, slots=True)
class Straps:
    """Straps on board and the working load limit of one, by its label."""

    count: int = 0
    wll_g: int | None = None


@dataclass(frozen=True, slots=True)
class LiftGate:
    """The lift gate: its rating by the maker (None: not known), the platform's depth and width."""

    deep_um: int
    wide_um: int
    rating_g: int | None = None

    def __post_init__(self) -> None:
        """Refuse a platform without room."""
        if min(self.deep_um, self.wide_um) <= 0:
            raise ValueError("lift gate: expected depth and width above zero")


@dataclass(frozen=True, slots=True)
class Track:
    """Rows of anchors along both walls: heights above the floor, and from anchor to anchor."""

    heights_um: tuple[int, ...]
    pitch_um: int

    def __post_init__(self) -> None:
        """Refuse a track that is nowhere."""
        if not self.heights_um or min(self.heights_um) < 0 or self.pitch_um <= 0:
            raise ValueError("track: expected a height of zero or more and a pitch above zero")


@dataclass(frozen=True, slots=True)
class Vehicle:
    """Inside room and limits of one vehicle; micrometres and grams.

    `driver_side`: which wall is the driver's, seen from the door towards the bulkhead.
    """

    id: str
    width_um: int
    length_um: int
    height_um: int
    name: str = ""
    door_height_um: int | None = None
    payload_g: int | None = None
    narrow: tuple[Narrow, ...] = ()
    ramp: Ramp | None = None
    axles: Axles | None = None
    straps: Straps | None = None
    bars: int = 0
    driver_side: Literal["left", "right"] = "left"
    lift_gate: LiftGate | None = None
    track: Track | None = None

    def __post_init__(self) -> None:
        """Refuse a room without room."""
        if min(self.width_um, self.length_um, self.height_um) <= 0:
            raise ValueError(f"vehicle {self.id}: expected width, length, height above zero")

    @property
    def passing_height_um(self) -> int:
        """Height through which a single case must pass: the lower of door and room."""
        return min(self.height_um, self.door_height_um or self.height_um)
