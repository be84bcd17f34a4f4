"""Lists of every manner: nothing wrong, everything that needs a person asked."""

from __future__ import annotations

import pytest

from server.files.lists.propose import plain, propose
from tests.files.lists.compare import compare
from tests.files.lists.generate import generate


@pytest.mark.parametrize("seed", range(60))
def test_a_list_in_any_manner_is_read_as_it_was_meant(seed: int) -> None:
    listing = generate(seed)
    found = compare(plain(propose(listing.content, listing.name)), listing.truth)
    assert found.wrong == [], listing.manner
    assert found.asked == set(listing.truth["ask"]), listing.manner
