"""Rows against the track on the walls: geometry only, nothing is said of strength."""

from __future__ import annotations

import pytest

from server.core.base.units import to_um
from server.core.securing.track import track_figure
from server.core.shop.plan import Place, Row
from server.core.shop.vehicle import Track

IN = to_um(1, "in")


def row(number: int, depth: int, tall: int) -> Row:
    place = Place(f"C{number}", 0, 0, 0, 30 * IN, depth * IN, tall * IN, "upright")
    return Row(number, 0, depth * IN, 0, 1, (place,))


def test_rows_under_the_track_and_rows_shorter_than_its_pitch_are_named() -> None:
    track = Track((18 * IN, 48 * IN), 24 * IN)
    told = track_figure(track, [row(1, 45, 48), row(2, 22, 30), row(3, 30, 18)])
    assert told.value == 2
    assert "1 row (3) no higher than the lowest track at 18 in" in told.derivation
    assert "1 row (2) less deep than the 24 in from anchor to anchor" in told.derivation
    assert "read them" in told.derivation and told.caution == "straps"


def test_rows_that_the_track_serves_are_said_so_without_a_promise() -> None:
    told = track_figure(Track((18 * IN,), 2 * IN), [row(1, 45, 48)])
    assert told.value == 0 and "makers'" in told.derivation


@pytest.mark.parametrize(("heights", "pitch"), [((), 2), ((-1,), 2), ((18,), 0)])
def test_a_track_that_is_nowhere_is_refused(heights: tuple[int, ...], pitch: int) -> None:
    with pytest.raises(ValueError, match="track"):
        Track(heights, pitch)
