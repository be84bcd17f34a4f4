"""Questions on the tables of EN 12195-1, the CTU Code and EN 12642."""

from __future__ import annotations

from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.checks.straps_en_fields import DIRECTION, EDITION, MU, direction_of, edition_of
from server.core.base.figure import Figure, Value
from server.core.securing import criteria, friction, rules_en


def _acceleration(given: Given) -> Figure:
    edition, mode = edition_of(given), given["mode"]
    way = "" if mode == "down" else direction_of(given)
    value = edition.down
    if way:
        value = rules_en.acceleration(edition, direction_of(given))
    if way == "sideways" and mode == "tipping_direct":
        value = edition.tipping_direct
    if way == "sideways" and mode == "tipping_top_over":
        value = edition.tipping_top
    parts: tuple[tuple[str, Value], ...] = (
        ("k", edition.legs),
        ("fs", edition.excess),
        ("fs_forward", edition.excess_forward),
        ("dynamic_share_of_friction", edition.dynamic),
        ("down", edition.down),
    )
    why = f"{value:g} of gravity {way} ({mode.replace('_', ' ')})"
    return Figure(value, "g", edition.source, why, "straps", parts)


def _friction(given: Given) -> Figure:
    found = friction.friction(given["cargo"], given["floor"], wet=given["wet"])
    if found is None:
        pairs = "; ".join(f"{c} on {f}" for c, f in friction.FRICTION)
        raise given.trouble("cargo", f"a pair of the table ({pairs})")
    return found


def _dynamic(given: Given) -> Figure:
    edition = edition_of(given)
    value = given["friction"] * edition.dynamic
    why = f"{edition.dynamic:g} of {given['friction']:g} counts beside direct lashing"
    return Figure(value, "share of the weight", edition.source, why, "straps")


def _legs(given: Given) -> Figure:
    value = given["legs"] / given["excess"]
    why = f"{given['legs']:g} legs over fs {given['excess']:g}"
    return Figure(value, "", "Kaps, Securing cargo in road transport, 2.2.1", why, "straps")


def _body(given: Given) -> Figure:
    return criteria.body_wall_kn(given.to("payload", "kg"), given["code"], given["wall"])


def _angle(given: Given) -> Figure:
    rule = rules_en.angle_rule(given.to("angle", "deg"))
    source = "quick lashing guide (ro-ro carrier's securing instruction)"
    return Figure(rule, "", source, f"{given.to('angle', 'deg'):g} degrees to the floor", "straps")


METHODS: Final = (
    Method(
        "en_acceleration",
        "acceleration of an edition, with its k, fs and share of friction",
        (
            EDITION,
            DIRECTION,
            option(
                "mode",
                "choice",
                "against what",
                default="sliding",
                choices=("sliding", "tipping_direct", "tipping_top_over", "down"),
            ),
        ),
        _acceleration,
        {"edition": "2010", "direction": "forward"},
    ),
    Method(
        "en_friction",
        "friction of the CTU table",
        (
            Field("cargo", "text", "what stands, e.g. wooden pallet"),
            Field("floor", "text", "on what, e.g. plywood"),
            option("wet", "flag", "wet column", default=False),
        ),
        _friction,
        {"cargo": "plastic pallet", "floor": "plywood"},
    ),
    Method(
        "en_dynamic_friction",
        "share of friction that counts beside direct lashing",
        (MU, EDITION),
        _dynamic,
        {"friction": 0.45},
    ),
    Method(
        "en_k_factor",
        "k that a factor fs amounts to",
        (
            Field("excess", "number", "factor fs", aliases=("fs",), least=1, most=2),
            option("legs", "number", "legs", default=2, above=0, most=2),
        ),
        _legs,
        {"fs": 1.1, "legs": 2},
    ),
    Method(
        "en_angle",
        "how the quick guide takes a lashing angle",
        (Field("angle", "angle", "to the floor", least=0, most=90),),
        _angle,
        {"angle_deg": 60},
    ),
    Method(
        "en_body_wall",
        "what a wall stands by EN 12642 (from memory)",
        (
            Field("payload", "mass", "payload of the vehicle", above=0),
            option("code", "choice", "code of the body", default="L", choices=("L", "XL")),
            Field("wall", "choice", "which; never guessed", choices=("front", "side", "rear")),
        ),
        _body,
        {"payload_kg": 10000, "code": "XL", "wall": "front"},
    ),
)
