"""Questions on straps as the planner asks them: one row, and its slack."""

from __future__ import annotations

from math import ceil
from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.checks.straps_us import units_of
from server.core.base.figure import Figure
from server.core.base.units import Units
from server.core.securing.slack import slack_figure, slack_um
from server.core.securing.straps import EN, US, row_straps


def _row(given: Given) -> Figure:
    return row_straps(
        given["securing"],
        row_mass_g=ceil(given.exact("mass")),
        row_depth_um=max(1, round(given.exact("depth"))),
        row_height_um=max(1, round(given.exact("height"))),
        blocked=given["blocked"],
        wll_g=int(given.exact("wll")) if given.has("wll") else None,
        straps_min=given["straps_min"],
        on_casters=given["on_casters"],
        units=units_of(given, length="depth"),
    )


def _slack(given: Given) -> Figure:
    unit = given.unit("width")
    left = slack_um(round(given.exact("width")), [round(case.exact()) for case in given["cases"]])
    limit = round(given.exact("limit")) if given.has("limit") else None
    units = Units("in" if unit in {"in", "ft"} else "cm")
    found = slack_figure(left, limit, units)
    value = left / float(given.exact("width")) * given.to("width", unit)
    return Figure(value, unit, found.source, found.derivation, "straps", found.details)


METHODS: Final = (
    Method(
        "row",
        "straps across the back of one row, as the planner counts them",
        (
            option("securing", "choice", "rule set", default=US, choices=(US, EN)),
            Field("mass", "mass", "mass of the row", above=0),
            Field("depth", "length", "depth of the row along the vehicle", above=0),
            Field("height", "length", "highest stack", above=0),
            Field("blocked", "flag", "tight against bulkhead or secured rows; never guessed"),
            option("wll", "mass", "working load limit of the weakest part of a line", above=0),
            option("straps_min", "count", "house minimum", default=1, least=0),
            option("on_casters", "flag", "stands on casters", default=True),
        ),
        _row,
        {"mass_lb": 1320, "depth_in": 30, "height_in": 60, "blocked": True, "wll_lb": 1000},
    ),
    Method(
        "slack",
        "what a row leaves of the width, and whether it must be filled",
        (
            Field("width", "length", "width inside", aliases=("interior",), above=0),
            Field(
                "cases",
                "list",
                "widths of the cases",
                items=(Field("case", "length", "width of one", above=0),),
            ),
            option("limit", "length", "the owner's limit", least=0),
        ),
        _slack,
        {"width": 100, "cases": [30, 30, 30], "units": {"length": "in"}},
    ),
)
