"""Questions on driver's hours: what is left to drive, what counts as a break or a rest."""

from __future__ import annotations

from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.hours_limits import LIMITS
from server.checks.method import Method
from server.core.base.figure import Figure
from server.core.road import hours

HOURS: Final = Field("hours", "number", "hours of one day", least=0, most=24)


def _number(name: str, text: str, *aliases: str, most: float = 24) -> Field:
    return Field(name, "number", text, aliases=aliases, least=0, most=most)


ELAPSED: Final = _number(
    "elapsed_h", "since coming on duty", "hours_since_on_duty", "elapsed", "since_start_h"
)
DRIVEN: Final = _number("driven_h", "driven since then", "driven", "driving_h")
SINCE_BREAK: Final = _number(
    "driven_since_break_h", "driven since the last break that counts", "since_break_h"
)
DUTY: Final = _number("on_duty_h", "on duty since then, loading included", "duty_h", "on_duty")
DAYS: Final = option("days", "count", "period of the limit", default=8, least=7, most=8)


def _earlier(name: str, text: str, *aliases: str) -> Field:
    return option(name, "list", text, aliases=aliases, items=(HOURS,))


def _day(given: Given, *, duty: bool = False, since_break: bool = False) -> hours.Day:
    """Read the day so far; who drove longer than they say to have been on duty was on duty then."""
    driven = given["driven_h"]
    elapsed = max(given["elapsed_h"] if "elapsed_h" in given.values else 0.0, driven)
    on_duty = max(given["on_duty_h"], driven) if duty else elapsed
    if since_break and given["driven_since_break_h"] > driven:
        raise given.trouble("driven_since_break_h", "no more than driven_h")
    if duty and "elapsed_h" in given.values and on_duty > elapsed:
        raise given.trouble("on_duty_h", "no more than the hours elapsed")
    return hours.Day(
        elapsed, on_duty, driven, given["driven_since_break_h"] if since_break else 0.0
    )


def _us(given: Given) -> Figure:
    day = _day(given, since_break=True)
    earlier = tuple(given["on_duty_earlier"] or ())
    if earlier and len(earlier) < given["days"] - 1:
        raise given.trouble("on_duty_earlier", f"the {given['days'] - 1} days before this one")
    return hours.us_left(
        hours.Day(day.elapsed, day.on_duty, day.driven, day.since_break, earlier), given["days"]
    )


def _us_duty(given: Given) -> Figure:
    earlier = given["on_duty_last_7_days"]
    if len(earlier) < given["days"] - 1:
        raise given.trouble("on_duty_last_7_days", f"the {given['days'] - 1} days before today")
    return hours.us_duty_left(earlier, given["days"])


def _clock(given: Given, name: str) -> int:
    """Return the minutes of a time of day, as in 06:00."""
    head, colon, tail = given[name].partition(":")
    if not (colon and head.isdecimal() and tail.isdecimal() and len(tail) == 2):
        raise given.trouble(name, "a time of day such as 06:00")
    if not (int(head) < 24 and int(tail) < 60):
        raise given.trouble(name, "a time of day such as 06:00")
    return int(head) * 60 + int(tail)


def _us_clock(given: Given) -> Figure:
    if given.has("on_duty") == given.has("off_duty"):
        raise given.trouble("on_duty", "on_duty (last moment to drive) or off_duty (driving again)")
    name = "on_duty" if given.has("on_duty") else "off_duty"
    span = hours.US_WINDOW_H if name == "on_duty" else hours.US_REST_H
    days, minute = divmod(_clock(given, name) + round(span * 60), 24 * 60)
    value = f"{'next day ' if days else ''}{minute // 60:02d}:{minute % 60:02d}"
    why = f"{span:g} h after {given[name]}"
    return Figure(value, "clock", hours.US_SOURCE, why, "planning")


def _eu(given: Given) -> Figure:
    day = _day(given, since_break=True)
    if given.has("week_h") != given.has("last_week_h"):
        missing = "last_week_h" if given.has("week_h") else "week_h"
        raise given.trouble(missing, "week_h and last_week_h together")
    weeks = (given["week_h"], given["last_week_h"]) if given.has("week_h") else ()
    rest = given["daily_rest_h"]
    if rest not in {hours.EU_REST_H, hours.EU_REDUCED_REST_H}:
        raise given.trouble("daily_rest_h", "11, or 9 for a reduced rest")
    return hours.eu_left(
        hours.Day(day.elapsed, day.on_duty, day.driven, day.since_break, weeks),
        extended=given["extended_days_used"],
        rest_h=rest,
    )


def _eu_week(given: Given) -> Figure:
    return hours.eu_second_week(given["first_week_h"])


def _eu_break(given: Given) -> Figure:
    found = hours.eu_break_counts(given["breaks_min"])
    why = "45 min in one piece, or 15 and then at least 30, inside 4.5 h of driving"
    return Figure(found, "", hours.EU_SOURCE, why, "planning")


def _eu_rest(given: Given) -> Figure:
    found = hours.eu_rest_counts(given["parts_h"])
    return Figure(found, "", hours.EU_SOURCE, "11 h in one piece, or 3 and then 9", "planning")


def _eu_spread(given: Given) -> Figure:
    value = hours.DAY_H - given["daily_rest_h"]
    why = f"24 h less {given['daily_rest_h']:g} h of rest"
    return Figure(value, "h", hours.EU_SOURCE, why, "planning")


def _gb(given: Given) -> Figure:
    week = given["driving_each_day_of_week_h"] or ()
    found = hours.gb_within(given["driving_h"], given["duty_h"], week)
    why = "10 h of driving; 11 h of duty unless no day of the week drives more than 4 h"
    why += "" if week else "; the other days of the week not stated, so the duty limit holds"
    return Figure(found, "", hours.GB_SOURCE, why, "planning")


def _gb_left(given: Given) -> Figure:
    day = _day(given, duty=True)
    week = tuple(given["driving_each_day_of_week_h"] or ())
    return hours.gb_left(hours.Day(day.elapsed, day.on_duty, day.driven, 0.0, week))


def _canada(given: Given) -> Figure:
    return hours.canada_left(_day(given, duty=True))


def _limit(given: Given) -> Figure:
    limit, unit, source = LIMITS[given["what"]]
    return Figure(limit(), unit, source, given["what"], "planning")


def _week_field(name: str) -> Field:
    return _earlier(name, "hours driven on each day of this week")


METHODS: Final = (
    Method(
        "us_left",
        "hours of driving left now (49 CFR 395.3)",
        (
            ELAPSED,
            DRIVEN,
            SINCE_BREAK,
            _earlier("on_duty_earlier", "hours on duty of each day before, oldest first"),
            DAYS,
        ),
        _us,
        {"elapsed_h": 12, "driven_h": 7, "driven_since_break_h": 2},
    ),
    Method(
        "us_duty_left",
        "on-duty hours left on the last day of 7 or 8 (60 or 70 h)",
        (
            Field(
                "on_duty_last_7_days",
                "list",
                "hours on duty of the days before, oldest first",
                aliases=("on_duty_days",),
                items=(HOURS,),
            ),
            DAYS,
        ),
        _us_duty,
        {"on_duty_last_7_days": [14, 14, 14, 10, 0, 0, 8]},
    ),
    Method(
        "us_clock",
        "last moment to drive after coming on duty, or the first after going off duty",
        (
            option("on_duty", "text", "time of day, e.g. 06:00"),
            option("off_duty", "text", "time of day, e.g. 18:00"),
        ),
        _us_clock,
        {"on_duty": "06:00"},
    ),
    Method(
        "eu_left",
        "hours of driving left now (561/2006)",
        (
            ELAPSED,
            DRIVEN,
            SINCE_BREAK,
            option("week_h", "number", "driven this week before today", least=0, most=168),
            option("last_week_h", "number", "driven the week before", least=0, most=168),
            option(
                "extended_days_used", "count", "days of 10 h this week; else none left", least=0
            ),
            option("daily_rest_h", "number", "rest after this day", default=11, least=0, most=24),
        ),
        _eu,
        {"elapsed_h": 10, "driven_h": 5, "driven_since_break_h": 1},
    ),
    Method(
        "eu_second_week",
        "driving left for the week after another (90 h in two)",
        (_number("first_week_h", "driven in the first", most=168),),
        _eu_week,
        {"first_week_h": 56},
    ),
    Method(
        "eu_break",
        "whether breaks inside 4.5 h of driving count",
        (
            Field(
                "breaks_min",
                "list",
                "minutes of each break in order",
                items=(Field("minutes", "number", "one break", least=0, most=1440),),
            ),
        ),
        _eu_break,
        {"breaks_min": [15, 30]},
    ),
    Method(
        "eu_rest",
        "whether a rest in parts is a regular daily rest",
        (Field("parts_h", "list", "hours of each part in order", items=(HOURS,)),),
        _eu_rest,
        {"parts_h": [3, 9]},
    ),
    Method(
        "eu_spread",
        "longest spread from start to end of the day",
        (_number("daily_rest_h", "daily rest taken after it"),),
        _eu_spread,
        {"daily_rest_h": 11},
    ),
    Method(
        "gb_within",
        "whether a day keeps the GB domestic limits",
        (
            Field("driving_h", "number", "driven", least=0, most=24),
            Field("duty_h", "number", "on duty, loading included", least=0, most=24),
            _week_field("driving_each_day_of_week_h"),
        ),
        _gb,
        {"driving_h": 9, "duty_h": 11, "driving_each_day_of_week_h": [9, 5, 5]},
    ),
    Method(
        "gb_left",
        "hours of driving left now by the GB domestic limits",
        (DUTY, DRIVEN, _week_field("driving_each_day_of_week_h")),
        _gb_left,
        {"on_duty_h": 9, "driven_h": 4},
    ),
    Method(
        "canada_left",
        "hours of driving left in this work shift, Canada south of 60 N",
        (ELAPSED, DUTY, DRIVEN),
        _canada,
        {"elapsed_h": 15, "on_duty_h": 10, "driven_h": 8},
    ),
    Method(
        "limit",
        "a limit by its name",
        (Field("what", "choice", "which", choices=tuple(LIMITS)),),
        _limit,
        {"what": "us window"},
    ),
)
