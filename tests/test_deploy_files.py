"""The files of fixtures/deploy: commands that exist, options that are taken, no root at run time.

No container engine runs here: what the container file does to a machine (useradd, apt-get) is
read, what it starts is parsed by the command's own parser.
"""

from __future__ import annotations

import argparse
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from server.cli import COMMANDS
from server.commands import serve
from server.places import ROOT

DEPLOY = ROOT / "fixtures" / "deploy"
CONTAINER = (DEPLOY / "Containerfile").read_text(encoding="utf-8")
COMPOSE = (DEPLOY / "compose.yaml").read_text(encoding="utf-8")
# Reference of the file format: every instruction there is (Dockerfile reference, docs.docker.com).
INSTRUCTIONS = frozenset({
    "ADD", "ARG", "CMD", "COPY", "ENTRYPOINT", "ENV", "EXPOSE", "FROM", "HEALTHCHECK", "LABEL",
    "ONBUILD", "RUN", "SHELL", "STOPSIGNAL", "USER", "VOLUME", "WORKDIR",
})  # fmt: skip


def instructions() -> list[tuple[str, str]]:
    lines = [line for line in CONTAINER.splitlines() if line and not line.startswith("#")]
    joined = re.sub(r"\s*\\\n\s*", " ", "\n".join(lines))
    return [(one.split(" ", 1)[0], one.split(" ", 1)[1]) for one in joined.splitlines()]


def test_the_container_file_uses_known_instructions_and_starts_without_root() -> None:
    found = instructions()
    assert {name for name, _ in found} <= INSTRUCTIONS
    names = [name for name, _ in found]
    assert names[0] == "FROM"
    assert names.index("USER") < names.index("ENTRYPOINT")
    (user,) = (rest for name, rest in found if name == "USER")
    assert user == "rowcall"
    assert any(name == "HEALTHCHECK" for name in names)
    assert dict(found)["VOLUME"] == "/data"


def test_what_the_container_starts_is_a_command_with_options_that_serve_takes() -> None:
    found = dict(instructions())
    assert json.loads(found["ENTRYPOINT"]) == ["rowcall"]
    command, *words = json.loads(found["CMD"])
    assert command in COMMANDS
    parser = argparse.ArgumentParser()
    serve.add(parser)
    args = parser.parse_args(words)
    assert serve.of_flags(args).settings.proxies == 1
    check = json.loads(found["HEALTHCHECK"].split("CMD ", 1)[1])
    compile(check[2], "health check", "exec")


def test_the_compose_file_keeps_data_in_a_volume_and_gives_no_rights() -> None:
    for line in ("data:/data", "read_only: true", "cap_drop: [ALL]", "rowcall:8080"):
        assert line in COMPOSE
    assert "\t" not in COMPOSE
    assert "privileged: true" not in COMPOSE


@pytest.mark.parametrize("name", ["rowcall-backup.service", "update.sh"])
def test_every_command_of_rowcall_in_scripts_exists(name: str) -> None:
    text = (DEPLOY / name).read_text(encoding="utf-8")
    used = re.findall(r"bin/rowcall\"? ([a-z]+)", text)
    assert used
    assert set(used) <= set(COMMANDS)


STUBS = {
    "python3": """mkdir -p "$3/bin"; cp "$STUBS"/pip "$STUBS"/python "$STUBS"/rowcall "$3/bin/" """,
    "pip": """cp "$3" "$(dirname "$0")/version" """,
    "python": '[ -f "$ROWCALL_DATA/up" ]',  # does the service answer?
    "sleep": "exit 0",
    "start": """own="$(cat "$ROWCALL_HOME/bin/version")"
        [ "$own" = broken ] && exit 0
        [ "$own" -gt "$(cat "$ROWCALL_DATA/rowcall.sqlite")" ] &&
            echo "$own" >"$ROWCALL_DATA/rowcall.sqlite"
        touch "$ROWCALL_DATA/up" """,
    "stop": 'rm -f "$ROWCALL_DATA/up"',
    # As the real one: a database of a newer version is refused, and only an empty one is filled.
    "rowcall": """own="$(cat "$(dirname "$0")/version")"
        case "$1" in
        --version) echo "Rowcall $own" ;;
        backup) [ "$own" = broken ] || [ "$(cat "$3/rowcall.sqlite")" -le "$own" ] || exit 2
            cp "$3/rowcall.sqlite" "$4" ;;
        restore) [ ! -e "$3/rowcall.sqlite" ] && cp "$4" "$3/rowcall.sqlite" ;;
        esac""",
}


class Machine:
    """A machine with version 1 in use, whose programs are stubs of a line or two."""

    def __init__(self, folder: Path) -> None:
        self.home, self.data, self.stubs = folder / "opt", folder / "data", folder / "stubs"
        for made in (self.home / "bin", self.data, self.stubs):
            made.mkdir(parents=True)
        for name, text in STUBS.items():
            (self.stubs / name).write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
            (self.stubs / name).chmod(0o755)
        for name in ("pip", "python", "rowcall"):
            shutil.copy(self.stubs / name, self.home / "bin" / name)
        (self.home / "bin/version").write_text("1\n", encoding="utf-8")
        (self.data / "rowcall.sqlite").write_text("1\n", encoding="utf-8")

    def run(self, word: str) -> subprocess.CompletedProcess[str]:
        """Run the script with one word, a version in place of a wheel."""
        wheel = self.stubs.parent / f"{word}.whl"
        wheel.write_text(f"{word}\n", encoding="utf-8")
        names = {"ROWCALL_HOME": self.home, "ROWCALL_DATA": self.data, "STUBS": self.stubs,
                 "ROWCALL_START": self.stubs / "start", "ROWCALL_STOP": self.stubs / "stop",
                 "PATH": f"{self.stubs}:/usr/bin:/bin"}  # fmt: skip
        return subprocess.run(
            ["sh", str(DEPLOY / "update.sh"), word if word == "--back" else str(wheel)],
            env={name: str(value) for name, value in names.items()},
            capture_output=True,
            text=True,
            check=False,
        )

    def now(self) -> tuple[str, str]:
        """Return the version in use, and that of the database."""
        files = (self.home / "bin/version", self.data / "rowcall.sqlite")
        program, database = (file.read_text(encoding="utf-8").strip() for file in files)
        return program, database


def test_an_update_is_one_command_and_so_is_the_way_back(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    done = machine.run("2")
    assert done.returncode == 0, done.stderr
    assert machine.now() == ("2", "2")
    (backup,) = machine.data.glob("before-update-*")
    assert backup.read_text(encoding="utf-8") == "1\n"
    done = machine.run("--back")
    assert done.returncode == 0, done.stderr
    assert machine.now() == ("1", "1")
    (newer,) = machine.data.glob("newer-*/rowcall.sqlite")
    assert newer.read_text(encoding="utf-8") == "2\n", "nothing that was stored is thrown away"
    again = machine.run("--back")
    assert again.returncode == 1 and "no program from before" in again.stdout
    assert machine.now() == ("1", "1")


def test_a_new_version_that_does_not_answer_makes_way_for_the_one_before(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    done = machine.run("broken")
    assert done.returncode == 1 and "going back" in done.stdout, done.stderr
    assert machine.now() == ("1", "1") and (machine.data / "up").exists()


def test_the_update_script_is_sound_shell_and_changes_over_last() -> None:
    script = DEPLOY / "update.sh"
    subprocess.run(["sh", "-n", str(script)], check=True)
    text = script.read_text(encoding="utf-8")
    update = text[text.index("python3 -m venv") :]
    assert update.index("pip") < update.index("$stop") < update.index("backup") < update.index("ln")


def test_alerts_ask_for_counters_that_exist_and_name_runbooks_that_exist() -> None:
    metrics = (ROOT / "server/api/metrics.py").read_text(encoding="utf-8")
    books = (ROOT / "server/RUNBOOKS.md").read_text(encoding="utf-8").lower()
    rules = (DEPLOY / "alerts.yaml").read_text(encoding="utf-8")
    asked = set(re.findall(r"rowcall_[a-z_]+", rules))
    assert len(asked) >= 3
    for name in asked:
        assert f'"{re.sub("_(total|bucket)$", "", name)}"' in metrics, name
    runbooks = re.findall(r'runbook: "server/RUNBOOKS.md: ([^"]+)"', rules)
    assert len(runbooks) == rules.count("- alert: ")
    assert all(f"## {one}\n" in books for one in runbooks)
