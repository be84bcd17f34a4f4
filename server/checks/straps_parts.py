"""Questions on the parts of a strap line: the weakest governs."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.core.base.figure import Figure
from server.core.securing import defaults_us


def _breaking(given: Given) -> Figure:
    if given.has("parts") and given.has("breaking"):
        raise given.trouble("breaking", "parts or the breaking strength of the weakest, not both")
    if given.has("parts"):
        rows = given["parts"]
        unit = rows[0].unit("breaking")
        parts = {row["name"]: row.to("breaking", unit) for row in rows}
    elif given.has("breaking"):
        unit = given.unit("breaking")
        parts = {"weakest part": given.to("breaking", unit)}
    else:
        raise given.trouble("breaking", "a breaking strength (breaking_lb) or parts")
    return defaults_us.limit_from_breaking(parts, unit)


def _weakest(given: Given) -> Figure:
    rows = given["parts"]
    unit = rows[0].unit("wll")
    found = defaults_us.weakest_limit({r["name"]: r.to("wll", unit) for r in rows}, unit)
    if len(rows) > 1:
        return found
    why = f"{found.derivation} of one that is known: tensioner, fitting and anchor are not"
    return replace(found, derivation=why)


PART: Final = Field("name", "text", "webbing, ratchet, hook, track anchor, ...")
METHODS: Final = (
    Method(
        "wll_from_breaking",
        "working load limit from breaking strength, a third of the weakest part",
        (
            option(
                "breaking", "mass", "of the weakest part", aliases=("weakest_breaking",), above=0
            ),
            option(
                "parts",
                "rows",
                "every part with its breaking strength",
                items=(PART, Field("breaking", "mass", "breaking strength", above=0)),
            ),
        ),
        _breaking,
        {"parts": [["ratchet", 11000], ["hook", 10000], ["web", 12000]], "units": {"mass": "lb"}},
    ),
    Method(
        "weakest_part",
        "which part of a strap line governs, anchors included",
        (
            Field(
                "parts",
                "rows",
                "every part with its working load limit",
                items=(PART, Field("wll", "mass", "working load limit", above=0)),
            ),
        ),
        _weakest,
        {"parts": [["strap", 1000], ["track anchor", 833]], "units": {"mass": "lb"}},
    ),
)
