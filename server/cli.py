"""The commands of `python3 server`, or of `rowcall`: a table, and one dispatcher.

It loads only the module of the command that is run.
"""

from __future__ import annotations

import argparse
import difflib
import importlib
import os
import sys
from collections.abc import Sequence
from typing import Final

from server.places import PROGRAM
from server.trouble import BadInput
from server.version import VERSION

# name → (module, help); in the order in which a person meets them.
COMMANDS: Final[dict[str, tuple[str, str]]] = {
    "serve": ("server.commands.serve", "serve the app (the default, with a demo if all is empty)"),
    "demo": ("server.commands.demo", "fill an empty database with the demo shop and show"),
    "plan": ("server.commands.plan", "plan a show file without a database"),
    "judge": ("server.commands.judge", "check any plan against a show"),
    "prove": ("server.commands.prove", "check the certificate of a plan without a solver"),
    "fit": ("server.commands.fit", "how many of each case stand across each vehicle"),
    "advise": (
        "server.commands.advise",
        "what to own and what to hire, from a fleet and its nights",
    ),
    "checks": (
        "server.commands.checks",
        "one calculation: lift, push, ramp, straps, axles, hours, licence, goods",
    ),
    "labels": ("server.commands.labels", "print labels"),
    "read": ("server.commands.read", "every label in each photo"),
    "import": ("server.commands.import_", "import a fleet from a file"),
    "export": ("server.commands.export", "write all data as files into a folder"),
    "backup": ("server.commands.backup", "save the database into one file"),
    "restore": ("server.commands.restore", "bring a saved database back"),
    "schema": ("server.commands.schema", "print the JSON Schema of a show, plan or advise file"),
    "where": ("server.commands.where", "where data, settings and program lie"),
    "verify": ("server.commands.verify", "is a record of a night unchanged?"),
}

DONE: Final = 0
BAD: Final = 2
INTERRUPTED: Final = 130  # as a shell counts a program ended by SIGINT
PIPE_CLOSED: Final = 141  # and by SIGPIPE


def main(words: Sequence[str]) -> int:
    """Run one command; return its exit status."""
    try:
        status = answer(words)
        sys.stdout.flush()  # here, so that a closed pipe is met inside this try
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The reader has gone (`... | head`); Python's own flush at exit must not complain.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return PIPE_CLOSED
    except BadInput as trouble:
        return complain(str(trouble))
    except OSError as trouble:
        if trouble.filename is None:
            raise
        return complain(f"{trouble.filename}: expected a usable path, got {trouble.strerror}")
    return status


def answer(words: Sequence[str]) -> int:
    """Find out which command is meant and run it; options alone mean serve."""
    if words and words[0] in {"-h", "--help", "help"}:
        print(overview())
        return DONE
    if words == ["--version"]:
        print(f"Rowcall {VERSION}")
        return DONE
    named = bool(words) and not words[0].startswith("-")
    name, rest = (words[0], words[1:]) if named else ("serve", words)
    if name not in COMMANDS:
        return complain(f"{name}: expected a command{nearest(name)}; see {PROGRAM} --help")
    return run(name, rest, first_run=not named)


def run(name: str, words: Sequence[str], *, first_run: bool) -> int:
    """Load a command's module, read its arguments and run it."""
    module_name, summary = COMMANDS[name]
    module = importlib.import_module(module_name)
    parser = argparse.ArgumentParser(prog=f"{PROGRAM} {name}", description=f"{summary}.")
    module.add(parser)
    parser.set_defaults(first_run=first_run)
    try:
        args = parser.parse_args(words)
    except SystemExit as end:  # argparse has spoken: 0 after --help, 2 after bad usage
        return end.code if isinstance(end.code, int) else BAD
    status: int = module.run(args)
    return status


def overview() -> str:
    """Return the table of commands."""
    lines = [f"  {name:8} {summary}" for name, (_, summary) in COMMANDS.items()]
    return "\n".join(
        [
            f"usage: {PROGRAM} [COMMAND] [--help] ...",
            "",
            "Road cases into straight rows, and every one of them back.",
            "",
            *lines,
            "",
            "Exit status: 0 done, 1 the answer is no, 2 bad usage or bad input.",
        ]
    )


def nearest(name: str) -> str:
    """Return a hint at the command that was probably meant, or nothing."""
    close = difflib.get_close_matches(name, COMMANDS, n=1)
    return f" (did you mean {close[0]}?)" if close else ""


def complain(text: str) -> int:
    """Say on one line what is wrong with what was asked; return the status for that."""
    print(" ".join(text.split()), file=sys.stderr)
    return BAD


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
