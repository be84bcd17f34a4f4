"""Published rows on pushing, pulling, casters and ramps."""

from __future__ import annotations

from server.core.handling import population
from server.core.handling.push import HSE_LIMITS
from server.core.handling.slope import FLAT, ROLLING_GOOD, ROLLING_UNEVEN, Slope
from tests.core.published.row import rows_of


def hand_height(exertion: population.Exertion, inches: float) -> tuple[int, ...]:
    found = population.bands(exertion, inches)
    assert found is not None
    green, yellow = found.protects_80_lb, found.protects_50_lb
    return green, green + 1, yellow, yellow + 1


# kgf
HSE = rows_of(
    source="HSE push-pull assessment page and INDG143",
    formula="hse_push",
    rows=(
        ("T4-01", "seen", "start or stop, men, kgf", lambda: HSE_LIMITS["men"].start_kgf, 20),
        ("T4-02", "seen", "start or stop, women", lambda: HSE_LIMITS["mixed"].start_kgf, 15),
        ("T4-03", "seen", "keep moving, men", lambda: HSE_LIMITS["men"].keep_going_kgf, 10),
        ("T4-04", "seen", "keep moving, women", lambda: HSE_LIMITS["mixed"].keep_going_kgf, 7),
        (
            "T4-05",
            "seen",
            "rolling force as share of the load: 2 % good floor, up to 10 % uneven",
            lambda: FLAT.force(400, ROLLING_GOOD),
            8,
            0.01,
        ),
        (
            "T4-07",
            "seen",
            "rolling force as share of the load: 2 % good floor, up to 10 % uneven",
            lambda: FLAT.force(400, ROLLING_UNEVEN),
            40,
            0.01,
        ),
        (
            "T4-08",
            "seen",
            "400 kg up 1 in 12: over 30 kg",
            lambda: Slope.one_in(12).force(400, 0),
            33.2,
            0.1,
        ),
    ),
)

# green to, yellow from to, red from; lb
POPULATION = rows_of(
    source="Weston et al., guidelines for pushing and pulling (Ohio), straight",
    formula="population",
    rows=(
        (
            "T4-13",
            "seen",
            "two-hand push, hand height 32 in",
            lambda: hand_height("push_two_hands", 32),
            (48, 49, 61, 62),
        ),
        (
            "T4-14",
            "seen",
            "two-hand push, hand height 36 in",
            lambda: hand_height("push_two_hands", 36),
            (52, 53, 63, 64),
        ),
        (
            "T4-16",
            "seen",
            "two-hand push, hand height 44 in",
            lambda: hand_height("push_two_hands", 44),
            (62, 63, 73, 74),
        ),
        (
            "T4-17",
            "seen",
            "two-hand push, hand height 48 in",
            lambda: hand_height("push_two_hands", 48),
            (68, 69, 79, 80),
        ),
        (
            "T4-18",
            "seen",
            "two-hand pull, hand height 32 in",
            lambda: hand_height("pull_two_hands", 32),
            (41, 42, 57, 58),
        ),
        (
            "T4-20",
            "seen",
            "two-hand pull, hand height 40 in",
            lambda: hand_height("pull_two_hands", 40),
            (62, 63, 74, 75),
        ),
        (
            "T4-21",
            "seen",
            "two-hand pull, hand height 44 in",
            lambda: hand_height("pull_two_hands", 44),
            (69, 70, 80, 81),
        ),
        (
            "T4-22",
            "seen",
            "two-hand pull, hand height 48 in",
            lambda: hand_height("pull_two_hands", 48),
            (73, 74, 83, 84),
        ),
        ("T4-24", "seen", "one-hand pull, 32 in", lambda: hand_height("pull_one_hand", 32)[0], 38),
        ("T4-25", "seen", "one-hand pull, 36 in", lambda: hand_height("pull_one_hand", 36)[0], 43),
        ("T4-26", "seen", "one-hand pull, 40 in", lambda: hand_height("pull_one_hand", 40)[0], 44),
        ("T4-27", "seen", "one-hand pull, 48 in", lambda: hand_height("pull_one_hand", 48)[0], 42),
    ),
)

ROWS = (*HSE, *POPULATION)
