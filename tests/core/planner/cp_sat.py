"""How the independent models are solved, and asked from a test: each in a process of its own.

CP-SAT brings a copy of the planner's solver library, and one process cannot hold both: tests call
`ask`, models call `prove` and `least`.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from server.settings import ROOT

if TYPE_CHECKING:
    from ortools.sat.python import cp_model


def ask(model: str, questions: Iterable[Any]) -> list[str]:
    """Return the line that a model of this folder answers to each question."""
    done = subprocess.run(
        [sys.executable, "-m", f"tests.core.planner.{model}"],
        input="\n".join(map(json.dumps, questions)),
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    return done.stdout.splitlines()


def prove(model: cp_model.CpModel) -> cp_model.CpSolver | None:
    """Return a solver that holds the proven optimum; None where there is proven to be no answer."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 60
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), "expected a proof within a minute"
    return solver if status == cp_model.OPTIMAL else None


def least(model: cp_model.CpModel) -> int:
    """Return the proven least of a whole number."""
    solver = prove(model)
    assert solver is not None, "expected a model that has an answer"
    return round(solver.objective_value)
