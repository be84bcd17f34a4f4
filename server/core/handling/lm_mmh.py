"""LM-MMH equations (Potvin et al. 2021): what shares of men and women lift, carry, push, pull.

MAL = RL x scale factors, the mean of what people accept; a share p is capable of
MAL (1 - z CV). Metres, lifts or pushes a minute, kilograms or kilograms of force.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import log
from statistics import NormalDist
from typing import Final, Literal

SOURCE: Final = "LM-MMH equations, Potvin et al. 2021"

Sex = Literal["female", "male"]
Task = Literal[
    "lift", "lower", "carry", "push_initial", "push_sustained", "pull_initial", "pull_sustained"
]
Factor = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Equation:
    """Reference load, coefficient of variation and one scale factor for each measure."""

    load_kg: float
    cv: float
    factors: tuple[tuple[str, Factor], ...]


def _square(constant: float, first: float, second: float) -> Factor:
    return lambda x: constant + x / first + x * x / second


def _log(constant: float, first: float, second: float | None = None) -> Factor:
    def factor(x: float) -> float:
        y = log(x)
        return constant - y / first - (y * y / second if second else 0.0)

    return factor


def _linear(constant: float, first: float) -> Factor:
    return lambda x: constant - x / first


# Coefficients as printed; squared logarithms are (ln F) squared. Sustained push of men divides
# V squared by 0.6887: one reprint has 0.6687, which does not give its own tested value.
_LIFT_F = (
    ("horizontal_m", _linear(1.2602, 0.7686)),
    ("middle_m", _square(0.9877, 13.69, -9.221)),
    ("travel_m", _log(0.8199, 7.696)),
    ("per_minute", _log(0.6767, 12.59, 228.2)),
)
_REACH_M = (
    ("horizontal_m", _linear(1.3532, 0.7079)),
    ("middle_m", _square(0.7746, 1.912, -3.296)),
    ("travel_m", _log(0.8695, 10.62)),
)
_INITIAL_F = (
    ("hands_m", _square(-0.5304, 0.3361, -0.6915)),
    ("distance_m", _square(1.0286, -72.22, 9782)),
    ("per_minute", _log(0.7251, 13.19, 197.3)),
)
_SUSTAINED_F = (
    ("hands_m", _square(-0.6539, 0.2941, -0.5722)),
    ("distance_m", _square(1.0391, -52.91, 7975)),
    ("per_minute", _log(0.6086, 11.95, 304.4)),
)
_INITIAL_M = (
    ("distance_m", _log(1.0790, 9.392)),
    ("per_minute", _log(0.6281, 13.07, 379.5)),
)
_SUSTAINED_M = (
    ("distance_m", _log(1.1035, 7.170)),
    ("per_minute", _log(0.4896, 10.20, 403.9)),
)

EQUATIONS: Final[dict[tuple[Task, Sex], Equation]] = {
    ("lift", "female"): Equation(34.9, 0.260, _LIFT_F),
    ("lift", "male"): Equation(
        82.6, 0.276, (*_REACH_M, ("per_minute", _log(0.6259, 9.092, 125.0)))
    ),
    ("lower", "female"): Equation(37.0, 0.307, _LIFT_F),
    ("lower", "male"): Equation(
        95.9, 0.304, (*_REACH_M, ("per_minute", _log(0.5773, 10.80, 255.9)))
    ),
    ("push_initial", "female"): Equation(36.9, 0.214, _INITIAL_F),
    ("pull_initial", "female"): Equation(36.9, 0.234, _INITIAL_F),
    ("push_sustained", "female"): Equation(25.5, 0.286, _SUSTAINED_F),
    ("pull_sustained", "female"): Equation(25.5, 0.298, _SUSTAINED_F),
    ("push_initial", "male"): Equation(
        70.3, 0.231, (("hands_m", _square(1.2737, -1.335, 2.576)), *_INITIAL_M)
    ),
    ("push_sustained", "male"): Equation(
        65.3, 0.267, (("hands_m", _square(2.2940, -0.3345, 0.6887)), *_SUSTAINED_M)
    ),
    ("pull_initial", "male"): Equation(
        69.8, 0.238, (("hands_m", _square(1.7186, -0.6888, 2.025)), *_INITIAL_M)
    ),
    ("pull_sustained", "male"): Equation(
        61.0, 0.257, (("hands_m", _square(2.1977, -0.3850, 0.9047)), *_SUSTAINED_M)
    ),
    ("carry", "female"): Equation(
        28.6,
        0.231,
        (
            ("hands_m", _linear(1.1645, 4.437)),
            ("distance_m", _linear(1.0101, 207.8)),
            ("per_minute", _log(0.6224, 16.33)),
        ),
    ),
    ("carry", "male"): Equation(
        74.9,
        0.278,
        (
            ("hands_m", _linear(1.5505, 1.417)),
            ("distance_m", _log(1.1172, 6.332)),
            ("per_minute", _log(0.5149, 7.958, 131.1)),
        ),
    ),
}


def measures(task: Task, sex: Sex) -> tuple[str, ...]:
    """Return the names of the measures that an equation asks for."""
    return tuple(name for name, _ in EQUATIONS[task, sex].factors)


def mean_kg(task: Task, sex: Sex, measured: dict[str, float]) -> float:
    """Return the mean acceptable load (MAL); zero where a factor falls below zero."""
    equation = EQUATIONS[task, sex]
    result = equation.load_kg
    for name, factor in equation.factors:
        result *= max(0.0, factor(measured[name]))
    return result


def capable_kg(mean: float, cv: float, share: float) -> float:
    """Return what a share of people (0.75: three in four) is capable of."""
    return mean * (1 - NormalDist().inv_cdf(share) * cv)


def share_capable(load: float, mean: float, cv: float) -> float:
    """Return the share of people, 0 to 1, who are capable of a load."""
    if mean <= 0:
        return 0.0
    return NormalDist().cdf((mean - load) / (cv * mean))
