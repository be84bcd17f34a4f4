"""Questions on pushing and pulling: people, HSE figures, force, hand height, casters, LM-MMH."""

from __future__ import annotations

from typing import Final, cast

from server.checks import mmh
from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.checks.way import MASS, ROLLING, WAY_FIELDS, slope_of
from server.core.base.figure import Figure, Value
from server.core.base.units import Units
from server.core.handling import population, push, rolling

HANDS: Final = option(
    "hands",
    "choice",
    "who pushes: men 20 and 10 kgf, mixed or women 15 and 7",
    default="mixed",
    choices=("men", "mixed", "women"),
)
WET: Final = option("wet", "flag", "wet ramp", default=False)


def task_of(given: Given) -> push.PushTask:
    """Return the push of a question."""
    hands: push.Hands = "men" if given["hands"] == "men" else "mixed"
    return push.PushTask(
        round(given.exact("mass")), slope_of(given), given["rolling"], given["wet"], hands
    )


def units_of(given: Given) -> Units:
    """Return the unit in which the derivation speaks of masses."""
    return Units(mass="lb" if given.unit("mass") == "lb" else "kg")


def _people(given: Given) -> Figure:
    return push.push_figure(task_of(given), units_of(given))


def force(given: Given) -> Figure:
    """Return the push along the way in the unit of the mass, with its two parts."""
    slope, unit = slope_of(given), given.unit("mass")
    mass = given.to("mass", unit)
    value = slope.force(mass, given["rolling"])
    why = (
        f"{mass:g} {unit} x (sin t + {given['rolling']:g} cos t) on {slope.words()}: "
        f"{mass * slope.sine:.1f} {unit} of slope and the rest of rolling"
    )
    parts: tuple[tuple[str, Value], ...] = (
        ("slope_part", mass * slope.sine),
        ("rolling_part", value - mass * slope.sine),
        ("degrees", slope.angle_deg),
        ("kgf", slope.force(given.to("mass", "kg"), given["rolling"])),
    )
    source = f"{push.HSE_SOURCE} for rolling; mechanics for the slope"
    return Figure(value, unit, source, why, "push", parts)


def _limit(given: Given) -> Figure:
    limits = push.HSE_LIMITS["men" if given["hands"] == "men" else "mixed"]
    start = given["phase"] == "start"
    value = limits.start_kgf if start else limits.keep_going_kgf
    doing = "start or stop" if start else "keep going"
    why = f"{value:g} kgf to {doing}; hands between knuckle and shoulder, 20 m at most"
    return Figure(value, "kgf", push.HSE_SOURCE, why, "push")


def _population(given: Given) -> Figure:
    height = given.to("hand_height", "in")
    found = population.bands(cast("population.Exertion", given["exertion"]), height)
    if found is None:
        raise given.trouble("hand_height", "32 to 48 in (81.3 to 121.9 cm), where figures exist")
    green, yellow = found.protects_80_lb, found.protects_50_lb
    parts: list[tuple[str, Value]] = [
        ("green_max", green),
        ("yellow", (green + 1, yellow)),
        ("red_min", yellow + 1),
    ]
    if given.has("force"):
        parts.append(("protected", found.share(given.to("force", "lbf"))))
    why = f"up to {green} lb protects 80 % or more, up to {yellow} lb half, hands {height:g} in up"
    return Figure(green, "lb", population.SOURCE, why, "push", tuple(parts))


def _rolling(given: Given) -> Figure:
    unit = given.unit("wheel")
    if given.exact("axle") >= given.exact("wheel"):
        raise given.trouble("axle", "an axle thinner than its wheel")
    if given.has("lever") and given.has("pair"):
        raise given.trouble("pair", "lever or pair, not both")
    if given.has("lever"):
        lever = given.to("lever", "in")
    elif given.has("pair"):
        lever = rolling.LEVER_IN[given["pair"]]
    else:
        raise given.trouble("lever", "a lever arm (lever_in) or a pair of surfaces")
    caster = rolling.Caster(
        given.to("wheel", "in"), given.to("axle", "in"), lever, given["bearing"], given["rim"]
    )
    wheel = given.to("wheel", unit)
    why = f"{caster.share():.1%} of the load on a wheel of {wheel:g} {unit}, lever arm {lever:g} in"
    return Figure(caster.share(), "share of the load", rolling.SOURCE, why, "push")


def _greatest(given: Given) -> Figure:
    slope, people = slope_of(given), given["people"]
    limit = push.HSE_LIMITS["men" if given["hands"] == "men" else "mixed"]
    each = limit.start_kgf if given["phase"] == "start" else limit.keep_going_kgf
    each = min(each, push.grip_kgf(slope, push.GRIP_DRY))
    share = slope.force(1.0, given["rolling"])
    if not share:
        raise given.trouble("rolling", "a share above zero on a level floor")
    why = f"{people} x {each:.3g} kgf on {slope.words()} at {given['rolling']:g} rolling"
    if people > push.MOST_AT_ONE_CASE:
        why += f"; no more than {push.MOST_AT_ONE_CASE} people find room at one case, who count"
        people = push.MOST_AT_ONE_CASE
    return Figure(people * each / share, "kg", push.HSE_SOURCE, why, "push")


PHASE: Final = option(
    "phase", "choice", "start or stop, or keep going", default="keep", choices=("start", "keep")
)
METHODS: Final = (
    Method(
        "people",
        "people to push a case, HSE figure and house rule, the larger taken",
        (MASS, *WAY_FIELDS, ROLLING, WET, HANDS),
        _people,
        {"mass_lb": 420, "deck_height_in": 34, "ramp_length_in": 144},
    ),
    Method(
        "force",
        "push along a floor or slope, W (sin t + Crr cos t)",
        (MASS, *WAY_FIELDS, ROLLING),
        force,
        {"mass_kg": 400, "slope": "1:12", "rolling": 0},
    ),
    Method(
        "hse_limit",
        "what one person may push by the HSE filter",
        (HANDS, PHASE),
        _limit,
        {"hands": "women", "phase": "start"},
    ),
    Method(
        "greatest_mass",
        "heaviest case that so many people push by the HSE filter",
        (Field("people", "count", "how many", least=1), *WAY_FIELDS, ROLLING, HANDS, PHASE),
        _greatest,
        {"people": 1, "hands": "women", "phase": "start"},
    ),
    Method(
        "population",
        "push and pull limits by hand height",
        (
            option(
                "exertion",
                "choice",
                "what is done",
                default="push_two_hands",
                choices=("push_two_hands", "pull_two_hands", "pull_one_hand"),
            ),
            Field("hand_height", "length", "hands above the floor", above=0),
            option("force", "force", "to be judged", least=0),
        ),
        _population,
        {"exertion": "push_two_hands", "hand_height_in": 36, "force_lbf": 60},
    ),
    Method(
        "rolling",
        "rolling resistance of a caster as a share of the load",
        (
            Field("wheel", "length", "wheel diameter", aliases=("D",), above=0),
            Field("axle", "length", "axle diameter", aliases=("d",), above=0),
            option("lever", "length", "lever arm of the contact", aliases=("f",), above=0),
            option(
                "pair", "choice", "surfaces, for the lever arm", choices=tuple(rolling.LEVER_IN)
            ),
            option("bearing", "number", "friction of the bearing", default=0.005, least=0, most=1),
            option("rim", "number", "constant c", default=0.003, least=0, most=1),
        ),
        _rolling,
        {"D_in": 5, "d_in": 0.5, "f_in": 0.2},
    ),
    mmh.PUSH,
    mmh.CAPABLE,
)
