"""Backups under a passphrase, made each day, restored on trial, kept by a rule."""

from __future__ import annotations

import io
import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from server.commands import rehearsal, restore
from server.commands.restore import read_lines
from server.commands.sealed import FRAME, Sealing, Unsealing, is_sealed, read_passphrase
from server.trouble import BadInput
from tests.support.app import Bench

CHEAP = {"n": 16, "r": 8, "p": 1}  # a test seals often; what a server takes is COST
WORDS = "correct horse battery staple"


def sealed(data: bytes) -> bytes:
    raw = io.BytesIO()
    with Sealing(raw, WORDS, CHEAP) as out:
        out.write(data)
    return raw.getvalue()


def opened(data: bytes, words: str = WORDS) -> bytes:
    return io.BufferedReader(Unsealing(io.BytesIO(data), words, "file")).read()


@pytest.mark.parametrize("size", [0, 1, FRAME - 1, FRAME, FRAME + 1, 3 * FRAME])
def test_what_is_sealed_comes_back(size: int) -> None:
    data = bytes(range(256)) * (size // 256 + 1)
    assert opened(sealed(data[:size])) == data[:size]


def test_no_other_passphrase_and_no_changed_file_opens() -> None:
    whole = sealed(b"x" * (FRAME + 100))
    head = whole.index(b"\n") + 1
    first = whole[head : head + FRAME + 16]
    for wrong in (
        whole[:-1],  # cut short
        whole[: head + FRAME + 16],  # its last frame is missing
        whole[:head] + whole[head + FRAME + 16 :],  # its first is
        whole[:head] + first + first + whole[head + FRAME + 16 :],  # one twice
        whole[: head + 5] + b"!" + whole[head + 6 :],
        whole.replace(b'"p":1', b'"p":2', 1),
        b"{}\n" + whole[head:],
        whole.replace(b'"n":16', b'"n":1152921504606846976', 1),
    ):
        with pytest.raises(BadInput):
            opened(wrong)
    with pytest.raises(BadInput, match="passphrase"):
        opened(whole, "another passphrase")


def test_the_key_is_scrypt_as_the_rfc_has_it() -> None:
    """RFC 7914, 12, second test vector: what we call is what it describes."""
    made = Scrypt(salt=b"NaCl", length=64, n=1024, r=8, p=16).derive(b"password")
    assert made.hex().startswith("fdbabe1c9d3472007856e7190d01e9fe")


def test_a_short_passphrase_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "words"
    file.write_text("short\n", encoding="utf-8")
    with pytest.raises(BadInput, match="at least 12"):
        read_passphrase(file)
    file.write_text(f"{WORDS}\n", encoding="utf-8")
    assert read_passphrase(file) == WORDS


def test_a_day_makes_one_tries_it_and_the_office_says_when(quick: Bench, tmp_path: Path) -> None:
    owner = quick.owner()
    assert owner.read("/api/backup") == {"last": None, "good": None}
    folder = tmp_path / "backups"
    assert rehearsal.daily(quick.app, folder, WORDS, CHEAP) == 0
    made = owner.read("/api/backup")
    assert made["good"] == made["last"]
    file = folder / made["good"]["file"]
    assert is_sealed(file)
    assert file.stat().st_mode & 0o077 == 0
    assert b"Olive" not in file.read_bytes()
    assert [one.name for one in folder.iterdir()] == [file.name]  # the scratch database is gone
    assert sum("row" in line for line in read_lines(file, WORDS)) == made["good"]["rows"]
    with pytest.raises(BadInput, match="passphrase-file"):
        list(read_lines(file))


def test_a_backup_that_comes_back_otherwise_is_no_good_one(
    quick: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    owner = quick.owner()
    assert rehearsal.daily(quick.app, tmp_path, None) == 0
    good = owner.read("/api/backup")["good"]
    quick.clock.pass_ms(24 * 3_600_000)
    lines = restore.read_lines
    calls: list[int] = []

    def other(file: Path, words: str | None = None) -> Any:
        calls.append(1)
        for line in lines(file, words):
            if len(calls) > 1 and line.get("table") == "vehicle":
                yield {**line, "row": {**line["row"], "mark": 99}}
            else:
                yield line

    monkeypatch.setattr(rehearsal, "read_lines", other)
    assert rehearsal.daily(quick.app, tmp_path, None) == 1
    now = quick.owner("Mia").read("/api/backup")  # a day later nobody is signed in any more
    assert now["good"] == good
    assert "vehicle" in now["last"]["trouble"]
    assert len(list(tmp_path.glob("*.backup"))) == 2  # nothing is deleted after a bad one


def test_seven_days_five_weeks_and_twelve_months_are_kept(tmp_path: Path) -> None:
    today = date(2027, 6, 16)
    there: set[Path] = set()
    for back in range(500, -1, -1):
        day = today - timedelta(days=back)
        there.add(tmp_path / f"rowcall-{day}.backup")
        there -= set(rehearsal.to_delete(day, there | {tmp_path / "of-somebody-else.txt"}))
    days = sorted(date.fromisoformat(one.name[8:18]) for one in there)
    assert days[-7:] == [today - timedelta(days=back) for back in range(6, -1, -1)]
    assert len({day.isocalendar()[:2] for day in days if day > today - timedelta(days=35)}) == 5
    months = {(day.year, day.month) for day in days}
    assert len(months) == 12
    assert len(days) <= 7 + 5 + 12


def test_one_is_due_each_day_and_an_hour_after_a_bad_one() -> None:
    noon = 1_800_000_000_000
    hour = 3_600_000
    bad = {"last": {"at": noon, "trouble": "disk full"}}
    fine = {"last": {"at": noon, "trouble": ""}}
    assert rehearsal.due(None, noon)
    assert [rehearsal.due(bad, noon + ms) for ms in (hour // 2, 2 * hour)] == [False, True]
    assert [rehearsal.due(fine, noon + ms) for ms in (hour // 2, 24 * hour)] == [False, True]
    assert json.dumps(fine)
