"""Questions on balance: supports by moments, centre of gravity, sliders, road rules."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, Final

from server.checks.fields import UNITS, Field, Given, option
from server.core.base.figure import Figure, Value
from server.core.shop.vehicle import STEERING_SHARE, TONGUE_SHARE
from server.core.weight import axle_rules, balance

LOADS: Final = option(
    "loads",
    "rows",
    "mass and place of each load",
    items=(
        Field("mass", "mass", "mass", aliases=("weight", "W"), least=0),
        Field("at", "length", "behind the front support", aliases=("x", "cg")),
    ),
)
ONE: Final = (
    option("mass", "mass", "one load, instead of loads", aliases=("weight", "W"), least=0),
    option("at", "length", "its place behind the front support", aliases=("x", "cg", "cgf")),
)


def _loads(given: Given) -> tuple[list[tuple[Fraction, Fraction]], str]:
    """Return exact grams and micrometres of every load, and the unit of mass asked in."""
    rows = given["loads"] or ()
    if given.has("mass"):
        if not given.has("at"):
            raise given.trouble("at", "its place behind the front support")
        rows = (*rows, given)
    if not rows:
        raise given.trouble("loads", "loads, or mass and at")
    return [(row.exact("mass"), row.exact("at")) for row in rows], rows[0].unit("mass")


def _empty_masses(given: Given) -> None:
    """Refuse margins, and half of the empty masses, where the other half would be guessed."""
    asked = ("front_limit", "rear_limit", "empty_front", "empty_rear")
    if not any(given.has(name) for name in asked):
        return
    for name in ("empty_front", "empty_rear"):
        if not given.has(name):
            raise given.trouble(name, "both empty masses where a limit or one of them is given")


def _supports(
    given: Given, front: str, rear: str, span: str
) -> tuple[dict[str, float], str, Fraction, Fraction]:
    loads, unit = _loads(given)
    length = given.exact(span)
    _empty_masses(given)
    total = sum((mass for mass, _ in loads), start=Fraction(0))
    behind = sum((mass * at for mass, at in loads), start=Fraction(0)) / length
    ahead = total - behind
    empty = [given.exact(n) if given.has(n) else Fraction(0) for n in ("empty_front", "empty_rear")]
    gram = UNITS["mass"][unit]
    parts = {
        front: float((ahead + empty[0]) / gram),
        rear: float((behind + empty[1]) / gram),
        "gross": float((total + sum(empty)) / gram),
        f"load_on_{front}": float(ahead / gram),
        f"load_on_{rear}": float(behind / gram),
    }
    for name, carried in (("front", ahead + empty[0]), ("rear", behind + empty[1])):
        if given.has(f"{name}_limit"):
            margin = given.exact(f"{name}_limit") - carried
            parts[f"{name}_margin"] = float(margin / gram)
    return parts, unit, ahead + empty[0], behind + empty[1]


def _load_alone(given: Given) -> str:
    return "" if given.has("empty_front") else "; of the load alone, the empty vehicle not given"


def _below_zero(given: Given, parts: dict[str, float], names: tuple[str, str]) -> str:
    """Say which support of a whole vehicle is below zero: it cannot stand like that."""
    if not given.has("empty_front"):
        return ""
    lifted = [name for name in names if parts[name] < 0]
    return f"; {' and '.join(lifted)} below zero: lifted off, NOT as loaded" if lifted else ""


def truck(given: Given) -> Figure:
    """Return what the two axles of a truck carry."""
    parts, unit, _, _ = _supports(given, "front", "rear", "wheelbase")
    why = f"front {parts['front']:,.1f} and rear {parts['rear']:,.1f} {unit} by moments"
    why += _load_alone(given)
    if parts["load_on_front"] < 0:
        why += "; the load is behind the rear axle and lifts the front"
    why += _below_zero(given, parts, ("front", "rear"))
    if given.has("empty_front") and parts["gross"]:
        share = parts["front"] / parts["gross"]
        parts["front_percent"] = 100 * share
        if share < STEERING_SHARE:
            why += f"; the front carries {share:.1%} of the mass on the ground, under the "
            why += f"{STEERING_SHARE:.0%} that steer (common practice, no source)"
    return _figure(parts["rear"], unit, why, parts)


def kingpin(given: Given) -> Figure:
    """Return what kingpin and tandem carry."""
    parts, unit, _, _ = _supports(given, "kingpin", "tandem", "span")
    why = f"kingpin {parts['kingpin']:,.1f} and tandem {parts['tandem']:,.1f} {unit} by moments"
    why += _load_alone(given) + _below_zero(given, parts, ("kingpin", "tandem"))
    return _figure(parts["tandem"], unit, why, parts)


def ball(given: Given) -> Figure:
    """Return what tongue and axle carry, and the tongue's share."""
    for name in ("empty_front", "empty_rear"):
        if not given.has(name):
            raise given.trouble(name, "both empty masses: the share is one of the gross mass")
    parts, unit, front, rear = _supports(given, "tongue", "axle", "span")
    share = float(front / (front + rear)) if front + rear else 0.0
    low, high = TONGUE_SHARE
    parts["tongue_percent"] = 100 * share
    within = low <= share <= high
    why = (
        f"tongue {parts['tongue']:,.1f} {unit} is {share:.1%} of the gross mass, "
        f"{'within' if within else 'outside'} {low:.0%} to {high:.0%}"
        f"{_below_zero(given, parts, ('tongue', 'axle'))}"
    )
    figure = _figure(parts["tongue"], unit, why, parts)
    details = (*figure.details, ("within_10_to_15_percent", within))
    source = f"{balance.MOMENTS_SOURCE}; tongue 10 to 15 %: trailer-loading guides"
    return Figure(figure.value, unit, source, why, "axles", details)


def _figure(value: float, unit: str, why: str, parts: dict[str, float]) -> Figure:
    return Figure(value, unit, balance.MOMENTS_SOURCE, why, "axles", tuple(parts.items()))


def centre(given: Given) -> Figure:
    """Return the centre of gravity of loads."""
    rows = given["loads"]
    unit = rows[0].unit("along")
    micrometres = float(UNITS["length"][unit])
    total = sum(float(row.exact("mass")) for row in rows)
    if total <= 0:
        raise given.trouble("loads", "a mass above zero among them")
    found: dict[str, float] = {}
    for name in ("along", "across", "up"):
        told = [row.has(name) for row in rows]
        if any(told) and not all(told):
            raise given.trouble("loads", f"{name} of every load, or of none")
        if all(told):
            moments = sum(float(row.exact("mass") * row.exact(name)) for row in rows)
            found[name] = moments / total / micrometres
    parts: list[tuple[str, Value]] = list(found.items())
    why = ", ".join(f"{value:.2f} {unit} {name}" for name, value in found.items())
    return Figure(found["along"], unit, balance.MOMENTS_SOURCE, why, "axles", tuple(parts))


def body(given: Given) -> Figure:
    """Return the centre of a water-level load."""
    unit = given.unit("body")
    centre = given.to("body", unit) / 2 + given.to("offset", unit)
    why = f"half of the body and {given.to('offset', unit):g} {unit} from the front axle to it"
    source = "truck body-builder manual, appendix B: water-level load"
    parts: dict[str, Value] = {"cgf": centre}
    if given.has("mass") != given.has("wheelbase"):
        missing = "wheelbase" if given.has("mass") else "mass"
        raise given.trouble(missing, "mass and wheelbase together")
    if given.has("mass"):
        mass_unit = given.unit("mass")
        share = centre / given.to("wheelbase", unit)
        mass = given.to("mass", mass_unit)
        if share > 1:
            why += "; it is behind the rear axle and lifts the front"
        parts |= {"rear": mass * share, "front": mass * (1 - share)}
    return Figure(centre, unit, source, why, "axles", tuple(parts.items()))


def slider(given: Given) -> Figure:
    """Return the ticket after the tandem slid."""
    unit = given.unit("trailer")
    ticket = axle_rules.Tractor(*(given.to(n, unit) for n in ("steer", "drives", "trailer")))
    each = given.to("per_hole", unit)
    over = max(0.0, ticket.trailer - given.to("limit", unit)) if given.has("limit") else 0.0
    if given.has("holes"):
        holes = given["holes"]
    elif given.has("limit"):
        holes = -axle_rules.holes_to_slide(over, each)
    else:
        raise given.trouble("holes", "holes to slide, or the limit of the trailer's axles")
    after = ticket.slid(holes, each)
    if min(after.drives, after.trailer) < 0:
        raise given.trouble("holes", "no more holes than the axles carry")
    still = max(0.0, after.trailer - given.to("limit", unit)) if given.has("limit") else 0.0
    parts: tuple[tuple[str, Value], ...] = (
        ("over", over),
        ("still_over", still),
        ("holes", abs(holes)),
        ("drives", after.drives),
        ("trailer", after.trailer),
        ("steer", after.steer),
        ("gross", after.gross),
    )
    way = "the trailer" if holes >= 0 else "the drives"
    why = f"{abs(holes)} holes of {each:g} {unit} onto {way}: trailer {after.trailer:g} {unit}"
    if still:
        why += f", still {still:g} {unit} over its limit"
    return Figure(after.trailer, unit, "freight training page on sliders", why, "axles", parts)


def bridge(given: Given) -> Figure:
    """Return what the bridge formula gives."""
    return axle_rules.bridge_formula_lb(given.to("length", "ft"), given["axles"])


def limit(given: Given) -> Figure:
    """Return a federal limit."""
    value: Any = {
        "single": axle_rules.SINGLE_LB,
        "tandem": axle_rules.TANDEM_LB,
        "gross": axle_rules.GROSS_LB,
    }[given["axle"]]
    source = "23 CFR 658.17, 23 USC 127 (gross: from memory)"
    return Figure(value, "lb", source, f"{value:,} lb on {given['axle']}", "axles")


def vehicle_class(given: Given) -> Figure:
    """Return the class of a vehicle."""
    pounds = given.to("gvwr", "lb")
    value, heavy = axle_rules.vehicle_class(pounds), axle_rules.is_heavy_straight(pounds)
    why = f"class {value} by a gross rating of {pounds:,.0f} lb"
    source = "US vehicle classes by GVWR; 49 CFR 383.91(a)(2)"
    return Figure(value, "class", source, why, "axles", (("group_b", heavy),))


def eu_limit(given: Given) -> Figure:
    """Return a size or mass of the directive."""
    name = given["what"]
    if name in axle_rules.EU_M:
        return Figure(
            axle_rules.EU_M[name], "m", "Directive 96/53/EC annex I 1.1-1.3", f"{name}", "axles"
        )
    source = "Directive 96/53/EC annex I 2-3, from memory"
    return Figure(axle_rules.EU_T[name], "t", source, name, "axles")


EMPTY: Final = (
    option("empty_front", "mass", "front support, empty", least=0),
    option("empty_rear", "mass", "rear support, empty", least=0),
    option("front_limit", "mass", "limit of the front support by the plate", above=0),
    option("rear_limit", "mass", "limit of the rear support by the plate", above=0),
)
SPAN: Final = Field("span", "length", "front support to trailer axles", aliases=("s",), above=0)
