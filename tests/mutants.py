"""`python3 tests mutants`: is every safety constant held by what is printed elsewhere?

Each number in a module-level constant of securing, handling, weight and the tables is changed by
2 % either way, or by one where it is small and whole; the published rows and vectors run again in
this process. A mutant that nothing notices survives; those that may are listed with the
reason in tests/data/surviving-mutants.json. The last line is `N mutants, S survive`.
"""

from __future__ import annotations

import ast
import copy
import importlib
import json
import pkgutil
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from types import ModuleType
from typing import Any, Final

ROOMS: Final = (
    "server.core.securing",
    "server.core.handling",
    "server.core.weight",
    "server.core.road",
)
MODULES: Final = ("server.core.shop.case_mass", "server.core.shop.vehicle")
REASONS: Final = Path(__file__).parent / "data" / "surviving-mutants.json"
PERCENT: Final = 0.02
LARGE: Final = 1_000  # a whole number from here on counts micrometres, grams or pounds: 2 %

Check = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Mutant:
    """One number of one constant, and what it becomes."""

    module: str
    name: str
    line: int
    column: int
    was: float
    becomes: float

    @property
    def constant(self) -> str:
        """Return the dotted name of the constant."""
        return f"{self.module}.{self.name}"

    def __str__(self) -> str:
        return f"{self.constant} line {self.line}: {self.was:g} -> {self.becomes:g}"


def modules() -> list[ModuleType]:
    """Return every module whose constants are mutated."""
    names = [*MODULES]
    for room in ROOMS:
        path = importlib.import_module(room).__path__
        names += [f"{room}.{one.name}" for one in pkgutil.iter_modules(path)]
    return [importlib.import_module(name) for name in sorted(names)]


def assignments(tree: ast.Module) -> Iterator[tuple[str, ast.expr]]:
    """Yield each constant of a module with the expression of its value, in order."""
    for node in tree.body:
        if isinstance(node, ast.AnnAssign) and node.value and isinstance(node.target, ast.Name):
            yield node.target.id, node.value
        elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            yield node.targets[0].id, node.value


def changed(value: float) -> list[float]:
    """Return what a number is changed to."""
    if isinstance(value, int) and abs(value) < LARGE:
        return [value - 1, value + 1]
    if isinstance(value, int):
        return [round(value * (1 - PERCENT)), round(value * (1 + PERCENT))]
    return [value * (1 - PERCENT), value * (1 + PERCENT)]


def mutants(module: ModuleType, tree: ast.Module) -> Iterator[Mutant]:
    """Yield every mutant of a module."""
    for name, expression in assignments(tree):
        for node in ast.walk(expression):
            if not isinstance(node, ast.Constant) or isinstance(node.value, (bool, str)):
                continue
            if not isinstance(node.value, (int, float)):
                continue
            for value in changed(node.value):
                if value == node.value:  # no share of zero
                    continue
                yield Mutant(module.__name__, name, node.lineno, node.col_offset, node.value, value)


class Applied:
    """A mutant in force: its constant, all that follows from it, wherever they were imported."""

    def __init__(self, mutant: Mutant, module: ModuleType, tree: ast.Module) -> None:
        self._mutant, self._module, self._tree = mutant, module, tree
        self._before: list[tuple[dict[str, Any], str, Any]] = []

    def __enter__(self) -> None:
        begun = False
        for name, expression in assignments(self._tree):
            begun = begun or name == self._mutant.name
            if begun and (name == self._mutant.name or self._follows(expression)):
                self._set(name, self._value(expression))

    def __exit__(self, *trouble: object) -> None:
        for space, name, value in reversed(self._before):
            space[name] = value

    def _follows(self, expression: ast.expr) -> bool:
        """Return whether a later constant reads one that has changed."""
        names = {node.id for node in ast.walk(expression) if isinstance(node, ast.Name)}
        return bool(names & {name for _, name, _ in self._before})

    def _value(self, expression: ast.expr) -> Any:
        mutant, tree = self._mutant, copy.deepcopy(expression)
        for node in ast.walk(tree):
            here = isinstance(node, ast.Constant) and (node.lineno, node.col_offset)
            if isinstance(node, ast.Constant) and here == (mutant.line, mutant.column):
                node.value = mutant.becomes
        code = compile(ast.Expression(tree), self._module.__file__ or "", "eval")
        return eval(code, vars(self._module))

    def _set(self, name: str, value: Any) -> None:
        old = vars(self._module)[name]
        for module in [
            one for key, one in sys.modules.items() if key.startswith(("server", "tests"))
        ]:
            space = vars(module)
            if name in space and space[name] is old:
                self._before.append((space, name, old))
                space[name] = value


def checks() -> list[Check]:
    """Return what must notice: the rows that agree now, and the vectors and pinned figures."""
    from tests.checks import test_road
    from tests.core.handling import test_crossing_vectors
    from tests.core.published import pinned, pinned_edges, pinned_road
    from tests.core.published.row import agrees
    from tests.core.test_published_checks import ROWS

    def held(row: Any) -> Check:
        return lambda: bool(agrees(row.got(), row.printed, row.tolerance))

    found: list[Check] = [
        held(row) for row in (*pinned_road.ROWS, *pinned_edges.ROWS, *pinned.ROWS, *ROWS)
    ]
    found += [partial(test_road.holds, row) for row in test_road.ROWS]
    written = test_crossing_vectors.FILE.read_text(encoding="utf-8")
    found.append(lambda: test_crossing_vectors.written() == written)
    return [check for check in found if check()]


def noticed(every: Sequence[Check]) -> bool:
    """Return whether one check differs or breaks."""
    for check in every:
        try:
            if not check():
                return True
        except Exception:  # noqa: BLE001  (a figure that breaks is noticed)
            return True
    return False


def survivors(only: str = "") -> tuple[int, list[Mutant]]:
    """Return how many mutants there are of modules so named, and those that nothing notices."""
    every, count, alive = checks(), 0, []
    for module in modules():
        if only not in module.__name__:
            continue
        tree = ast.parse(Path(module.__file__ or "").read_text(encoding="utf-8"))
        for mutant in mutants(module, tree):
            count += 1
            try:
                with Applied(mutant, module, tree):
                    caught = noticed(every)
            except (ValueError, ArithmeticError, KeyError, IndexError):
                caught = True  # a constant that cannot be built is noticed at import
            if not caught:
                alive.append(mutant)
    return count, alive


def main(only: str = "") -> int:
    """Print the survivors by constant with their reasons; 1 where one has none.

    `only`: a part of a module's name, as `python3 tests mutants road.hours`.
    """
    count, alive = survivors(only)
    reasons: dict[str, str] = json.loads(REASONS.read_text(encoding="utf-8"))
    for mutant in alive:
        print(f"{mutant}: {reasons.get(mutant.constant, 'NO REASON GIVEN')}")
    unexplained = sum(mutant.constant not in reasons for mutant in alive)
    print(f"{unexplained} survive without a reason")
    print(f"{count} mutants, {len(alive)} survive")
    return 1 if unexplained else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
