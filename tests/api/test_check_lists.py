"""The lists that a shop begins with: what a crew is asked in each move (issue 7), and by whom."""

from __future__ import annotations

from typing import Any, Final

import pytest

from tests.support.app import Bench, Caller

LOADS: Final = ("shop_load", "load_out")
# What issue 7 names, and a word of the question in each language; common practice, no source.
ASKED: Final = (
    ("before", "hooked, pinned", "enganchada, con pasador"),
    ("before", "slope", "pendiente"),
    ("before", "dry and swept", "secos y barridos"),
    ("before", "chocks in", "calzos puestos"),
    ("before", "lit, clear", "con luz"),
    ("before", "path walked", "camino andado"),
    ("before", "team lifts", "levantar juntos"),
    ("before", "gloves, closed shoes", "guantes, calzado cerrado"),
    ("during", "spotter", "vigila la rampa"),
    ("during", "one case on it at a time", "una caja a la vez"),
    ("during", "straps of each row tight", "correas de cada fila apretadas"),
    ("end", "bars tight", "barras apretadas"),
    ("end", "last row held off the door", "última fila lejos de la puerta"),
    ("end", "doors shut, latched", "puertas cerradas, con pestillo"),
    ("end", "lights and markers", "luces"),
    ("end", "seal on, number noted", "precinto puesto, número anotado"),
)


def listed(bench: Bench, owner: Caller | None = None) -> list[dict[str, Any]]:
    """Return the checks that every shop begins with."""
    asks = bench.owner() if owner is None else owner
    checks: list[dict[str, Any]] = asks.read("/api/shop/lists")["checks"]
    return checks


@pytest.mark.parametrize("move", LOADS)
def test_a_load_is_asked_all_that_the_issue_names_in_both_languages(
    quick: Bench, move: str
) -> None:
    mine = [check for check in listed(quick) if check["move"] == move]
    for moment, english, spanish in ASKED:
        found = [
            check
            for check in mine
            if english in check["text"]["en"].lower() and spanish in check["text"]["es"].lower()
        ]
        assert [check["moment"] for check in found] == [moment], english


def test_every_move_has_a_list_as_short_as_a_crew_bears_in_the_order_of_the_night(
    quick: Bench,
) -> None:
    order = ("before", "during", "end")
    most = {"shop_load": 13, "load_in": 10, "load_out": 13, "put_away": 6}
    checks = listed(quick)
    assert {check["move"] for check in checks} == most.keys()
    for move, count in most.items():
        mine = [check for check in checks if check["move"] == move]
        assert 1 <= len(mine) <= count
        moments = [order.index(check["moment"]) for check in mine]
        assert moments == sorted(moments)
        assert set(moments) == {0, 1, 2}
    assert len({check["id"] for check in checks}) == len(checks)


def test_back_at_the_shop_it_is_asked_what_is_damaged_hired_charged_and_at_home(
    quick: Bench,
) -> None:
    mine = {check["gate"]: check for check in listed(quick) if check["move"] == "put_away"}
    once = {gate for gate, check in mine.items() if check["scope"] == "show"}
    assert once == {"damaged", "hired", "charge", "homes"}
    assert mine["damaged"]["photo"]
    assert mine["hired"]["note"]


def test_an_owner_keeps_the_lists_as_they_are_and_changes_put_away(quick: Bench) -> None:
    owner = quick.owner()
    checks = listed(quick, owner)
    shop = owner.read("/api/shop") | {"checks": checks}
    assert owner.put("/api/shop", shop).status_code == 200
    assert owner.read("/api/shop")["checks"] == checks
    key = {"en": "Key of the shop back on its hook?", "es": "¿Llave en su gancho?"}
    own = {"id": "put_away_key", "move": "put_away", "text": key, "gate": "key"}
    shop["checks"] = [check for check in checks if check["gate"] != "homes"] + [own]
    assert owner.put("/api/shop", shop).status_code == 200
    handed = quick.phone("Ana").read("/api/shows/demo/bundle")["checks"]
    away = [check["gate"] for check in handed if check["move"] == "put_away"]
    assert away[-1] == "key" and "homes" not in away
    assert handed[-1]["moment"] == "end"
