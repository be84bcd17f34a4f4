"""Rolling resistance of casters as a share of the load, from wheel, bearing and floor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from server.core.handling.slope import ROLLING_GOOD, ROLLING_UNEVEN

Floor = Literal["good", "rough", "soft"]
# Rolling force as a share of the load. HSE push-pull assessment: 2 % on a good flat floor, up to
# 10 % on uneven ground. Grass, gravel and mud: common practice, no source.
ROLLING: Final[dict[Floor, float]] = {"good": ROLLING_GOOD, "rough": ROLLING_UNEVEN, "soft": 0.20}

SOURCE: Final = "engineering handbook: share = (2/D)(mu d/2 + f) + c (form from memory)"

# Lever arm f of the rolling contact in inches (engineering handbook page).
LEVER_IN: Final[dict[str, float]] = {
    "polymer on concrete": 0.2,
    "polymer on steel": 0.08,
    "hard rubber on concrete": 0.8,
}


@dataclass(frozen=True, slots=True)
class Caster:
    """Wheel and axle diameter and lever arm in one unit; friction of bearing and of the rim."""

    wheel: float
    axle: float
    lever: float
    bearing: float = 0.005
    rim: float = 0.003

    def share(self) -> float:
        """Return the push that keeps it rolling, as a share of the load."""
        return 2 / self.wheel * (self.bearing * self.axle / 2 + self.lever) + self.rim
