"""Slope of a ramp from a phone laid on it: two readings turned end for end cancel its offset."""

from __future__ import annotations

from math import asin, degrees


def both_ways_deg(one: float, other: float) -> float:
    """Return the slope in degrees from two readings, the phone turned end for end between them."""
    return abs(one - other) / 2


def offset_deg(one: float, other: float) -> float:
    """Return what the phone itself reads on the level, by the same two readings."""
    return (one + other) / 2


def error_deg(offset_mg: float) -> float:
    """Return the error of one reading from an offset of the accelerometer in thousandths of g."""
    return degrees(asin(min(1.0, offset_mg / 1000)))
