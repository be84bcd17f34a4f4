"""Working load limits of unmarked tiedowns (49 CFR 393.108) and limits from breaking strength."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from server.core.base.figure import Figure

DEFAULTS_SOURCE: Final = "49 CFR 393.108, tables to the section"
BREAKING_SOURCE: Final = "webbing tie-down practice (WSTDA): breaking strength / 3"
MAT_SHARE: Final = 0.5  # 49 CFR 393.108(g): an unmarked friction mat resists half the weight on it


@dataclass(frozen=True, slots=True)
class DefaultLimit:
    """One line of the table; pounds and kilograms are rounded apart from each other in it."""

    pounds: int
    kilograms: int | None = None


WEBBING: Final[dict[str, DefaultLimit]] = {
    "1 3/4 in": DefaultLimit(1_750, 790),
    "2 in": DefaultLimit(2_000, 910),
    "3 in": DefaultLimit(3_000, 1_360),
    "4 in": DefaultLimit(4_000, 1_810),
}
# (grade, size); kilograms as the table prints them.
CHAIN: Final[dict[tuple[str, str], DefaultLimit]] = {
    ("30", "3/8 in"): DefaultLimit(2_650, 1_200),
    ("43", "3/8 in"): DefaultLimit(5_400, 2_450),
    ("70", "5/16 in"): DefaultLimit(4_700, 2_130),
    ("70", "3/8 in"): DefaultLimit(6_600, 2_990),
    ("70", "1/2 in"): DefaultLimit(11_300, 5_130),
    ("80", "3/8 in"): DefaultLimit(7_100, 3_200),
    ("100", "3/8 in"): DefaultLimit(8_800, 4_000),
}
WIRE_ROPE: Final[dict[str, DefaultLimit]] = {"3/8 in": DefaultLimit(3_000, 1_360)}  # 6 x 37


def webbing_limit(width: str) -> Figure | None:
    """Return the limit of unmarked webbing by width; None for a width the table does not have."""
    return _limit(WEBBING.get(width), f"webbing {width} wide")


def chain_limit(grade: str, size: str) -> Figure | None:
    """Return the limit of a chain by grade and size; None for one that is not in the table."""
    return _limit(CHAIN.get((grade, size)), f"chain of grade {grade}, {size}")


def wire_rope_limit(size: str) -> Figure | None:
    """Return the limit of 6 x 37 wire rope; None for a size that is not in the table."""
    return _limit(WIRE_ROPE.get(size), f"wire rope 6 x 37, {size}")


def _limit(limit: DefaultLimit | None, what: str) -> Figure | None:
    if limit is None:
        return None
    return Figure(
        limit.pounds,
        "lb",
        DEFAULTS_SOURCE,
        f"{limit.pounds:,} lb because unmarked {what} counts no more",
        "straps",
        (("kilograms", limit.kilograms),),
    )


def friction_mat(weight: float, unit: str) -> Figure:
    """Return the horizontal resistance of an unmarked friction mat, in the unit of the weight."""
    return Figure(
        weight * MAT_SHARE,
        unit,
        "49 CFR 393.108(g)",
        f"half of the {weight:,g} {unit} that stand on the mat",
        "straps",
    )


def limit_from_breaking(parts: dict[str, float], unit: str) -> Figure:
    """Return the limit of a strap as the weakest part's breaking strength over three.

    `parts` names every part with its breaking strength: webbing, ratchet, fitting, anchor.
    """
    weakest = min(parts, key=lambda name: parts[name])
    return Figure(
        parts[weakest] / 3,
        unit,
        BREAKING_SOURCE,
        f"a third of {parts[weakest]:,g} {unit}, the breaking strength of the {weakest}, "
        "the weakest part",
        "straps",
        (("weakest", weakest),),
    )


def weakest_limit(limits: dict[str, float], unit: str) -> Figure:
    """Return the limit that governs a strap line: its weakest part, anchors included."""
    weakest = min(limits, key=lambda name: limits[name])
    return Figure(
        limits[weakest],
        unit,
        "49 CFR 393.106(d), 393.108(a): the weakest part governs",
        f"{limits[weakest]:,g} {unit} because the {weakest} is the weakest part",
        "straps",
        (("weakest", weakest),),
    )
