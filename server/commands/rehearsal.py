"""Backups that are tried: each is restored into a scratch database and compared with its file."""

from __future__ import annotations

import hashlib
import json
import logging
import os
import re
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from server.commands.backup import write
from server.commands.restore import read_lines
from server.settings import ROOT, Settings
from server.trouble import BadInput

if TYPE_CHECKING:
    from flask import Flask

SETTING: Final = "backup"
NAME: Final = re.compile(r"rowcall-(\d{4}-\d{2}-\d{2})\.backup")
DAYS, WEEKS, MONTHS = 7, 5, 12
AGAIN_MS: Final = 3_600_000  # after one that failed
OURS: Final = "generation"  # a restored database has it beside what the backup has
COMMAND: Final = (sys.executable, "-P", "-m", "server.cli", "backup")
log = logging.getLogger("rowcall.backup")


def daily(app: Flask, folder: Path, passphrase: str | None, cost: Any = None) -> int:
    """Make today's backup, try it, delete old ones; note in the office how it went."""
    from server import ports_of

    ports = ports_of(app)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    now = ports.now()
    today = datetime.fromtimestamp(now / 1000, UTC).date()
    file = folder / f"rowcall-{today}.backup"
    told: dict[str, Any] = {"at": now, "file": file.name, "rows": 0, "bytes": 0, "trouble": ""}
    try:
        told["rows"] = write(app, file, passphrase, cost)
        told["bytes"] = file.stat().st_size
        rehearse(file, passphrase)
        for old in to_delete(today, folder.iterdir()):
            old.unlink()
    except (BadInput, OSError) as error:
        told["trouble"] = str(error)[:300]
    with app.app_context():
        before = ports.settings.get(SETTING) or {}
        good = before.get("good") if told["trouble"] else told
        # The good one before: what was stored earlier than it is in two backups.
        earlier = before.get("before") if told["trouble"] else before.get("good")
        ports.settings.put(SETTING, {"last": told, "good": good, "before": earlier})
    print(f"{file}: {told['trouble'] or 'restored on trial, the same'}")
    return 1 if told["trouble"] else 0


def rehearse(file: Path, passphrase: str | None) -> None:
    """Restore a backup into a scratch database; BadInput where that is not what the file has."""
    from server import create_app, dump, let_go, load

    with tempfile.TemporaryDirectory(prefix="rowcall-rehearsal-", dir=file.parent) as scratch:
        app = create_app(Settings(data=Path(scratch), database="", planner=False))
        try:
            load(app, read_lines(file, passphrase), str(file))
            restored = sums(dump(app))
        finally:
            let_go(app)
    written = sums(read_lines(file, passphrase))
    differ = sorted(table for table in written | restored if written[table] != restored[table])
    if differ:
        raise BadInput(str(file), "the same rows when it is restored", f"others in {differ[0]}")


def sums(lines: Iterable[dict[str, Any]]) -> Counter[str]:
    """Return a sum of digests over the rows of each table: whatever their order, as many times."""
    found: Counter[str] = Counter()
    for line in lines:
        row = line.get("row")
        if row is None or (line["table"] == "office_setting" and row["name"] == OURS):
            continue
        text = json.dumps(row, sort_keys=True, ensure_ascii=False)
        found[line["table"]] += int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    return found


def to_delete(today: date, files: Iterable[Path]) -> Iterator[Path]:
    """Yield what the rule does not keep: 7 days, the latest of 5 weeks and of 12 months."""
    dated = sorted(
        ((date.fromisoformat(found[1]), file) for file in files
         if (found := NAME.fullmatch(file.name))),
        reverse=True,
    )  # fmt: skip
    weeks: set[tuple[int, int]] = set()
    months: set[tuple[int, int]] = set()
    for day, file in dated:
        week, month = day.isocalendar()[:2], (day.year, day.month)
        keeps = day > today - timedelta(days=DAYS)
        if week not in weeks and len(weeks) < WEEKS:
            weeks.add(week)
            keeps = True
        if month not in months and len(months) < MONTHS:
            months.add(month)
            keeps = True
        if not keeps:
            yield file


def due(note: dict[str, Any] | None, now: int) -> bool:
    """Return whether a backup is to be made: none today yet, or one that failed an hour ago."""
    last = (note or {}).get("last")
    if last is None:
        return True
    if last["trouble"]:
        return bool(now - last["at"] > AGAIN_MS)
    days = [datetime.fromtimestamp(at / 1000, UTC).date() for at in (last["at"], now)]
    return days[0] != days[1]


def make_if_due(app: Flask, settings: Settings) -> None:
    """Start today's backup in a process of its own, and wait for it."""
    from server import ports_of

    ports = ports_of(app)
    with app.app_context():
        note = ports.settings.get(SETTING)
        if not settings.backups or not due(note, ports.now()):
            return
        # Said before it begins: other processes of this server leave it to this one.
        begun = {"at": ports.now(), "file": "", "rows": 0, "bytes": 0, "trouble": "not finished"}
        ports.settings.put(SETTING, {**(note or {}), "last": begun})
    environment = {**os.environ, **settings.environment(), "PYTHONPATH": str(ROOT)}
    done = subprocess.run(  # noqa: S603  (our own module, no shell, a folder of the owner's)
        (*COMMAND, settings.backups, "--daily"),
        env=environment, stdin=subprocess.DEVNULL, capture_output=True, check=False, text=True,
    )  # fmt: skip
    if done.returncode:
        log.error("backup", extra={"fields": {"said": (done.stdout + done.stderr)[-400:]}})
