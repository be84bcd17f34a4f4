"""An imported export gives the same shop, shows, plans and nights."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.api.test_data_commands import run
from tests.support.app import Bench, on


def files(folder: Path) -> dict[str, Any]:
    """Return every file of an export by its name."""
    return {
        file.relative_to(folder).as_posix(): file.read_text(encoding="utf-8")
        for file in sorted(folder.rglob("*.*"))
    }


def test_an_export_of_what_an_export_brought_back_is_the_same(quick: Bench, tmp_path: Path) -> None:
    owner = quick.owner()
    case = owner.read("/api/cases/RG-001-Q")
    notes = {"weighed_on": "2027-01-05", "return_on": "", "note": "=not a formula",
             "contents": [{"what": "hoist", "count": 2}]}  # fmt: skip
    assert owner.put("/api/cases/RG-001-Q", {**case, "notes": notes}).status_code == 200
    truck = owner.read("/api/vehicles/T1")
    gear = {"lift_gate": {"deep_um": 1_219_200, "wide_um": 2_032_000, "rating_g": 590_000},
            "track": {"heights_um": [457_200, 1_219_200], "pitch_um": 50_800}}  # fmt: skip
    assert owner.put("/api/vehicles/T1", {**truck, **gear}).status_code == 200
    assert owner.read("/api/vehicles/T1") == {**truck, **gear}
    assert owner.post("/api/vehicles", {**truck, "id": "H1", "aside": True}).status_code == 201
    kit = [{"name": "Rigging", "codes": ["RG-001-Q"]}]
    assert owner.put("/api/kits", kit).status_code == 200
    ana = quick.phone("Ana", chief=True)
    ana.tell(ana.fact(on("BL-002-C")), ana.fact({"kind": "hands", "count": 4}))
    quick.close()
    first, second = tmp_path / "first", tmp_path / "second"
    assert run("export", first, "--data", quick.settings.data)[0] == 0
    other = tmp_path / "other"
    status, said = run("import", first, "--data", other)
    assert status == 0, said
    assert "1 shows are back" in said
    assert run("export", second, "--data", other)[0] == 0
    before, after = files(first), files(second)
    assert before.keys() == after.keys()
    assert "48,80,1300.727,18 48,2," in before["vehicles.csv"]
    for name, text in before.items():
        assert unsealed(name, after[name]) == unsealed(name, text), name
    assert run("import", first, "--data", other)[0] == 1
    status, said = run("import", first / "vehicles.csv", "--data", other)
    assert status == 0 and "0 new, 0 changed, 3 as they were" in said


def unsealed(name: str, text: str) -> object:
    """Return a file without the seal of a record: each server seals with a key of its own."""
    if name == "digests.json":
        return sorted(json.loads(text)["sha256"])
    if not name.endswith("record.json"):
        return text
    return {key: value for key, value in json.loads(text).items() if key != "seal"}


def test_a_record_that_was_changed_is_not_brought_back(quick: Bench, tmp_path: Path) -> None:
    ana = quick.phone("Ana", chief=True)
    ana.tell(ana.fact(on("BL-002-C")))
    quick.close()
    folder = tmp_path / "out"
    assert run("export", folder, "--data", quick.settings.data)[0] == 0
    file = folder / "show-demo" / "record.json"
    record = json.loads(file.read_text(encoding="utf-8"))
    record["events"][0]["body"]["code"] = "BL-003-A"
    file.write_text(json.dumps(record), encoding="utf-8")
    status, said = run("import", folder, "--data", tmp_path / "other")
    assert status == 2 and "record.json" in said
