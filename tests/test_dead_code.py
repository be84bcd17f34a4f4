"""Nothing in the server is there for nobody: every module is imported, every name used."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

TOP: Final = Path(__file__).resolve().parents[1]
# Loaded by name: commands by the dispatcher, migrations by Alembic, settings by gunicorn.
BY_NAME: Final = re.compile(
    r"server/(__main__|cli|commands/\w+|store/migrations/(env|versions/\w+)|typeface/make)\.py"
)
# Called by a library, by the name that the library gives.
HOOKS: Final = {
    "server/commands/gunicorn_conf.py",
    "server/commands/intake.py",
    "server/commands/link.py",
    "server/commands/sealed.py",
    "server/store/migrations",
}
# Declared beside what they complete, and walked by the named test.
WALKED: Final = {
    "TOLD_INSIDE",  # tests/api/test_roles.py
    "QUESTIONS",  # tests/api/test_roles.py
    "TESTS_LOCK",  # tests/__main__.py installs it
}


def sources() -> dict[str, ast.Module]:
    """Return the server's modules by path."""
    files = sorted((TOP / "server").rglob("*.py"))
    return {path.relative_to(TOP).as_posix(): ast.parse(path.read_text("utf-8")) for path in files}


def test_every_module_of_the_server_is_imported_by_another() -> None:
    trees = sources()
    imported = {name for tree in trees.values() for name in imports(tree)}
    left = [
        path
        for path in trees
        if not BY_NAME.fullmatch(path) and path[:-3].replace("/", ".") not in imported
        if not path.endswith("__init__.py")
    ]
    assert left == []


def imports(tree: ast.Module) -> Iterator[str]:
    """Yield the dotted names that a module imports, or names as text."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value.split(":")[0]


def test_every_function_class_and_constant_of_the_server_is_used_in_it() -> None:
    trees = sources()
    used = Counter(name for tree in trees.values() for name in names(tree))
    left = [
        f"{path}: {name}"
        for path, tree in trees.items()
        if not any(path.startswith(hook) for hook in HOOKS)
        for name, own in defined(tree.body)
        if used[name] <= own and name not in WALKED
    ]
    assert left == []


def names(tree: ast.Module) -> Iterator[str]:
    """Yield every name that a module reads, sets or writes in a short text."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Name):
            yield node.id
        elif isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from re.findall(r"\w+", node.value[:80])


def defined(body: list[ast.stmt]) -> Iterator[tuple[str, int]]:
    """Yield each name defined here and how often its definition itself counts as a use."""
    for node in body:
        if isinstance(node, ast.FunctionDef):
            if not node.decorator_list and not node.name.startswith("__"):
                yield node.name, 0
        elif isinstance(node, ast.ClassDef):
            yield node.name, 0
            methods: list[ast.stmt] = [one for one in node.body if isinstance(one, ast.FunctionDef)]
            yield from defined(methods)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            found = (one.id for one in targets if isinstance(one, ast.Name))
            yield from ((name, 1) for name in found if not name.startswith("__"))
