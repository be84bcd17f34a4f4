"""Limits of driver's hours by name, each with its unit and source."""

from __future__ import annotations

from typing import Final

from server.core.road import hours

LIMITS: Final[dict[str, tuple[float, str, str]]] = {
    "us driving": (hours.US_DRIVING_H, "h", hours.US_SOURCE),
    "us window": (hours.US_WINDOW_H, "h", hours.US_SOURCE),
    "us rest": (hours.US_REST_H, "h", hours.US_SOURCE),
    "us before break": (hours.US_BEFORE_BREAK_H, "h", hours.US_SOURCE),
    "us break": (hours.US_BREAK_MIN, "min", hours.US_SOURCE),
    "us 7 days": (hours.US_DAYS[7], "h", hours.US_SOURCE),
    "us 8 days": (hours.US_DAYS[8], "h", hours.US_SOURCE),
    "us restart": (hours.US_RESTART_H, "h", hours.US_SOURCE),
    "eu driving": (hours.EU_DRIVING_H, "h", hours.EU_SOURCE),
    "eu driving twice a week": (hours.EU_EXTENDED_H, "h", hours.EU_SOURCE),
    "eu week": (hours.EU_WEEK_H, "h", hours.EU_SOURCE),
    "eu two weeks": (hours.EU_TWO_WEEKS_H, "h", hours.EU_SOURCE),
    "eu before break": (hours.EU_BEFORE_BREAK_H, "h", hours.EU_SOURCE),
    "eu break": (hours.EU_BREAK_MIN, "min", hours.EU_SOURCE),
    "eu daily rest": (hours.EU_REST_H, "h", hours.EU_SOURCE),
    "eu reduced daily rest": (hours.EU_REDUCED_REST_H, "h", hours.EU_SOURCE),
    "eu weekly rest": (hours.EU_WEEKLY_REST_H, "h", hours.EU_SOURCE),
    "eu reduced weekly rest": (hours.EU_REDUCED_WEEKLY_REST_H, "h", hours.EU_SOURCE),
    "gb driving": (hours.GB_DRIVING_H, "h", hours.GB_SOURCE),
    "gb duty": (hours.GB_DUTY_H, "h", hours.GB_SOURCE),
    "canada driving": (hours.CANADA_DRIVING_H, "h", hours.CANADA_SOURCE),
    "canada duty": (hours.CANADA_DUTY_H, "h", hours.CANADA_SOURCE),
    "canada elapsed": (hours.CANADA_ELAPSED_H, "h", hours.CANADA_SOURCE),
    "canada off duty in a day": (10, "h", hours.CANADA_SOURCE),
    "canada off duty in one piece": (8, "h", hours.CANADA_SOURCE),
    "canada 7 days": (70, "h", hours.CANADA_SOURCE),
    "canada 14 days": (120, "h", hours.CANADA_SOURCE),
    "canada off duty in 14 days": (24, "h", hours.CANADA_SOURCE),
    "canada reset 7 days": (36, "h", hours.CANADA_SOURCE),
    "canada reset 14 days": (72, "h", hours.CANADA_SOURCE),
}
