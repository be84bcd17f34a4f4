"""The dispatcher: one word, one module, three exit statuses."""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from server import cli
from server.bootstrap.environment import inside
from server.trouble import BadInput


def install(monkeypatch: pytest.MonkeyPatch, name: str, run: object) -> None:
    """Put a command of our own into the table."""
    module = ModuleType(f"command_of_the_test_{name}")

    def add(parser: argparse.ArgumentParser) -> None:
        parser.add_argument("words", nargs="*")

    module.add = add  # type: ignore[attr-defined]
    module.run = run  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, module.__name__, module)
    monkeypatch.setitem(cli.COMMANDS, name, (module.__name__, "a command of the test"))


def raising(trouble: BaseException) -> object:
    def run(_args: argparse.Namespace) -> int:
        raise trouble

    return run


@pytest.mark.parametrize("status", [0, 1])
def test_the_status_of_a_command_is_the_status_of_the_program(
    monkeypatch: pytest.MonkeyPatch, status: int
) -> None:
    install(monkeypatch, "weigh", lambda _args: status)
    assert cli.main(["weigh"]) == status


def test_bad_input_is_said_on_one_line_with_place_and_expectation(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    trouble = BadInput("show.json cases[3].width", "above zero", "-4\n")
    install(monkeypatch, "weigh", raising(trouble))
    assert cli.main(["weigh"]) == 2
    assert capsys.readouterr().err == "show.json cases[3].width: expected above zero, got -4\n"


def test_a_file_that_is_not_there_is_bad_input(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    install(monkeypatch, "weigh", lambda _args: len((tmp_path / "none.json").read_text()))
    assert cli.main(["weigh"]) == 2
    assert "none.json: expected a usable path, got No such file" in capsys.readouterr().err


def test_ctrl_c_ends_quietly(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    install(monkeypatch, "weigh", raising(KeyboardInterrupt()))
    assert cli.main(["weigh"]) == 130
    assert capsys.readouterr().err == ""


def test_an_unknown_command_is_refused_and_the_nearest_named(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.main(["jugde"]) == 2
    assert "did you mean judge?" in capsys.readouterr().err


def test_an_unknown_option_is_bad_usage(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    install(monkeypatch, "weigh", lambda _args: 0)
    assert cli.main(["weigh", "--heavy"]) == 2
    assert "--heavy" in capsys.readouterr().err


def test_without_a_command_the_app_is_served_and_knows_it_is_the_first_run(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[bool] = []

    def run(args: argparse.Namespace) -> int:
        seen.append(args.first_run)
        return 0

    install(monkeypatch, "serve", run)
    assert (cli.main([]), cli.main(["serve"])) == (0, 0)
    assert seen == [True, False]


def test_the_overview_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["--help"]) == 0
    said = capsys.readouterr().out
    assert [name for name in cli.COMMANDS if f"\n  {name} " not in said] == []


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_every_command_explains_itself(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main([name, "--help"]) == 0
    assert f"python3 server {name}" in capsys.readouterr().out


def test_a_reader_that_goes_away_causes_no_complaint() -> None:
    code = "import sys; from server import cli; cli.overview = lambda: 'x\\n' * 10**6; sys.exit("
    code += "cli.main(['--help']))"
    with subprocess.Popen(
        [sys.executable, "-P", "-c", code],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=inside(),
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.readline()
        running.stdout.close()
        assert running.stderr.read() == b""
    assert running.returncode == cli.PIPE_CLOSED


def test_trouble_keeps_its_words_across_a_process_boundary() -> None:
    import pickle

    trouble = pickle.loads(pickle.dumps(BadInput("a.csv row 3", "a number", "x")))
    assert str(trouble) == "a.csv row 3: expected a number, got x"
