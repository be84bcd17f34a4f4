"""Older backups, damaged ones, seals of records, photos and what they carry."""

from __future__ import annotations

import json
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

import server
from server.commands import rehearsal
from server.core.night import record_chain
from server.service import pictures, seal, secrets, take_events
from tests.support.app import Bench, Phone, on

CHEAP = {"n": 16, "r": 8, "p": 1}  # a test seals often
RELEASE = {"kind": "recalled", "why": "test"}


def restored(bench: Bench, folder: Path, lines: list[dict[str, Any]]) -> Bench:
    """Return a server that was restored from what the other one had at some time."""
    fresh = object.__new__(Bench)
    fresh.__dict__.update(Bench(f"sqlite:///{folder}/restored.sqlite", folder / "r").__dict__)
    with fresh.app.app_context():
        from server.store.db import db

        for table in reversed(db.metadata.sorted_tables):
            db.session.execute(table.delete())
        db.session.commit()
    server.load(fresh.app, iter(lines), "backup")
    fresh.pin = bench.pin
    return fresh


def signed(phone: Phone, fact: dict[str, Any]) -> dict[str, Any]:
    return {**fact, "sig": secrets.signature(phone.key, fact)}


def test_what_joined_after_the_backup_comes_back_with_its_facts_and_roles(
    quick: Bench, tmp_path: Path
) -> None:
    with quick.app.app_context():
        quick.ports.accounts.server_secret()
    lines = list(server.dump(quick.app))
    bo, ana = quick.phone("Bo"), quick.phone("Ana", chief=True)
    facts = [signed(bo, bo.fact(on("BL-002-C"))), signed(ana, ana.fact(RELEASE))]
    assert [one["refused"] for one in (bo.tell(facts[0]), ana.tell(facts[1]))] == [[], []]
    old = restored(quick, tmp_path, lines)
    cy = old.phone("Cy")  # carries what the others said, before they are back
    forged = {**facts[0], "id": "forged", "n": 2}
    answer = cy.tell(*facts, forged)
    assert len(answer["stored"]) == 2 and "not joined" in answer["refused"][0]["reason"]
    back = {"code": old.code, "name": "Ana", "device": ana.device, "device_key": ana.key}
    answer_back = old.client().post("/api/join", back)
    assert answer_back.get_json()["session"]["role"] == "chief"
    loader = {"code": old.code, "name": "Bo", "device": bo.device, "device_key": bo.key}
    assert old.client().post("/api/join", loader).get_json()["session"]["role"] == "loader"
    old.close()


def test_a_loaders_key_makes_no_chief(quick: Bench) -> None:
    bo, cy = quick.phone("Bo"), quick.phone("Cy")
    fact = bo.fact(RELEASE, by={"id": bo.device, "name": "Bo", "role": "chief"})
    assert "in as loader" in cy.tell(signed(bo, fact))["refused"][0]["reason"]
    assert "in as loader" in bo.tell(signed(bo, fact))["refused"][0]["reason"]


DAMAGED = {
    "a row that is none": lambda good: [good[0], {"table": "show", "row": 7}, *good[1:]],
    "no row at all": lambda good: [good[0], {"table": "show"}, *good[1:]],
    "a column of another": lambda good: [good[0], {"table": "show", "row": {"x": 1}}, *good[1:]],
    "broken bytes": lambda good: [
        good[0], {"table": "photo", "row": {"content": {"base64": "!"}}}, *good[1:],
    ],
    "a row twice": lambda good: [good[0], good[1], good[1], *good[1:]],
}  # fmt: skip


@pytest.mark.parametrize("what", DAMAGED)
def test_a_damaged_backup_is_said_in_one_sentence(
    quick: Bench, tmp_path: Path, what: str, capsys: pytest.CaptureFixture[str]
) -> None:
    import gzip

    from server.cli import main

    file = tmp_path / "backup.gz"
    lines = DAMAGED[what](list(server.dump(quick.app)))
    with gzip.open(file, "wt", encoding="utf-8") as out:
        out.writelines(json.dumps(line) + "\n" for line in lines)
    status = main(["restore", str(file), "--data", str(tmp_path / "data")])
    said = capsys.readouterr().err.strip()
    assert status == 2 and str(file) in said and len(said.splitlines()) == 1


def record_of(bench: Bench) -> dict[str, Any]:
    bo, ana = bench.phone("Bo"), bench.phone("Ana", chief=True)
    bo.tell(bo.fact(on("BL-002-C")), bo.fact(on("BL-003-A")))
    found: dict[str, Any] = ana.read("/api/shows/demo/record")
    return found


def recomputed(record: dict[str, Any]) -> dict[str, Any]:
    changed = json.loads(json.dumps(record))
    changed["events"][0]["body"]["code"] = "BL-007-2"
    arrivals = {event["id"]: at for event, at in zip(
        changed["events"], changed["arrivals"], strict=True)}  # fmt: skip
    return {**record_chain.make_record("demo", changed["events"], arrivals), "seal": record["seal"]}


def test_a_record_whose_chain_was_worked_out_anew_does_not_verify(
    quick: Bench, tmp_path: Path
) -> None:
    record = record_of(quick)
    forged = recomputed(record)
    assert record_chain.verify(forged) == ()  # the chain alone shows nothing
    assert seal.broken(record) == "" and "does not hold" in seal.broken(forged)
    without = {key: value for key, value in forged.items() if key != "seal"}
    assert "no seal" in seal.broken(without)
    key = seal.fingerprint_of(record["seal"]["key"])
    assert seal.broken(record, key) == "" and "another key" in seal.broken(record, "00" * 16)
    from server.cli import main

    ends = []
    for name, one in (("good", record), ("forged", forged), ("bare", without)):
        file = tmp_path / f"{name}.json"
        file.write_text(json.dumps(one), encoding="utf-8")
        ends.append(main(["verify", str(file), "--key", key]))
    assert ends == [0, 1, 1]


def photo_with_position() -> bytes:
    exif = Image.Exif()
    exif[0x0112] = 6  # lies on its side
    exif.get_ifd(0x8825)[1] = "N"
    out = BytesIO()
    Image.new("RGB", (4000, 3000), (9, 9, 9)).save(out, "JPEG", exif=exif, comment=b"secret place")
    return out.getvalue()


def test_a_photo_is_kept_upright_small_and_without_what_it_carried(quick: Bench) -> None:
    bo = quick.phone("Bo")
    sent = bo.send("/api/shows/demo/photos?id=photo-12345", photo_with_position(), "image/jpeg")
    assert sent.status_code == 200, sent.text
    back = bo.get("/api/shows/demo/photos/photo-12345").data
    with Image.open(BytesIO(back)) as kept:
        assert kept.size == (1500, 2000) and not kept.getexif() and b"secret" not in back


def test_photos_have_a_quota_in_words(quick: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "MOST_OF_PHONE", 1)
    bo, cy, small = quick.phone("Bo"), quick.phone("Cy"), BytesIO()
    Image.new("RGB", (8, 8)).save(small, "JPEG")
    path = "/api/shows/demo/photos?id=photo-1000"
    sent = [bo.send(f"{path}{n}", small.getvalue(), "image/jpeg").status_code for n in (1, 1, 2)]
    assert sent == [200, 200, 413]
    assert cy.send(f"{path}3", small.getvalue(), "image/jpeg").status_code == 200
    monkeypatch.setattr(pictures, "MOST_BYTES_OF_SHOW", 1)
    answer = cy.send(f"{path}4", small.getvalue(), "image/jpeg")
    assert answer.status_code == 413
    monkeypatch.setattr(pictures, "MOST_OF_PHONE", 9)
    assert "photos of this show" in cy.send(f"{path}5", small.getvalue(), "image/jpeg").text


def test_nobody_else_of_the_machine_reads_the_database(tmp_path: Path) -> None:
    Bench(f"sqlite:///{tmp_path}/x.sqlite", tmp_path).close()
    assert (tmp_path / "x.sqlite").stat().st_mode & 0o077 == 0


def test_phones_hear_up_to_when_two_backups_hold_their_facts(quick: Bench, tmp_path: Path) -> None:
    bo, heard = quick.phone("Bo"), list[int]()
    for _ in range(3):
        heard.append(bo.tell()["backed_up"])
        assert rehearsal.daily(quick.app, tmp_path / "backups", "correct horse", CHEAP) == 0
        quick.clock.pass_ms(24 * 3_600_000)
    heard.append(bo.tell()["backed_up"])
    first = quick.clock.at - 3 * 24 * 3_600_000 - take_events.CLOCKS_MS
    assert heard == [0, 0, first, first + 24 * 3_600_000]
    assert bo.tell(bo.fact(on("BL-002-C"))).get("backed_up") is None
    with quick.app.app_context():  # one that failed counts for nothing
        note = quick.ports.settings.get(rehearsal.SETTING)
        quick.ports.settings.put(rehearsal.SETTING, {**note, "before": None})
    assert bo.tell()["backed_up"] == 0
