"""The planner's tests count seconds of this process: a busy machine cuts no search short."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest

from server.core.planner.problem import deadline


@pytest.fixture(autouse=True, scope="module")
def seconds_of_this_process() -> Iterator[None]:
    """Let every deadline run by the processor's time of this process."""
    before, deadline.now = deadline.now, time.process_time
    yield
    deadline.now = before
