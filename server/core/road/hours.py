"""Driver's hours: what is left to drive now, by the rules of the US, EU, GB and Canada.

A load-out is no rest: loading counts as duty. Planning figures; the driver's own record decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from server.core.base.figure import Figure

US_SOURCE: Final = "49 CFR 395.3 (property-carrying, edition of 2020)"
US_DRIVING_H: Final = 11.0
US_WINDOW_H: Final = 14.0
US_REST_H: Final = 10.0
US_BEFORE_BREAK_H: Final = 8.0
US_BREAK_MIN: Final = 30
US_DAYS: Final[dict[int, float]] = {7: 60.0, 8: 70.0}
US_RESTART_H: Final = 34.0

EU_SOURCE: Final = "Regulation (EC) 561/2006, articles 6 to 8"
EU_DRIVING_H: Final = 9.0
EU_EXTENDED_H: Final = 10.0
EU_EXTENDED_A_WEEK: Final = 2
EU_WEEK_H: Final = 56.0
EU_TWO_WEEKS_H: Final = 90.0
EU_BEFORE_BREAK_H: Final = 4.5
EU_BREAK_MIN: Final = 45
EU_SPLIT_MIN: Final = (15, 30)  # in this order
EU_REST_H: Final = 11.0
EU_REDUCED_REST_H: Final = 9.0
EU_SPLIT_REST_H: Final = (3.0, 9.0)  # in this order
EU_WEEKLY_REST_H: Final = 45.0
EU_REDUCED_WEEKLY_REST_H: Final = 24.0
DAY_H: Final = 24.0

GB_SOURCE: Final = "GB domestic drivers' hours (Transport Act 1968), goods vehicles"
GB_DRIVING_H: Final = 10.0
GB_DUTY_H: Final = 11.0
GB_LIGHT_DAY_H: Final = 4.0  # no duty limit in a week that drives no more on any day

CANADA_SOURCE: Final = "Commercial Vehicle Drivers Hours of Service Regulations, south of 60 N"
CANADA_DRIVING_H: Final = 13.0
CANADA_DUTY_H: Final = 14.0
CANADA_ELAPSED_H: Final = 16.0


@dataclass(frozen=True, slots=True)
class Day:
    """A driver's day so far, in hours: since coming on duty, on duty, driven, since a break.

    `earlier`: hours on duty of the days before (US) or driven this week and last (EU).
    """

    elapsed: float
    on_duty: float
    driven: float
    since_break: float
    earlier: tuple[float, ...] = ()


def _least(source: str, limits: dict[str, float], more: str = "") -> Figure:
    """Return the smallest of several hours left, none below zero, and which binds."""
    bound = min(limits, key=lambda name: limits[name])
    left = max(0.0, limits[bound])
    why = f"{left:g} h left to drive: {bound}{more}"
    parts = tuple((name, max(0.0, hours)) for name, hours in limits.items())
    return Figure(left, "h", source, why, "planning", parts)


def us_left(day: Day, days: int = 8) -> Figure:
    """Return the hours of driving left in a shift; `earlier`: on duty in the days before."""
    limits = {
        f"{US_DRIVING_H:g} h of driving": US_DRIVING_H - day.driven,
        f"{US_WINDOW_H:g} h from coming on duty": US_WINDOW_H - day.elapsed,
        f"{US_BEFORE_BREAK_H:g} h before a break of {US_BREAK_MIN} min": US_BEFORE_BREAK_H
        - day.since_break,
    }
    if not day.earlier:
        more = f"; {US_DAYS[days]:g} h in {days} days NOT checked, earlier days not stated"
        return _least(US_SOURCE, limits, more)
    left = US_DAYS[days] - sum(day.earlier[-(days - 1) :]) - day.on_duty
    limits[f"{US_DAYS[days]:g} h on duty in {days} days"] = left
    return _least(US_SOURCE, limits)


def us_duty_left(earlier: Sequence[float], days: int = 8) -> Figure:
    """Return the on-duty hours left on the last day of 7 or 8; `earlier`: the days before it."""
    used = sum(earlier[-(days - 1) :])
    left = max(0.0, US_DAYS[days] - used)
    why = f"{US_DAYS[days]:g} h in {days} days less {used:g} h of the {days - 1} days before"
    return Figure(left, "h", US_SOURCE, why, "planning")


def eu_left(day: Day, *, extended: int | None = None, rest_h: float = EU_REST_H) -> Figure:
    """Return the hours of driving left; `earlier`: driven this week without today, and last week.

    `extended`: days of 10 h used this week; None: not known, so none is left.
    """
    most = EU_DRIVING_H
    if extended is not None and extended < EU_EXTENDED_A_WEEK:
        most = EU_EXTENDED_H
    limits = {
        f"{most:g} h of driving a day": most - day.driven,
        f"{EU_BEFORE_BREAK_H:g} h before a break of {EU_BREAK_MIN} min": EU_BEFORE_BREAK_H
        - day.since_break,
        f"{DAY_H - rest_h:g} h from the start, {rest_h:g} h of rest": DAY_H - rest_h - day.elapsed,
    }
    if len(day.earlier) != 2:
        return _least(EU_SOURCE, limits, "; week and two weeks NOT checked, not stated")
    week, last = day.earlier
    limits[f"{EU_WEEK_H:g} h a week"] = EU_WEEK_H - week - day.driven
    limits[f"{EU_TWO_WEEKS_H:g} h in two weeks"] = EU_TWO_WEEKS_H - week - last - day.driven
    return _least(EU_SOURCE, limits)


def eu_second_week(first_h: float) -> Figure:
    """Return the driving left for the week after one of `first_h`."""
    left = max(0.0, min(EU_WEEK_H, EU_TWO_WEEKS_H - first_h))
    why = f"{EU_TWO_WEEKS_H:g} h in two weeks, {EU_WEEK_H:g} h in one, {first_h:g} h driven"
    return Figure(left, "h", EU_SOURCE, why, "planning")


def eu_break_counts(minutes: Sequence[float]) -> bool:
    """Return whether breaks inside 4.5 h of driving count: 45 min, or 15 and then 30."""
    if any(one >= EU_BREAK_MIN for one in minutes):
        return True
    first = next((n for n, one in enumerate(minutes) if one >= EU_SPLIT_MIN[0]), None)
    return first is not None and any(one >= EU_SPLIT_MIN[1] for one in minutes[first + 1 :])


def eu_rest_counts(hours: Sequence[float]) -> bool:
    """Return whether a rest is a regular daily rest: 11 h, or 3 and then 9."""
    if len(hours) == 1:
        return hours[0] >= EU_REST_H
    least = EU_SPLIT_REST_H
    return len(hours) == len(least) and hours[0] >= least[0] and hours[1] >= least[1]


def gb_left(day: Day) -> Figure:
    """Return the hours of driving left; `earlier`: driving of each other day of this week.

    A day without an entry counts as one that drove more than 4 h: the duty limit then holds.
    """
    limits = {f"{GB_DRIVING_H:g} h of driving": GB_DRIVING_H - day.driven}
    light = bool(day.earlier) and max(day.earlier) <= GB_LIGHT_DAY_H
    if light:
        limits[f"{GB_LIGHT_DAY_H:g} h of driving, else {GB_DUTY_H:g} h of duty hold"] = max(
            GB_LIGHT_DAY_H - day.driven, GB_DUTY_H - day.on_duty
        )
    else:
        limits[f"{GB_DUTY_H:g} h of duty"] = GB_DUTY_H - day.on_duty
    return _least(GB_SOURCE, limits)


def gb_within(driving_h: float, duty_h: float, week_h: Sequence[float]) -> bool:
    """Return whether a day keeps the limits; `week_h`: driving of each day of its week."""
    if driving_h > GB_DRIVING_H:
        return False
    light = driving_h <= GB_LIGHT_DAY_H and bool(week_h) and max(week_h) <= GB_LIGHT_DAY_H
    return duty_h <= GB_DUTY_H or light or driving_h == 0


def canada_left(day: Day) -> Figure:
    """Return the hours of driving left in this work shift."""
    return _least(
        CANADA_SOURCE,
        {
            f"{CANADA_DRIVING_H:g} h of driving": CANADA_DRIVING_H - day.driven,
            f"{CANADA_DUTY_H:g} h on duty": CANADA_DUTY_H - day.on_duty,
            f"{CANADA_ELAPSED_H:g} h elapsed": CANADA_ELAPSED_H - day.elapsed,
        },
    )
