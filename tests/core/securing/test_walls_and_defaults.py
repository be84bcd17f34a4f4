"""Defaults, walls and criteria where no printed row says more: order, caps, words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.figure import CAUTIONS
from server.core.securing import defaults_us
from server.core.securing.criteria import body_wall_kn, front_wall
from server.core.securing.friction import friction
from server.core.securing.rules_en import (
    LATEST,
    Box,
    Direct,
    TopOver,
    count_up,
    direct_exact,
    direct_tipping_exact,
    top_over_exact,
    top_over_tipping_exact,
)
from server.core.securing.rules_us import Tiedowns, aggregate_wll_g


def test_what_the_table_does_not_have_gives_no_figure() -> None:
    assert defaults_us.webbing_limit("5 in") is None
    assert defaults_us.chain_limit("70", "1 in") is None
    assert defaults_us.wire_rope_limit("2 in") is None
    assert friction("cardboard", "cardboard", wet=True) is None
    assert friction("ice", "ice") is None


def test_wire_rope_and_the_widest_webbing_stand_in_the_table() -> None:
    # 49 CFR 393.108: wire rope 6 x 37, 3/8 in, 3,000 lb; webbing 1 3/4 in, 1,750 lb
    rope, narrow = defaults_us.wire_rope_limit("3/8 in"), defaults_us.webbing_limit("1 3/4 in")
    assert rope is not None
    assert narrow is not None
    assert (rope.value, narrow.value) == (3000, 1750)


def test_the_weakest_part_of_a_line_governs_be_it_the_anchor() -> None:
    # 49 CFR 393.106(d): an anchor rated 5,000 lb to break holds 1,667 lb under a strap of 3,333
    found = defaults_us.weakest_limit({"strap": 3333.0, "anchor": 5000 / 3}, "lb")
    assert found.detail("weakest") == "anchor"
    assert found.value == pytest.approx(1666.67, abs=0.01)
    broken = defaults_us.limit_from_breaking({"ratchet": 11000, "hook": 10000, "web": 12000}, "lb")
    assert broken.detail("weakest") == "hook"


def test_over_and_back_to_the_same_side_counts_half() -> None:
    # 49 CFR 393.106(d)(2)
    assert aggregate_wll_g((Tiedowns(2, 1000, "same_side"),)) == 1000


@pytest.mark.parametrize("wall", ["front", "side", "rear"])
@given(payload=st.floats(500, 30_000))
def test_a_reinforced_body_is_never_weaker_than_a_plain_one(wall: str, payload: float) -> None:
    plain = body_wall_kn(payload, "L", wall).value  # type: ignore[arg-type]
    strong = body_wall_kn(payload, "XL", wall).value  # type: ignore[arg-type]
    assert isinstance(plain, float)
    assert isinstance(strong, float)
    assert plain <= strong


def test_a_figure_from_memory_says_so() -> None:
    assert "from memory" in front_wall(4, 20_000, "lb").source
    assert "from memory" in body_wall_kn(10_000, "XL", "side").source


def test_a_strap_over_the_top_holds_nothing_without_friction() -> None:
    assert top_over_exact(1000, 0.0, 0.5, TopOver(4000)) == float("inf")
    assert top_over_exact(1000, 0.5, 0.5, TopOver(4000)) == 0.0


def test_direct_lashing_counts_three_quarters_of_friction() -> None:
    # EN 12195-1:2010 level lashing in line: (0.5 - 0.75 x 0.2) x 1,000 kg x 9.81 over 10,000 N
    exact = direct_exact(1000, 0.2, LATEST.rearward, Direct(10_000))
    assert exact == pytest.approx(0.34335)
    assert direct_exact(1000, 0.2, 0.5, Direct(10_000, across_deg=90)) == float("inf")
    assert direct_exact(1000, 0.8, 0.5, Direct(10_000)) == 0.0


def test_tipping_is_held_by_moments_about_the_edge() -> None:
    # 500 kg, 0.6 m wide, 2.4 m high, 0.5 g: 500 x 9.81 x (0.5 x 1.2 - 0.3) = 1,471.5 N m
    box = Box.even(0.6, 2.4)
    over = top_over_tipping_exact(500, box, 0.5, TopOver(4000, 90, 2, 1.1))
    assert over == pytest.approx(1.1 * 1471.5 / (0.6 * 4000))
    assert direct_tipping_exact(500, box, 0.5, Direct(10_000), 2.4) == pytest.approx(
        1471.5 / 24_000
    )
    assert direct_tipping_exact(500, Box.even(2.4, 0.6), 0.5, Direct(10_000), 0.6) == 0.0


@given(st.floats(10, 20_000), st.floats(0, 5_000), st.floats(0.05, 0.6), st.floats(0.1, 1.0))
def test_more_mass_never_needs_fewer_lashings(
    mass: float, more: float, mu: float, share: float
) -> None:
    lashing = TopOver(4000, 75, 2, 1.1)
    assert count_up(top_over_exact(mass, mu, share, lashing)) <= count_up(
        top_over_exact(mass + more, mu, share, lashing)
    )
    direct = Direct(10_000, 30)
    assert direct_exact(mass, mu, share, direct) <= direct_exact(mass + more, mu, share, direct)


def test_no_caution_calls_anything_safe_or_compliant() -> None:
    for text in CAUTIONS.values():
        assert "planning figure" in text.lower()
        assert "safe" not in text.lower().split()
        assert "complian" not in text.lower()
        assert any(word in text.lower() for word in ("local law", "the plate"))
