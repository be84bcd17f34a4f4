"""The files of fixtures/deploy: commands that exist, options that are taken, no root at run time.

No container engine runs here: what the container file does to a machine (useradd, apt-get) is
read, what it starts is parsed by the command's own parser.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess

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


def test_the_update_script_is_sound_shell_and_backs_up_first() -> None:
    script = DEPLOY / "update.sh"
    subprocess.run(["sh", "-n", str(script)], check=True)
    text = script.read_text(encoding="utf-8")
    assert text.index("backup") < text.index('pip" install') < text.index("systemctl stop")
