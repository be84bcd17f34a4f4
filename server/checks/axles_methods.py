"""The methods of the topic axles."""

from __future__ import annotations

from typing import Final

from server.checks import axles
from server.checks.fields import Field, option
from server.checks.method import Method
from server.core.weight import axle_rules

_LIMIT: Final = option("limit", "mass", "most on the trailer's axles", above=0)
METHODS: Final = (
    Method(
        "truck",
        "front and rear axle of a truck with its loads",
        (
            Field("wheelbase", "length", "front to rear axle", aliases=("wb",), above=0),
            axles.LOADS,
            *axles.ONE,
            *axles.EMPTY,
        ),
        axles.truck,
        {"wheelbase_in": 208, "mass_lb": 5000, "at_in": 179.8},
    ),
    Method(
        "kingpin",
        "kingpin and tandem of a trailer",
        (axles.SPAN, axles.LOADS, *axles.ONE, *axles.EMPTY),
        axles.kingpin,
        {"span_ft": 40, "mass_lb": 30000, "at_ft": 24},
    ),
    Method(
        "ball",
        "tongue and axle of a trailer on a ball, and the tongue's share",
        (axles.SPAN, axles.LOADS, *axles.ONE, *axles.EMPTY),
        axles.ball,
        {
            "span_in": 130,
            "loads": [[1650, 113]],
            "empty_front_lb": 92,
            "empty_rear_lb": 1058,
            "units": {"mass": "lb", "length": "in"},
        },
    ),
    Method(
        "centre",
        "centre of gravity of loads in three axes",
        (
            Field(
                "loads",
                "rows",
                "mass and place of each load",
                items=(
                    Field("mass", "mass", "mass", least=0),
                    Field("along", "length", "along the vehicle", aliases=("y",)),
                    option("across", "length", "across it", aliases=("x",)),
                    option("up", "length", "above the floor", aliases=("z",)),
                ),
            ),
        ),
        axles.centre,
        {"loads": [[100, 10, 45, 15], [300, 50, 45, 30]], "units": {"mass": "lb", "length": "in"}},
    ),
    Method(
        "body_centre",
        "centre of a water-level load, and what the axles get of it",
        (
            Field("body", "length", "length of the body", above=0),
            Field("offset", "length", "front axle to the body", least=0),
            option("mass", "mass", "payload", aliases=("W",), least=0),
            option("wheelbase", "length", "front to rear axle", aliases=("wb",), above=0),
        ),
        axles.body,
        {"body_in": 168, "offset_in": 72, "mass_lb": 14500, "wheelbase_in": 214},
    ),
    Method(
        "slider",
        "sliding tandem: holes given (onto the trailer), or found for a limit (off it)",
        (
            Field("steer", "mass", "on the steer axle", least=0),
            Field("drives", "mass", "on the drives", least=0),
            Field("trailer", "mass", "on the trailer's axles", least=0),
            Field("per_hole", "mass", "what one hole moves", above=0),
            option("holes", "count", "holes that move mass onto the trailer; below 0: off it"),
            _LIMIT,
        ),
        axles.slider,
        {
            "steer_lb": 11590,
            "drives_lb": 34700,
            "trailer_lb": 32100,
            "holes": 2,
            "per_hole_lb": 400,
        },
    ),
    Method(
        "bridge",
        "federal bridge formula",
        (
            Field("length", "length", "first to last axle", aliases=("L",), above=0),
            Field("axles", "count", "how many", aliases=("N",), least=2, most=9),
        ),
        axles.bridge,
        {"L_ft": 51, "N": 5},
    ),
    Method(
        "limit",
        "federal limits of axles (reference; the plate decides)",
        (Field("axle", "choice", "which", choices=("single", "tandem", "gross")),),
        axles.limit,
        {"axle": "tandem"},
    ),
    Method(
        "class",
        "US vehicle class and licence group by gross rating",
        (Field("gvwr", "mass", "gross vehicle weight rating", above=0),),
        axles.vehicle_class,
        {"gvwr_lb": 25999},
    ),
    Method(
        "eu_limit",
        "sizes and masses of Directive 96/53/EC",
        (Field("what", "choice", "which", choices=(*axle_rules.EU_M, *axle_rules.EU_T)),),
        axles.eu_limit,
        {"what": "width"},
    ),
)
