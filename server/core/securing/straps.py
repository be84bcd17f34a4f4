"""Straps that hold one row: wall-to-wall lines on logistic track across the back of the row.

The one function that the planner, the sequence and the release ask. A row of cases is taken as one
article (own reading: neither rule says whether a row is one). On casters friction is close to
nothing, so only blocking and direct restraint count, and the derivation says so.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import ceil
from typing import Final

from server.core.base.figure import Figure, length_words, mass_words
from server.core.base.units import Units
from server.core.securing.rules_en import LATEST, Box, tipping_moment_nm
from server.core.securing.rules_us import number_of_tiedowns
from server.core.securing.stacks import HEIGHT_SHARE, Stack

REARWARD_US: Final = 0.5  # 49 CFR 393.102(a)(2), rearward at the working load limit
US: Final = "us-49cfr393"
EN: Final = "en-12195"

# Every case was rounded up to the gram, so a row may show up to a gram a case more than it weighs.
ROUNDING_G: Final = 25
# Lowest friction of the CTU table on a plywood floor (plastic pallet, annex 7 appendix 2).
SKID_FRICTION: Final = 0.20
# What a strap of unknown limit counts: the smallest usual one, a 1 in strap of 500 lb. Common
# practice, no source; the label decides, and until it is read no strap fewer is asked for.
UNKNOWN_WLL_G: Final = 226_796
# A strap across the back that leaves the row at 30 degrees or more pulls at least its limit once:
# 2 legs x sin 30 = 1. Flatter lines hold less (mechanics; the angle is common practice, no source).


@dataclass(frozen=True, slots=True)
class RowLoad:
    """What a strap line has to hold: one row, or several up to the strap line before it.

    `stacks`: each by itself, for tipping and for what tips forward; without them the row counts
    as one box. `lean`: a stack would tip forward over what stands ahead.
    """

    mass_g: int
    depth_um: int
    height_um: int
    blocked: bool
    on_casters: bool = True
    stacks: tuple[Stack, ...] = ()
    lean: bool = False


@dataclass(frozen=True, slots=True)
class StrapRule:
    """The rule set, the working load limit of the weakest part of one line, the house minimum.

    `wll_g` None: not known, so the smallest usual limit counts.
    """

    securing: str
    wll_g: int | None
    straps_min: int = 1
    units: Units = field(default_factory=Units)

    @property
    def limit_g(self) -> int:
        """Return the limit that counts."""
        return UNKNOWN_WLL_G if self.wll_g is None else self.wll_g


def row_straps(
    securing: str,
    *,
    row_mass_g: int,
    row_depth_um: int,
    row_height_um: int,
    blocked: bool,
    wll_g: int | None,
    straps_min: int = 1,
    on_casters: bool = True,
    units: Units | None = None,
) -> Figure:
    """Return how many straps hold a row, and why; `wll_g` None: no limit known, the smallest usual.

    `blocked`: the row stands tight against the bulkhead or against rows that are secured.
    """
    row = RowLoad(row_mass_g, row_depth_um, row_height_um, blocked, on_casters)
    return straps_for(row, StrapRule(securing, wll_g, straps_min, units or Units()))


def straps_for(row: RowLoad, rule: StrapRule) -> Figure:
    """Return how many straps hold a row by the owner's rule set, never under the house minimum."""
    found = _by_en(row, rule) if rule.securing == EN else _by_us(row, rule)
    if more := _not_held(row, rule):
        found = replace(found, derivation="; ".join([found.derivation, *more]))
    if found.whole() >= rule.straps_min:
        return found
    return Figure(
        rule.straps_min,
        found.unit,
        f"house rule (common practice, no source); {found.source}",
        f"{rule.straps_min} because the house asks for no fewer; by the rule {found.derivation}",
        found.caution,
        found.details,
    )


def _casters(row: RowLoad) -> str:
    if row.on_casters:
        return "on casters: friction not counted, only blocking and direct restraint"
    return "casters locked or off the floor"


def _not_held(row: RowLoad, rule: StrapRule) -> list[str]:
    """Say what straps across the back do not hold, and what is not known."""
    said = []
    if rule.wll_g is None:
        limit = mass_words(rule.limit_g, rule.units)
        said.append(f"limit of a strap not known, counted at {limit}: read the label")
    if not row.blocked:
        said.append("straps behind do not hold it forward: fill or block what is open ahead")
    if row.lean:
        said.append("a stack would tip forward: block it higher, or a strap across its front")
    return said


def strength_count(mass_g: float, wll_g: int) -> int:
    """Return lines that hold a mass once; a gram on each limit for rounding at the edge."""
    return ceil(max(0.0, mass_g - ROUNDING_G) / (wll_g + 1))


def _by_us(row: RowLoad, rule: StrapRule) -> Figure:
    number = number_of_tiedowns(
        row.depth_um,
        max(0, row.mass_g - ROUNDING_G),
        blocked=row.blocked,
        units=rule.units,
    )
    strength = strength_count(row.mass_g / 2, rule.limit_g)
    tipping = strength_count(_tipping_g(row, REARWARD_US), rule.limit_g)
    count = max(number.whole(), strength, tipping)
    size = (
        f"the row weighs {mass_words(row.mass_g, rule.units)} and is "
        f"{length_words(row.depth_um, rule.units)} long"
    )
    ahead = "what stands ahead blocks it" if row.blocked else "nothing ahead blocks it"
    if tipping > max(number.whole(), strength):
        why = f"{size}, and its stacks would tip to the rear"
    elif strength > number.whole():
        why = (
            f"{size}, and straps with a limit of {mass_words(rule.limit_g, rule.units)} must add "
            "up to half its mass"
        )
    else:
        why = f"{size} and {ahead}"
    return Figure(
        count,
        "straps",
        "49 CFR 393.110(b)-(c); 49 CFR 393.106(d)",
        f"{count} because {why} ({_casters(row)})",
        "straps",
        (("by_number", number.whole()), ("by_strength", strength), ("tipping", tipping)),
    )


def _by_en(row: RowLoad, rule: StrapRule) -> Figure:
    counted = 0.0 if row.on_casters else SKID_FRICTION * LATEST.dynamic
    rear = strength_count((LATEST.rearward - counted) * row.mass_g, rule.limit_g)
    ahead = 0
    if not row.blocked:
        ahead = strength_count((LATEST.forward - counted) * row.mass_g, rule.limit_g)
    tipping = strength_count(_tipping_g(row, LATEST.rearward), rule.limit_g)
    behind = max(1, rear, tipping)
    count = behind + ahead
    governs = {
        rear: f"they must hold {LATEST.rearward} g to the rear",
        tipping: f"it would tip over its {length_words(_shallowest(row), rule.units)} base",
        1: "one line is the least across the back of a row",
    }
    why = governs[behind]
    if ahead:
        why = (
            f"nothing ahead blocks it, so {ahead} across its front must hold {LATEST.forward} g "
            "forward"
        )
    return Figure(
        count,
        "straps",
        f"{LATEST.source}: direct restraint and blocking",
        f"{count} because the row weighs {mass_words(row.mass_g, rule.units)} and {why} "
        f"({_casters(row)})",
        "straps",
        (("rearward", rear), ("across_front", ahead), ("tipping", tipping)),
    )


def _shallowest(row: RowLoad) -> int:
    return min((stack.depth_um for stack in row.stacks), default=row.depth_um)


def _tipping_g(row: RowLoad, share: float) -> float:
    """Return the pull in grams of force that keeps every stack from tipping to the rear."""
    if row.stacks:
        return sum(stack.tipping_pull_g(share) for stack in row.stacks)
    box = Box.even(row.depth_um / 1e6, row.height_um / 1e6)
    moment = tipping_moment_nm(row.mass_g / 1000, box, share)
    return moment / (HEIGHT_SHARE * row.height_um / 1e6) / 9.81 * 1000
