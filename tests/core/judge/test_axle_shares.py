"""No support is lifted, the front one carries its share: each fault of the axles by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.core.judge import judge
from server.core.shop.case import Case
from server.core.shop.plan import Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Axles, Vehicle

IN = 25_400
LB = 454

LONG = Vehicle("T", width_um=48 * IN, length_um=312 * IN, height_um=96 * IN)


@pytest.mark.parametrize(
    ("axles", "rows", "fault"),
    [
        # two cases of 2,000 lb behind a rear axle 70 in back: 3,000 lb and 6,000 lb stay
        (Axles("truck", -30 * IN, 70 * IN, 2_000 * LB, 3_000 * LB), 2, ""),
        # six lift the front: -5,800 lb (wheelie show)
        (Axles("truck", -30 * IN, 70 * IN, 2_000 * LB, 3_000 * LB), 6, "lifts the front axle"),
        # three: 2,150 lb of 11,000 lb in front is 19.5 %, 20 % unless stated
        (Axles("truck", -30 * IN, 70 * IN, 2_000 * LB, 3_000 * LB), 3, "front axle of T carries l"),
        (Axles("truck", -30 * IN, 70 * IN, 2_000 * LB, 3_000 * LB, share_min=0.1), 3, ""),
        # a coupling below zero, however small a share the owner asks for
        (Axles("ball", -45 * IN, 40 * IN, 0, 900 * LB, share_min=0, share_max=1), 6, "the tongue"),
        (Axles("kingpin", 30 * IN, 90 * IN, 100 * LB, 900 * LB), 6, "lifts the kingpin"),
        # all of the load ahead of the front axle lifts the rear one
        (Axles("truck", 200 * IN, 260 * IN, 9_000 * LB, 900 * LB), 2, "lifts the rear axle"),
    ],
)
def test_an_axle_below_zero_or_under_its_share_is_a_fault(
    axles: Axles, rows: int, fault: str
) -> None:
    vehicle = replace(LONG, axles=axles)
    cases = tuple(Case(f"L{n}", 45 * IN, 45 * IN, 40 * IN, mass_g=2_000 * LB) for n in range(rows))
    line = tuple(
        Row(n + 1, n * 45 * IN, 45 * IN, 3 * IN, 1,
            (Place(f"L{n}", 0, n * 45 * IN, 0, 45 * IN, 45 * IN, 40 * IN),))
        for n in range(rows)
    )  # fmt: skip
    long = rows * 45 * IN
    plan = Plan((VehiclePlan("T", line, long, rows * 2_000 * LB),), long, 0, proven=False)
    faults = judge(Show("lifted", (vehicle,), cases), plan)
    assert [one for one in faults if fault and fault in one] or (not fault and not faults), faults
