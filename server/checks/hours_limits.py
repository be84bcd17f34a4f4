"""Limits of driver's hours by name, each with its unit and source."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from server.core.road import hours

LIMITS: Final[dict[str, tuple[Callable[[], float], str, str]]] = {
    "us driving": (lambda: hours.US_DRIVING_H, "h", hours.US_SOURCE),
    "us window": (lambda: hours.US_WINDOW_H, "h", hours.US_SOURCE),
    "us rest": (lambda: hours.US_REST_H, "h", hours.US_SOURCE),
    "us before break": (lambda: hours.US_BEFORE_BREAK_H, "h", hours.US_SOURCE),
    "us break": (lambda: hours.US_BREAK_MIN, "min", hours.US_SOURCE),
    "us 7 days": (lambda: hours.US_DAYS[7], "h", hours.US_SOURCE),
    "us 8 days": (lambda: hours.US_DAYS[8], "h", hours.US_SOURCE),
    "us restart": (lambda: hours.US_RESTART_H, "h", hours.US_SOURCE),
    "eu driving": (lambda: hours.EU_DRIVING_H, "h", hours.EU_SOURCE),
    "eu driving twice a week": (lambda: hours.EU_EXTENDED_H, "h", hours.EU_SOURCE),
    "eu week": (lambda: hours.EU_WEEK_H, "h", hours.EU_SOURCE),
    "eu two weeks": (lambda: hours.EU_TWO_WEEKS_H, "h", hours.EU_SOURCE),
    "eu before break": (lambda: hours.EU_BEFORE_BREAK_H, "h", hours.EU_SOURCE),
    "eu break": (lambda: hours.EU_BREAK_MIN, "min", hours.EU_SOURCE),
    "eu daily rest": (lambda: hours.EU_REST_H, "h", hours.EU_SOURCE),
    "eu reduced daily rest": (lambda: hours.EU_REDUCED_REST_H, "h", hours.EU_SOURCE),
    "eu weekly rest": (lambda: hours.EU_WEEKLY_REST_H, "h", hours.EU_SOURCE),
    "eu reduced weekly rest": (lambda: hours.EU_REDUCED_WEEKLY_REST_H, "h", hours.EU_SOURCE),
    "gb driving": (lambda: hours.GB_DRIVING_H, "h", hours.GB_SOURCE),
    "gb duty": (lambda: hours.GB_DUTY_H, "h", hours.GB_SOURCE),
    "canada driving": (lambda: hours.CANADA_DRIVING_H, "h", hours.CANADA_SOURCE),
    "canada duty": (lambda: hours.CANADA_DUTY_H, "h", hours.CANADA_SOURCE),
    "canada elapsed": (lambda: hours.CANADA_ELAPSED_H, "h", hours.CANADA_SOURCE),
    "canada off duty in a day": (lambda: 10, "h", hours.CANADA_SOURCE),
    "canada off duty in one piece": (lambda: 8, "h", hours.CANADA_SOURCE),
    "canada 7 days": (lambda: 70, "h", hours.CANADA_SOURCE),
    "canada 14 days": (lambda: 120, "h", hours.CANADA_SOURCE),
    "canada off duty in 14 days": (lambda: 24, "h", hours.CANADA_SOURCE),
    "canada reset 7 days": (lambda: 36, "h", hours.CANADA_SOURCE),
    "canada reset 14 days": (lambda: 72, "h", hours.CANADA_SOURCE),
}
