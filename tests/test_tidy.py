"""The code keeps its own order: small, the core pure, arrows inward, nothing done at import."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from importlib.metadata import packages_distributions
from pathlib import Path
from typing import Final

import pytest

from tests.support import tidy
from tests.support.arrows import EVENING, RINGS
from tests.support.checkout import files

ROOT: Final = Path(__file__).resolve().parents[1]

# The planner's numbers come from outside; its clock is read only to stop in time.
SOLVERS: Final = frozenset({"highspy", "numpy"})

TOP_LEVEL: Final = frozenset(
    {"README.md", "DEVELOPERS.md", "pyproject.toml", "server", "pwa", "tests", "fixtures"}
)

# Written in halves, so that this file does not hold what it forbids.
FORBIDDEN: Final = re.compile(
    "|".join(
        "".join(halves)
        for halves in [
            ("trans", "cript"),
            ("seed ", "document"),
            ("the ", "video\\b"),
            ("/wo", "rk/"),
            ("/fa", "rm/"),
            ("/tmp/", "bash_jobs"),
            ("pypi", r"\.org"),
            ("registry", r"\.npmjs"),
            ("deb", r"\.debian"),
        ]
    ),
    re.IGNORECASE,
)
UNFINISHED: Final = re.compile(
    "|".join(
        "".join(halves)
        for halves in [
            (r"mark\.sk", "ip"),
            (r"mark\.xf", "ail"),
            ("NotImplemented", "Error"),
            ("@ts-ig", "nore"),
            ("@ts-no", "check"),
            (r"\bTO", r"DO\b"),
            (r"\bFIX", r"ME\b"),
        ]
    )
)


def sources(*folders: str, endings: tuple[str, ...] = (".py",)) -> dict[str, str]:
    """Return path → text of the files in some folders."""
    return {
        str(file.relative_to(ROOT)): file.read_text(encoding="utf-8")
        for file in files()
        if file.suffix in endings and str(file.relative_to(ROOT)).startswith(folders)
    }


def modules(folder: str = "server") -> dict[str, str]:
    """Return module name → text, without migrations, which their tool runs."""
    return {
        path.removesuffix(".py").removesuffix("/__init__").replace("/", "."): text
        for path, text in sources(f"{folder}/").items()
        if "/migrations/" not in path
    }


def complaints(found: object) -> str:
    return "\n".join(map(str, found)) if isinstance(found, list) else str(found)


def test_no_file_has_room_for_a_second_idea() -> None:
    written = sources("server/", "tests/", "pwa/", endings=(".py", ".ts", ".tsx", ".css"))
    found = [line for path, text in written.items() for line in tidy.too_long(path, text)]
    assert not found, complaints(found)


def test_no_function_is_long_or_takes_more_than_five_positional_arguments() -> None:
    # One step of a migration is one long list of columns: those are left out.
    written = {
        path: text
        for path, text in sources("server/", "tests/").items()
        if "/migrations/" not in path
    }
    found = [
        line for path, text in written.items() for line in tidy.oversized_functions(path, text)
    ]
    assert not found, complaints(found)


def test_the_core_needs_only_the_standard_library_and_the_planner_its_solver() -> None:
    found = {
        name: extra
        for name, text in modules("server/core").items()
        if (extra := tidy.foreign(tidy.imports(name, text), solvers(name)))
    }
    assert not found


def solvers(name: str) -> frozenset[str]:
    return SOLVERS if name.startswith("server.core.planner") else frozenset()


def test_the_core_has_no_clock_no_chance_and_no_disk() -> None:
    found = [
        line
        for name, text in modules("server/core").items()
        for line in tidy.impure(
            name,
            text,
            frozenset({"time"}) if name.startswith("server.core.planner") else frozenset(),
        )
    ]
    assert not found, complaints(found)


def test_the_core_imports_only_what_comes_earlier_in_the_evening() -> None:
    found = [
        line
        for name, text in modules("server/core").items()
        if name != "server.core"
        for line in tidy.backward(name, text, "server.core", EVENING)
    ]
    assert not found, complaints(found)


def test_arrows_between_the_rings_point_inward() -> None:
    found = [line for name, text in modules().items() for line in tidy.crossings(name, text, RINGS)]
    assert not found, complaints(found)


def test_no_imports_run_in_a_circle() -> None:
    known = modules()
    graph = {
        name: {_module(other, known) for other in tidy.imports(name, text, at_top=True)}
        & (set(known) - {name})
        for name, text in known.items()
    }
    assert tidy.cycle(graph) == []


def _module(name: str, known: dict[str, str]) -> str:
    return name if name in known else name.rpartition(".")[0]


@pytest.mark.parametrize("folder", ["server", "tests"])
def test_every_library_that_is_imported_is_pinned_by_name(folder: str) -> None:
    pinned = {pinned_name(line) for line in requirements("server") + requirements(folder)}
    makers = packages_distributions()
    # _typeshed exists only for the type checker.
    ours = frozenset({"tests", "_typeshed"})
    tops = {
        top
        for name, text in modules(folder).items()
        for top in tidy.foreign(tidy.imports(name, text), ours)
    }
    unpinned = {top for top in tops if not pinned.intersection(map(plain, makers.get(top, [top])))}
    assert not unpinned


def requirements(folder: str) -> list[str]:
    lines = (ROOT / folder / "requirements.in").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if "==" in line]


def pinned_name(line: str) -> str:
    return plain(re.split(r"[=\[]", line)[0])


def plain(name: str) -> str:
    return name.strip().lower().replace("_", "-")


def test_set_up_and_dispatcher_load_with_the_standard_library_alone() -> None:
    names = [name for name in modules() if name.startswith(("server.bootstrap", "server.cli"))]
    # -S leaves out installed packages: what a fresh machine has.
    python("-S", code="".join(f"import {name}\n" for name in names))


def test_every_module_loads_with_no_settings_present() -> None:
    names = [name for name in modules() if not name.endswith("__main__")]
    python(code="".join(f"import {name}\n" for name in names))


def test_planning_loads_no_web_framework_and_no_database() -> None:
    python(
        code="import sys, server.commands.plan\n"
        "heavy = {'flask', 'sqlalchemy', 'cv2'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )


def python(*options: str, code: str) -> None:
    """Run code in a Python that sees the checkout and an empty environment."""
    path = f"import sys; sys.path.insert(0, {str(ROOT)!r})\n"
    done = subprocess.run(
        [sys.executable, "-E", "-P", "-W", "error", *options, "-c", path + code],
        capture_output=True,
        text=True,
        check=False,
        env={"PATH": "/usr/bin:/bin"},
        cwd="/",
    )
    assert done.returncode == 0, done.stderr


def test_no_file_says_what_must_not_be_said() -> None:
    found = [
        f"{file.relative_to(ROOT)}: {match[0]}"
        for file in files()
        if (match := FORBIDDEN.search(file.read_bytes().decode("utf-8", errors="ignore")))
    ]
    assert not found, complaints(found)


def test_prose_uses_the_words_of_the_field() -> None:
    endings = (".py", ".ts", ".tsx", ".md", ".json")
    written = sources("server/", "tests/", "pwa/src/", "README", "DEVELOPERS", endings=endings)
    found = [
        line
        for path, text in written.items()
        if path != "tests/support/tidy.py"  # it holds what it looks for
        for line in tidy.private_words(path, text)
    ]
    assert not found, complaints(found)


def test_nothing_is_marked_as_unfinished() -> None:
    written = sources("server/", "tests/", "pwa/src/", endings=(".py", ".ts", ".tsx"))
    found = [f"{path}: {match[0]}" for path, text in written.items()
             if (match := UNFINISHED.search(text))]  # fmt: skip
    assert not found, complaints(found)


def test_the_top_level_holds_only_what_was_agreed() -> None:
    tops = {file.relative_to(ROOT).parts[0] for file in files()}
    assert {top for top in tops if not top.startswith(".")} <= TOP_LEVEL


def test_the_dispatcher_table_and_the_command_modules_agree() -> None:
    tree = ast.parse((ROOT / "server/cli.py").read_text(encoding="utf-8"))
    named = {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and node.value.startswith("server.commands.")
    }
    there = {
        name
        for name, text in modules("server/commands").items()
        if name != "server.commands" and "def run(" in text
    }
    assert named == there


def test_migrations_are_one_line_without_branches() -> None:
    """Two people who add a migration at a time would else each take the same number."""
    steps: dict[str, str] = {}
    for name, text in sources("server/store/migrations/versions/", endings=(".py",)).items():
        ids = dict(re.findall(r'^(revision|down_revision) = (?:"(\w+)"|None)', text, re.MULTILINE))
        if "revision" in ids:
            assert ids["revision"] not in steps, name
            steps[ids["revision"]] = ids["down_revision"]
    assert sorted(steps) == sorted({*steps.values(), max(steps)} - {""})
