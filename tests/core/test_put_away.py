"""Homes come in walking order, on the server as on phones: fixtures/homes/order.json."""

from __future__ import annotations

import json
from itertools import permutations

from server.core.night.put_away import as_walked
from server.settings import ROOT

FILE = ROOT / "fixtures" / "homes" / "order.json"


def test_homes_are_walked_as_the_owner_named_them_then_by_their_numbers() -> None:
    for row in json.loads(FILE.read_text(encoding="utf-8"))["rows"]:
        for homes in permutations(row["homes"]):
            assert as_walked(homes, row["walked"]) == row["order"], row
