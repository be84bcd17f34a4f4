"""The pattern that a shop's own numbers follow."""

from __future__ import annotations

import pytest

from server.core.shop.own_pattern import fits, pattern_of


@pytest.mark.parametrize(
    ("codes", "pattern"),
    [
        (["K-017", "K-018", "K-123"], "K-###"),
        (["SO 1", "BA 20", "LI 3"], "@@ #[#]"),
        (["lig100", "vid102"], "@@@###"),
        (["L-01/B", "S-10/A"], "@-##/@"),
        (["1", "20", "190"], "#[#][#]"),
        (["2001", "2002"], "####"),
        (["#1", "#2"], "\\##"),
        (["A*1", "B*2"], "@\\*#"),
        (["see photo", "none"], ""),
        (["K-1", "K-2", "odd one out"], "K-#"),
        ([], ""),
    ],
)
def test_the_pattern_of_numbers_is_found(codes: list[str], pattern: str) -> None:
    assert pattern_of(codes) == pattern
    if pattern:
        assert fits(pattern, codes[0])
