"""Ctrl-C during `plan`: the best plan so far is the answer."""

from __future__ import annotations

import signal

import pytest

from server.commands.interrupts import stop_on_interrupt
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.files.show_file import parse_show
from tests.bench.show_generator import make_show


def test_an_interrupt_ends_the_search_with_the_best_plan() -> None:
    heard: list[Plan] = []

    def interrupt(plan: Plan) -> None:
        heard.append(plan)
        if len(heard) == 1:
            signal.raise_signal(signal.SIGINT)

    with stop_on_interrupt() as stopped:
        assert not stopped()
        plan = solve(parse_show(make_show(60, 2)), 600.0, 0, interrupt, stopped)
        assert stopped()
    assert isinstance(plan, Plan)
    assert plan.floor_length_um == heard[-1].floor_length_um


def interrupted_twice() -> None:
    with stop_on_interrupt():
        signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGINT)


def test_a_second_interrupt_ends_the_program() -> None:
    with pytest.raises(KeyboardInterrupt):
        interrupted_twice()
