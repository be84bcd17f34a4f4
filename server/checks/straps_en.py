"""Questions on straps by EN 12195-1: blocking, lashings, tilting."""

from __future__ import annotations

from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.checks.straps_en_fields import (
    ACROSS,
    ANGLE,
    COUNT,
    DIRECTION,
    EDITION,
    EXCESS,
    LC,
    LEGS,
    MASS,
    MU,
    SHARE,
    STF,
    direction_of,
    edition_of,
    excess_of,
    lashing_of,
    share_of,
)
from server.core.base.figure import Figure, Value
from server.core.securing import rules_en
from server.core.securing.rules_en import Box, Direct, TopOver


def _newtons(value: float) -> str:
    return f"{value / 1000:.2f} kN"


def _blocking(given: Given) -> Figure:
    share = share_of(given)
    force = rules_en.blocking_n(given.to("mass", "kg"), given["friction"], share)
    why = f"({share:g} - {given['friction']:g}) x {given.to('mass', 'kg'):g} kg x 9.81 m/s2"
    source = f"{edition_of(given).source}: blocking"
    return Figure(force / 1000, "kN", source, why, "straps")


def _top_over(given: Given) -> Figure:
    share, lashing = share_of(given), lashing_of(given)
    each = rules_en.top_over_exact(given.to("mass", "kg"), given["friction"], share, lashing)
    source = f"{edition_of(given).source}: friction lashing over the top"
    sections = given["sections"]
    if each == float("inf"):
        why = "no number of them: without friction a lashing over the top holds nothing"
        return Figure(None, "lashings", source, why, "straps")
    count = rules_en.count_up(each)
    why = (
        f"{count * sections} because ({share:g} - {given['friction']:g}) of the weight slides and "
        f"one lashing presses {_newtons(lashing.legs * lashing.pretension_n)} at "
        f"{lashing.angle_deg:g} degrees, fs {lashing.excess:g}: {each:.2f} for each of {sections}"
    )
    angle = rules_en.angle_rule(lashing.angle_deg)
    parts = (("exact", each), ("per_section", count), ("quick_guide_angle", angle))
    return Figure(count * sections, "lashings", source, why, "straps", parts)


def _held(given: Given) -> Figure:
    share, lashing = share_of(given), lashing_of(given)
    held = rules_en.held_kg(given["friction"], share, lashing)
    source = f"{edition_of(given).source}: friction lashing over the top"
    if held == float("inf"):
        return Figure("no slide", "t", source, "friction alone holds it", "straps")
    why = f"k mu sin(a) FT / ((c - mu) g fs) with c {share:g} and mu {given['friction']:g}"
    return Figure(held / 1000, "t", source, why, "straps")


def _shortfall(given: Given) -> Figure:
    share, lashing = share_of(given), lashing_of(given)
    demand, short = rules_en.short_of_demand(
        given.to("mass", "kg"), given["friction"], share, lashing, given["lashings"]
    )
    why = (
        f"{share:g} of the weight is {_newtons(demand)}; {given['lashings']} lashings leave "
        f"{max(0.0, short) * 100:.1f} % of it open"
    )
    source = "Kaps, Securing cargo in road transport, 4.3 and 4.4: conventional assessment"
    parts = (("demand_kn", demand / 1000), ("enough", short <= 0))
    return Figure(100 * short, "%", source, why, "straps", parts)


def _direct(given: Given) -> Figure:
    edition, share = edition_of(given), share_of(given)
    lashing = Direct(given.to("capacity", "N"), given.to("angle", "deg"), given.to("across", "deg"))
    mu = 0.0 if given["on_casters"] else given["friction"]
    each = rules_en.direct_exact(given.to("mass", "kg"), mu, share, lashing, edition)
    source = f"{edition.source}: direct lashing"
    if each == float("inf"):
        return Figure(None, "lashings", source, "no number of them: they pull across", "straps")
    casters = "; on casters: friction not counted" if given["on_casters"] else ""
    counted = edition.dynamic * mu
    why = (
        f"{rules_en.count_up(each)} because ({share:g} - {counted:g}) of the weight is held by "
        f"lashings of {_newtons(lashing.capacity_n)}: {each:.2f}{casters}"
    )
    return Figure(rules_en.count_up(each), "lashings", source, why, "straps", (("exact", each),))


def _tipping(given: Given) -> Figure:
    edition = edition_of(given)
    share = given["acceleration"] if given.has("acceleration") else _tipping_share(given)
    base, height = given.to("base", "m"), given.to("height", "m")
    box = Box(
        given.to("to_edge", "m") if given.has("to_edge") else base / 2,
        given.to("centre_height", "m") if given.has("centre_height") else height / 2,
        base,
    )
    if given.has("to_edge") and box.to_edge_m > base:
        raise given.trouble("to_edge", f"no more than the base ({base:g} m)")
    if given.has("centre_height") and box.centre_height_m > height:
        raise given.trouble("centre_height", f"no more than the height ({height:g} m)")
    falls = rules_en.tips(box, share)
    why = (
        f"base over height is {box.to_edge_m:g} over {box.centre_height_m:g} m to the centre of "
        f"gravity, {'less than' if falls else 'at least'} {share:g}"
    )
    parts: list[tuple[str, Value]] = [("height_over_base", height / base)]
    if given.has("mass"):
        moment = rules_en.tipping_moment_nm(given.to("mass", "kg"), box, share)
        parts.append(("moment_nm", moment))
        parts += _lashings_against_tipping(given, box, share)
    return Figure(falls, "", f"{edition.source}: tilting", why, "straps", tuple(parts))


def _tipping_share(given: Given) -> float:
    edition = edition_of(given)
    if direction_of(given) != "sideways":
        return rules_en.acceleration(edition, direction_of(given))
    return edition.tipping_direct


def _lashings_against_tipping(given: Given, box: Box, share: float) -> list[tuple[str, Value]]:
    found: list[tuple[str, Value]] = []
    mass = given.to("mass", "kg")
    if given.has("pretension"):
        lashing = TopOver(given.to("pretension", "N"), excess=excess_of(given))
        over = rules_en.top_over_tipping_exact(mass, box, share, lashing)
        found.append(("top_over_lashings", rules_en.count_up(over)))
    if given.has("capacity"):
        at = given.to("height", "m")
        direct = rules_en.direct_tipping_exact(
            mass, box, share, Direct(given.to("capacity", "N")), at
        )
        found.append(("direct_lashings", rules_en.count_up(direct)))
    return found


_SLIDING: Final = (MU, EDITION, DIRECTION, SHARE)
_OVER: Final = (*_SLIDING, EXCESS, LEGS, ANGLE, STF)
METHODS: Final = (
    Method(
        "en_blocking",
        "blocking force (c - mu cz) m g",
        (MASS, *_SLIDING),
        _blocking,
        {"mass_kg": 1000, "friction": 0.3, "direction": "forward"},
    ),
    Method(
        "en_top_over",
        "friction lashings over the top against sliding",
        (MASS, *_OVER, COUNT),
        _top_over,
        {
            "mass_kg": 1000,
            "friction": 0.3,
            "angle_deg": 75,
            "pretension_daN": 400,
            "direction": "forward",
        },
    ),
    Method(
        "en_held",
        "tonnes that one lashing over the top holds",
        _OVER,
        _held,
        {
            "friction": 0.3,
            "angle_deg": 75,
            "pretension_daN": 400,
            "edition": "older",
            "direction": "sideways",
        },
    ),
    Method(
        "en_shortfall",
        "by how many percent lashings over the top fall short of the demand (handbook, fs 1)",
        (
            MASS,
            *_SLIDING,
            option(
                "excess",
                "number",
                "factor fs; the handbook counts none",
                default=1.0,
                aliases=("fs",),
                least=1,
                most=2,
            ),
            LEGS,
            ANGLE,
            STF,
            Field("lashings", "count", "how many", aliases=("belts",), least=1),
        ),
        _shortfall,
        {"mass_t": 3, "lashings": 2, "pretension_kN": 2, "friction": 0.38, "c": 0.5, "fs": 1},
    ),
    Method(
        "en_direct",
        "direct lashings against sliding",
        (
            MASS,
            *_SLIDING,
            LC,
            option(
                "angle",
                "angle",
                "to the floor",
                default=0,
                unit="deg",
                aliases=("alpha",),
                least=0,
                most=90,
            ),
            ACROSS,
            option("on_casters", "flag", "rolls: friction not counted", default=False),
        ),
        _direct,
        {"mass_kg": 400, "friction": 0.2, "capacity_daN": 1000, "direction": "rearward"},
    ),
    Method(
        "en_tipping",
        "does a case tip, and how many lashings hold it",
        (
            Field("base", "length", "whole side along the tipping way", above=0),
            Field("height", "length", "height", aliases=("h",), above=0),
            option(
                "to_edge", "length", "centre of gravity to the edge; else half the base", least=0
            ),
            option("centre_height", "length", "centre of gravity; else half the height", above=0),
            EDITION,
            DIRECTION,
            SHARE,
            EXCESS,
            option("mass", "mass", "for the moment", above=0),
            option("pretension", "force", "STF of lashings over the top", above=0),
            option("capacity", "force", "LC of level lashings at the top", above=0),
        ),
        _tipping,
        {"base_in": 24, "height_in": 48, "acceleration": 0.6},
    ),
)
