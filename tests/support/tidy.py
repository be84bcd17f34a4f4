"""What a machine can tell about order in the code: sizes, purity, and which way imports point."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

FILE_LINES: Final = 300
FUNCTION_LINES: Final = 60
POSITIONAL: Final = 5

Function = ast.FunctionDef | ast.AsyncFunctionDef

# Clock, chance without a seed, disk, network, threads, log: the core has none of them.
WORLD: Final = frozenset(
    {
        "asyncio",
        "ctypes",
        "getpass",
        "glob",
        "http",
        "io",
        "logging",
        "multiprocessing",
        "os",
        "pathlib",
        "secrets",
        "select",
        "shutil",
        "socket",
        "sqlite3",
        "ssl",
        "subprocess",
        "sys",
        "tempfile",
        "threading",
        "time",
        "urllib",
        "uuid",
    }
)
IMPURE_CALLS: Final = frozenset(
    {
        "datetime.now",
        "datetime.utcnow",
        "datetime.today",
        "date.today",
        "datetime.datetime.now",
        "datetime.date.today",
        "open",
        "print",
        "input",
        "random.random",
        "random.randint",
        "random.choice",
        "random.choices",
        "random.shuffle",
        "random.sample",
        "random.uniform",
        "random.seed",
    }
)


def too_long(name: str, source: str) -> Iterator[str]:
    """Yield a complaint when a file has a second idea in it."""
    lines = source.count("\n")
    if lines > FILE_LINES:
        yield f"{name}: expected at most {FILE_LINES} lines, got {lines}"


def oversized_functions(name: str, source: str) -> Iterator[str]:
    """Yield a complaint for each function too long or with too many positional arguments."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, Function):
            continue
        lines = (node.end_lineno or node.lineno) - node.lineno + 1
        if lines > FUNCTION_LINES:
            yield f"{name}:{node.lineno} {node.name}: expected {FUNCTION_LINES} lines, got {lines}"
        names = [arg.arg for arg in (*node.args.posonlyargs, *node.args.args)]
        count = len(names) - (names[:1] in (["self"], ["cls"]))
        if count > POSITIONAL:
            yield (
                f"{name}:{node.lineno} {node.name}: expected {POSITIONAL} positional arguments, "
                f"got {count}"
            )


def imports(module: str, source: str, *, at_top: bool = False) -> set[str]:
    """Return the full names a module imports; `at_top` leaves out those inside functions."""
    tree = ast.parse(source)
    nodes = _outside_functions(tree) if at_top else ast.walk(tree)
    found: set[str] = set()
    for node in nodes:
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                parent = module.split(".")[: -node.level]
                base = ".".join([*parent, *filter(None, [node.module])])
            found.update(f"{base}.{alias.name}" for alias in node.names)
    return found


def _outside_functions(tree: ast.AST) -> Iterator[ast.AST]:
    for child in ast.iter_child_nodes(tree):
        if not isinstance(child, Function):
            yield child
            yield from _outside_functions(child)


def foreign(names: set[str], allowed: frozenset[str] = frozenset()) -> set[str]:
    """Return top names that are neither of the standard library, nor ours, nor allowed."""
    tops = {name.split(".")[0] for name in names}
    return tops - set(sys.stdlib_module_names) - {"server"} - allowed


def impure(name: str, source: str, allowed: frozenset[str] = frozenset()) -> Iterator[str]:
    """Yield each place where a core module reaches for the world outside."""
    for top in sorted({found.split(".")[0] for found in imports(name, source)}):
        if top in WORLD - allowed:
            yield f"{name}: the core does no I/O, but imports {top}"
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        call = ast.unparse(node.func)
        if call in IMPURE_CALLS:
            yield f"{name}:{node.lineno}: the core has no {call}()"
        if call in {"Random", "random.Random"} and not node.args:
            yield f"{name}:{node.lineno}: a random generator needs its seed"


def place(name: str, under: str, order: Sequence[str]) -> int | None:
    """Return where a module stands in an order of first parts below a package, if it has one."""
    if not name.startswith(f"{under}."):
        return None
    first = name.removeprefix(f"{under}.").split(".")[0]
    return order.index(first) if first in order else None


def backward(module: str, source: str, under: str, order: Sequence[str]) -> Iterator[str]:
    """Yield each import of something that comes later in the order than the module itself."""
    own = place(module, under, order)
    if own is None:
        yield f"{module}: has no place in the order of the evening"
        return
    for name in sorted(imports(module, source)):
        other = place(name, under, order)
        if other is not None and other > own:
            yield f"{module}: comes before {order[other]}, but imports {name}"


def ring(name: str, rings: Mapping[str, frozenset[str]]) -> str | None:
    """Return the ring of a module or an imported name: its first part below the top package."""
    own = ".".join(name.split(".")[:2])
    return own if own in rings else None


def crossings(module: str, source: str, rings: Mapping[str, frozenset[str]]) -> Iterator[str]:
    """Yield each import that points from one ring to another it may not know."""
    own = ring(module, rings)
    if own is None:
        yield f"{module}: belongs to no ring"
        return
    top = module.split(".", maxsplit=1)[0]
    for name in sorted(imports(module, source)):
        if name.split(".")[0] != top:
            continue
        other = ring(name, rings) or top  # what is in no ring below is the top package's own
        if other != own and other not in rings[own]:
            yield f"{module}: {own} may not know {other}, but imports {name}"


def cycle(graph: Mapping[str, set[str]]) -> list[str]:
    """Return one circle of imports, or nothing."""
    done: set[str] = set()

    def walk(module: str, path: list[str]) -> list[str]:
        if module in path:
            return [*path[path.index(module) :], module]
        if module in done:
            return []
        for other in sorted(graph.get(module, ())):
            if found := walk(other, [*path, module]):
                return found
        done.add(module)
        return []

    for module in sorted(graph):
        if found := walk(module, []):
            return found
    return []


# Words of a private dialect → what the field says instead.
PRIVATE_WORDS: Final = {
    r"\btells? of\b|\btold of\b": "name the thing: describes, reports, announces",
    r"\bputs? aside\b": "archive, archived",
    r"\btaken in\b": "imported, accepted",
    r"\bno word of\b": "say who did not answer",
    r"\binner life\b": "internals",
    r"\bmother of every\b": "base class of",
    r"\bas one hand\b|\bhands? of names\b": "as one object",
    r"\bcome in by\b": "sign in with",
}


def private_words(name: str, text: str) -> Iterator[str]:
    """Yield each place where a text uses a word that only this project would understand."""
    for number, line in enumerate(text.splitlines(), start=1):
        for pattern, instead in PRIVATE_WORDS.items():
            if re.search(pattern, line, re.IGNORECASE):
                yield f"{name}:{number}: {line.strip()[:60]}: say {instead}"
