"""The checks of test_tidy can fail: each is shown a planted fault and must find it."""

from __future__ import annotations

import pytest

from tests.support import tidy
from tests.support.arrows import EVENING, RINGS
from tests.test_tidy import FORBIDDEN, SOLVERS, UNFINISHED


def test_a_long_file_is_found() -> None:
    assert not list(tidy.too_long("a.py", "x = 1\n" * 300))
    assert list(tidy.too_long("a.py", "x = 1\n" * 301))


def test_a_long_function_and_a_sixth_positional_argument_are_found() -> None:
    body = "    x = 1\n"
    assert not list(tidy.oversized_functions("a.py", "def f():\n" + body * 59))
    assert list(tidy.oversized_functions("a.py", "def f():\n" + body * 60))
    assert not list(tidy.oversized_functions("a.py", "def f(self, a, b, c, d, e, *, g): ..."))
    assert list(tidy.oversized_functions("a.py", "def f(a, b, c, d, e, g): ..."))


@pytest.mark.parametrize(
    "source",
    [
        "import os",  # the disk
        "def f():\n    from time import monotonic",  # a clock hidden in a function
        "import datetime\nx = datetime.datetime.now()",  # now
        "import random\nx = random.random()",  # chance without a seed
        "from random import Random\nx = Random()",  # the same, as an object
        "print(1)",  # a screen
    ],
)
def test_a_core_module_that_reaches_outside_is_found(source: str) -> None:
    assert list(tidy.impure("server.core.x", source))


def test_seeded_chance_and_a_given_date_are_pure() -> None:
    source = "import random, datetime\nr = random.Random(7)\nd = datetime.date(2027, 4, 18)"
    assert not list(tidy.impure("server.core.x", source))


def test_a_foreign_library_in_the_core_is_found_in_every_spelling() -> None:
    for source in ("import flask", "from sqlalchemy.orm import Session", "import numpy.linalg"):
        assert tidy.foreign(tidy.imports("server.core.x", source))
    assert not tidy.foreign(tidy.imports("server.core.planner.x", "import numpy"), SOLVERS)


@pytest.mark.parametrize(
    "source",
    [
        "from server.core.night.release import Released",
        "from server.core import night",
        "import server.core.night.release",
        "from ..night.release import Released",
        "def late():\n    from server.core.night.release import Released",
    ],
)
def test_an_import_from_later_in_the_evening_is_found(source: str) -> None:
    assert list(tidy.backward("server.core.planner.solve", source, "server.core", EVENING))
    assert not list(tidy.backward("server.core.night.signoff", source, "server.core", EVENING))


def test_a_core_module_without_a_place_in_the_evening_is_found() -> None:
    assert list(tidy.backward("server.core.stranger", "", "server.core", EVENING))


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("server.core.shop.show", "from server.files import show_file"),
        ("server.service.hand_out", "from server.store import tables"),
        ("server.api.shows", "from server.store.tables import Row"),
        ("server.store.db", "from server.labels import reader"),
        ("server.labels.reader", "from server.api import wire"),
        ("server.commands.plan", "from server.store import db"),
        ("server.cli", "from server import create_app"),
    ],
)
def test_an_arrow_that_points_outward_is_found(module: str, source: str) -> None:
    assert list(tidy.crossings(module, source, RINGS))


def test_a_folder_that_belongs_to_no_ring_is_found() -> None:
    assert list(tidy.crossings("server.extra.thing", "", RINGS))
    assert list(tidy.crossings("server.core.shop.show", "import server.extra", RINGS))


def test_a_circle_of_imports_is_found() -> None:
    assert tidy.cycle({"a": {"b"}, "b": {"c"}, "c": {"a"}}) == ["a", "b", "c", "a"]
    assert tidy.cycle({"a": {"b", "c"}, "b": {"c"}, "c": set()}) == []


@pytest.mark.parametrize("halves", [("Trans", "cripts"), ("/wo", "rk/x"), ("seed doc", "ument")])
def test_a_word_that_must_not_be_said_is_found(halves: tuple[str, str]) -> None:
    assert FORBIDDEN.search(f"as the {''.join(halves)} has it")
    assert not FORBIDDEN.search("typescript of these videos, at ./works")


@pytest.mark.parametrize("halves", [("# TO", "DO: later"), ("@pytest.mark.xf", "ail")])
def test_a_mark_of_unfinished_work_is_found(halves: tuple[str, str]) -> None:
    assert UNFINISHED.search("".join(halves))


@pytest.mark.parametrize(
    "text", ["It tells " + "of news.", "put" + " aside", "nothing was taken" + " in"]
)
def test_a_private_word_is_found_with_what_to_say_instead(text: str) -> None:
    assert list(tidy.private_words("a.md", text))
    assert not list(tidy.private_words("a.md", "The vehicle is archived, the file imported."))
