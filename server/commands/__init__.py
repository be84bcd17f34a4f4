"""The sub-commands of `python3 server`, one module each, loaded only when run.

A module NAME.py has `add(parser: argparse.ArgumentParser) -> None`, which declares its arguments,
and `run(args: argparse.Namespace) -> int`, which returns 0 for done or 1 when the answer is no.
Bad input is raised as server.trouble.BadInput; server/cli.py turns it into status 2.
`args.first_run` is True only when `python3 server` was called without naming a command.
"""
