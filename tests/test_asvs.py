"""The table of OWASP ASVS 5.0.0 in tests/asvs.csv: whole, and all that it names exists.

The numbers are those of the standard's own list (github.com/OWASP/ASVS, tag v5.0.0, 5.0/docs_en,
the CSV): 70 requirements of level 1, 183 of level 2. What each asks is said in our own words.
"""

from __future__ import annotations

import ast
import functools
import re
import subprocess
from pathlib import Path
from typing import Final

import pytest

from server.core.shop.case_code import Refused
from server.core.shop.numbering import OwnNumbering
from tests import asvs

ROOT: Final = Path(__file__).resolve().parents[1]
PAGE: Final = (ROOT / "server/SECURITY.md").read_text(encoding="utf-8")

# chapter.section → numbers; "1-3" means 1, 2, 3
LEVEL_1: Final = {
    "1.2": "1-5", "1.3": "1-2", "1.5": "1",
    "2.1": "1", "2.2": "1-2", "2.3": "1",
    "3.2": "1-2", "3.3": "1", "3.4": "1-2", "3.5": "1-3",
    "4.1": "1", "4.4": "1",
    "5.2": "1-2", "5.3": "1-2",
    "6.1": "1", "6.2": "1-8", "6.3": "1-2", "6.4": "1-2",
    "7.2": "1-4", "7.4": "1-2",
    "8.1": "1", "8.2": "1-2", "8.3": "1",
    "9.1": "1-3", "9.2": "1",
    "10.4": "1-5",
    "11.3": "1-2", "11.4": "1",
    "12.1": "1", "12.2": "1-2",
    "13.4": "1",
    "14.2": "1", "14.3": "1",
    "15.1": "1", "15.2": "1", "15.3": "1",
}  # fmt: skip
LEVEL_2: Final = {
    "1.1": "1-2", "1.2": "6-9", "1.3": "3-11", "1.4": "1-3", "1.5": "2",
    "2.1": "2-3", "2.2": "3", "2.3": "2-4", "2.4": "1",
    "3.3": "2-4", "3.4": "3-6", "3.5": "4-5", "3.7": "1-2",
    "4.1": "2-3", "4.2": "1", "4.3": "1-2", "4.4": "2-4",
    "5.1": "1", "5.2": "3", "5.4": "1-3",
    "6.1": "2-3", "6.2": "9-12", "6.3": "3-4", "6.4": "3-4", "6.5": "1-5", "6.6": "1-3",
    "6.8": "1-4",
    "7.1": "1-3", "7.3": "1-2", "7.4": "3-5", "7.5": "1-2", "7.6": "1-2",
    "8.1": "2", "8.2": "3", "8.4": "1",
    "9.2": "2-4",
    "10.1": "1-2", "10.2": "1-2", "10.3": "1-4", "10.4": "6-11", "10.5": "1-5", "10.6": "1-2",
    "10.7": "1-3",
    "11.1": "1-2", "11.2": "1-3", "11.3": "3", "11.4": "2-4", "11.5": "1", "11.6": "1",
    "12.1": "2-3", "12.3": "1-4",
    "13.1": "1", "13.2": "1-5", "13.3": "1-2", "13.4": "2-5",
    "14.1": "1-2", "14.2": "2-4", "14.3": "2-3",
    "15.1": "2-3", "15.2": "2-3", "15.3": "2-7",
    "16.1": "1", "16.2": "1-5", "16.3": "1-4", "16.4": "1-3", "16.5": "1-3",
    "17.1": "1", "17.2": "1-4", "17.3": "1-2",
}  # fmt: skip
STATES: Final = {"met", "not met", "does not apply"}


def numbers(level: dict[str, str]) -> set[str]:
    """Return every number of a level."""
    found = set()
    for section, span in level.items():
        first, _, last = span.partition("-")
        found |= {f"{section}.{n}" for n in range(int(first), int(last or first) + 1)}
    return found


def rows() -> dict[str, list[asvs.Requirement]]:
    """Return the lines of the table by their number."""
    found: dict[str, list[asvs.Requirement]] = {}
    for line in asvs.table():
        found.setdefault(line.number, []).append(line)
    return found


ROWS: Final = rows()


def test_the_standard_has_70_requirements_of_level_1_and_183_of_level_2() -> None:
    assert (len(numbers(LEVEL_1)), len(numbers(LEVEL_2))) == (70, 183)
    assert not numbers(LEVEL_1) & numbers(LEVEL_2)


def test_every_requirement_stands_in_the_table_once_with_its_level() -> None:
    assert {number for number, lines in ROWS.items() if len(lines) > 1} == set()
    for level, spans in ((1, LEVEL_1), (2, LEVEL_2)):
        listed = {number for number, (line,) in ROWS.items() if line.level == level}
        assert listed == numbers(spans)


@pytest.mark.parametrize(
    "number", sorted(ROWS, key=lambda number: [*map(int, str(number).split("."))])
)
def test_what_is_met_names_what_shows_it_and_what_is_not_says_why(number: str) -> None:
    (line,) = ROWS[number]
    state, shown = line.state, line.evidence
    assert state in STATES
    assert len(line.asks) > 4 or state == "does not apply"
    named = re.findall(r"`((?:server|pwa|tests|fixtures)/[^`]+)`", shown)
    if state == "met":
        assert named or "paragraph" in shown, "expected a test, a file or a paragraph of the page"
    else:
        assert len(shown) > 10, "expected the reason"
    for one in named:
        check(one)
    for title in re.findall(r"paragraph “([^”]+)”", shown):
        assert f"**{title}.**" in PAGE, title


def check(name: str) -> None:
    """Make sure that a file exists, and the test or symbol in it."""
    file, _, symbol = name.partition("::")
    path = ROOT / file
    assert path.exists(), name
    if symbol:
        text = path.read_text(encoding="utf-8")
        word = re.escape(symbol)
        kinds = (
            rf"(?m)^\s*(def|class) {word}\b",
            rf"(?m)^(export )?(async )?(const|function) {word}\b",
            rf"(?m)^\s*{word}\b",
            rf'(?m)^\s*"{word}": ',
        )
        assert any(re.search(kind, text) for kind in kinds), name


def test_a_row_that_names_what_is_not_there_would_be_found() -> None:
    for wrong in ("server/api/nothing.py", "tests/test_asvs.py::nobody_wrote"):
        with pytest.raises(AssertionError):
            check(wrong)


@functools.cache
def trees() -> dict[str, ast.Module]:
    """Return every module of the server, parsed; migrations and set-up are no part of serving."""
    files = (ROOT / "server").rglob("*.py")
    apart = ("migrations", "bootstrap", "instance")
    return {
        str(file.relative_to(ROOT)): ast.parse(file.read_text(encoding="utf-8"))
        for file in files
        if not set(apart) & set(file.parts)
    }


def calls(name: str) -> list[tuple[str, ast.Call]]:
    """Return every call of a function or method of this name in the server."""
    return all_calls().get(name, [])


@functools.cache
def all_calls() -> dict[str, list[tuple[str, ast.Call]]]:
    """Return every call in the server, by the last name of what is called."""
    found: dict[str, list[tuple[str, ast.Call]]] = {}
    for file, tree in trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                called = ast.unparse(node.func).rsplit(".", 1)[-1]
                found.setdefault(called, []).append((file, node))
    return found


@functools.cache
def sources() -> dict[str, str]:
    """Return every module of the server as its tree reads: without comments."""
    return {file: ast.unparse(tree) for file, tree in trees().items()}


@functools.cache
def client_sources() -> str:
    """Return all that the client is made of."""
    files = [*(ROOT / "pwa/src").rglob("*.ts"), *(ROOT / "pwa/src").rglob("*.tsx")]
    return "\n".join(file.read_text(encoding="utf-8") for file in files)


def test_no_statement_is_glued_together() -> None:
    fixed = {"sequence", "highest"}  # two constants beside the statement in store/backup.py
    glued = [
        f"{file}: {ast.unparse(node)}"
        for name in ("text", "execute", "exec_driver_sql")
        for file, node in calls(name)
        for part in ast.walk(node)
        if file.startswith("server/store/")
        and isinstance(part, ast.FormattedValue)
        and isinstance(part.value, ast.Name)
        and not part.value.id.isupper()
        and part.value.id not in fixed
    ]
    assert not glued
    assert calls("text") and calls("execute")


def test_no_shell_and_nothing_that_runs_text() -> None:
    built_in = {
        node.func.id
        for tree in trees().values()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not built_in & {"eval", "exec", "compile", "__import__"}
    assert not [one for one in calls("run") + calls("Popen")
                if any(word.arg == "shell" for word in one[1].keywords)]  # fmt: skip
    assert not imported() & {"pickle", "marshal", "shelve", "dill", "yaml"}
    assert not calls("system")
    for word in ("eval(", "new Function(", ".innerHTML =", "document.write", "javascript:"):
        assert word not in client_sources(), word
    assert client_sources().count("dangerouslySetInnerHTML") == 1  # a QR that our server drew


def imported() -> set[str]:
    """Return the first names of all modules that the server imports."""
    found = set()
    for tree in trees().values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                found |= {one.name for one in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found |= {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
    return found


def test_the_server_asks_no_other_server() -> None:
    asking = {"urllib.request", "http.client", "requests", "httpx", "aiohttp", "smtplib", "ftplib"}
    assert not imported() & asking
    sockets = {file for file, text in sources().items() if "socket.socket(" in text}
    # To see whether a port is free, and which way leads out; neither sends a byte.
    assert sockets <= {
        "server/commands/lan.py",
        "server/commands/serve.py",
        "server/listening.py",
    }


def test_no_hash_but_sha_256_is_used() -> None:
    used = {
        node.attr
        for tree in trees().values()
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id in {"hashlib", "hashes"}
    }
    assert used == {"sha256", "SHA256"}


def test_nobody_is_sent_to_another_site() -> None:
    assert not calls("redirect")
    gone = re.findall(r"location\.(?:assign|replace)\(([^)]*)\)|location\.href = (.*);",
                      client_sources())  # fmt: skip
    assert gone and all(re.match(r"[`\"]/", a or b) for a, b in gone), gone


def test_an_owners_pattern_is_no_regular_expression() -> None:
    numbering = OwnNumbering(r"AB.*(#+)+$")
    assert numbering.canonical("AB.7(1+)+$") == "AB.7(1+)+$"
    assert isinstance(numbering.canonical("ABXX11"), Refused)


def test_secrets_of_links_stand_where_no_server_sees_them() -> None:
    made = "\n".join(sources().values())
    assert "/join#" in made and "/office#setup=" in made
    assert not re.search(r"[?&](?:code|token|setup|pin|key|password)=", made + client_sources())


def test_names_of_downloads_are_ours() -> None:
    names = re.findall(r"filename=\"?([^\"']*)",
                       "\n".join(sources().values()))  # fmt: skip
    assert len(names) >= 5
    for name in names:
        assert re.fullmatch(r"[a-z-]*(\{(show|name)\})?\.(pdf|csv|json|ics|crt)", name), name


def test_the_totals_that_are_printed_are_those_of_the_table() -> None:
    printed = "\n".join(asvs.totals())
    for level, size in ((1, 70), (2, 183)):
        met, unmet, other = (
            sum(line.state == state for (line,) in ROWS.values() if line.level == level)
            for state in ("met", "not met", "does not apply")
        )
        assert met + unmet + other == size
        assert f"level {level}: {size} requirements, {met} met, {unmet} not met, {other}" in printed


def test_no_secret_stands_in_the_source() -> None:
    said = re.compile(r"(?i)(secret|password|passwd|api_?key|private_?key|token)$")
    found = [
        f"{file}: {name}"
        for file, tree in trees().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign | ast.AnnAssign)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
        and len(node.value.value) > 3
        for name in [ast.unparse(node.targets[0] if isinstance(node, ast.Assign) else node.target)]
        if said.search(name)
    ]
    # The hash that no password has: it makes an unknown name as slow as a known one.
    assert found == ["server/service/secrets.py: NO_PASSWORD"]
    kept = subprocess.run(
        ["git", "grep", "-lE", "BEGIN [A-Z ]*PRIVATE KEY"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert [file for file in kept.stdout.split() if file != "tests/test_asvs.py"] == []
