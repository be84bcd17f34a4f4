"""What the requirements of OWASP ASVS ask of the source as a whole, read from its syntax trees."""

from __future__ import annotations

import ast
import functools
import re
import subprocess
from pathlib import Path
from typing import Final

from server.core.shop.case_code import Refused
from server.core.shop.numbering import OwnNumbering

ROOT: Final = Path(__file__).resolve().parents[1]


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
    """Return the names of all modules that the server imports."""
    return set().union(*map(imports_of, trees().values()))


def imports_of(tree: ast.Module) -> set[str]:
    """Return the names of the modules that a file imports."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found |= {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
    return found


def test_the_server_asks_no_other_server() -> None:
    asking = {"urllib.request", "http.client", "requests", "httpx", "aiohttp", "smtplib", "ftplib"}
    # Web hooks alone go out: to public addresses unless the owner allows more (test_hooks).
    out = {file for file, tree in trees().items() if imports_of(tree) & asking}
    assert out == {"server/posting.py"}
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
        assert re.fullmatch(r"[a-z-]*(\{(show|name)\})?\.(pdf|csv|json|ics|crt|zip)", name), name


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
    assert [file for file in kept.stdout.split() if file != "tests/test_asvs_source.py"] == []
