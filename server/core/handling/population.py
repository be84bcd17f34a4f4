"""Push and pull limits by hand height: what shares of the working population are protected.

Weston et al., An objective set of guidelines for pushing and pulling (Ohio), straight exertions,
pounds, measured level, peak force; no figures under 32 or over 48 in.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

SOURCE: Final = "Weston et al., guidelines for pushing and pulling (Ohio), straight"

Exertion = Literal["push_two_hands", "pull_two_hands", "pull_one_hand"]
LOWEST_IN: Final = 32
HIGHEST_IN: Final = 48

# For each whole inch from 32 to 48: the last pound of the 80 % band and of the 50 to 80 % band.
# Two-hand pull at 33 in is printed with 44 for the first and 43 as start of the next; the lower
# is taken.
BANDS: Final[dict[Exertion, tuple[tuple[int, int], ...]]] = {
    "push_two_hands": (
        *((48, 61), (50, 62), (50, 63), (51, 63), (52, 63), (53, 63), (53, 64), (54, 63), (54, 64)),
        *((56, 66), (58, 68), (60, 71), (62, 73), (64, 75), (65, 76), (67, 78), (68, 79)),
    ),
    "pull_two_hands": (
        *((41, 57), (42, 60), (47, 63), (50, 65), (52, 68), (55, 70), (58, 72), (60, 73), (62, 74)),
        *((64, 76), (66, 77), (67, 79), (69, 80), (70, 81), (71, 82), (72, 83), (73, 83)),
    ),
    "pull_one_hand": (
        *((38, 46), (40, 48), (41, 49), (42, 50), (43, 51), (43, 52), (44, 52), (44, 52), (44, 52)),
        *((44, 53), (44, 53), (44, 53), (44, 53), (44, 53), (43, 53), (43, 52), (42, 52)),
    ),
}


@dataclass(frozen=True, slots=True)
class Bands:
    """Up to `protects_80_lb` at least 80 % are protected; up to `protects_50_lb` at least half."""

    protects_80_lb: int
    protects_50_lb: int

    def share(self, force_lb: float) -> str:
        """Say what share of people a force protects; between two printed pounds the worse band."""
        if force_lb <= self.protects_80_lb:
            return "80 % or more"
        return "50 to 80 %" if force_lb <= self.protects_50_lb else "under 50 %"


def bands(exertion: Exertion, hand_height_in: float) -> Bands | None:
    """Return the bands at a hand height, between inches the lower; None: outside the table."""
    if not LOWEST_IN <= hand_height_in <= HIGHEST_IN:
        return None
    table = BANDS[exertion]
    below = int(hand_height_in) - LOWEST_IN
    beside = below if hand_height_in == int(hand_height_in) else below + 1
    return Bands(min(table[below][0], table[beside][0]), min(table[below][1], table[beside][1]))
