"""Everything in one zip, and back: the same, digests compared, nothing into a shop that has any."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

import pytest

from server import exporting
from server.trouble import BadInput
from tests.api.test_data_commands import run
from tests.support.app import Bench, on


def test_everything_comes_out_as_a_zip_and_back_the_same(quick: Bench, tmp_path: Path) -> None:
    owner = quick.owner()
    phone = quick.phone("Ana", chief=True)
    phone.tell(phone.fact(on("BL-002-C")))
    answer = owner.get("/api/everything.zip")
    assert answer.status_code == 200 and answer.mimetype == "application/zip"
    content = answer.data
    names = zipfile.ZipFile(io.BytesIO(content)).namelist()
    assert {"cases.json", "shop.json", "show-demo/record.json", "digests.json"} <= set(names)
    assert b"argon2" not in b"".join(
        zipfile.ZipFile(io.BytesIO(content)).read(name) for name in names
    )
    full = owner.send("/api/everything", content, "application/zip")
    assert full.status_code == 409  # this shop has data
    quick.close()
    file = tmp_path / "everything.zip"
    file.write_bytes(content)
    other = tmp_path / "other"
    assert run("import", file, "--data", other)[0] == 0
    again = tmp_path / "again.zip"
    assert run("export", again, "--data", other)[0] == 0
    first, second = (zipfile.ZipFile(one) for one in (file, again))
    digests = [json.loads(one.read(exporting.DIGESTS))["sha256"] for one in (first, second)]
    differ = {key for key in digests[0] if digests[0][key] != digests[1].get(key)}
    assert differ == {"show-demo/record.json"}  # each server seals a record with its own key


@pytest.mark.parametrize("change", ["edit", "drop", "add", "cut", "no digests"])
def test_a_zip_that_was_changed_is_refused_by_the_name_of_the_file(change: str) -> None:
    files = {"cases.json": b"[]", "shop.json": b"{}"}
    digests = {
        "cases.json": "4f53cda18c2baa0c0354bb5f9a3ecbe5ed12ab4d8e11ba873c2f11161202b945",
        "shop.json": "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a",
    }
    files[exporting.DIGESTS] = json.dumps({"sha256": digests}).encode()
    out = io.BytesIO()
    place = {"edit": "cases.json", "drop": "shop.json", "add": "more.json"}.get(change, "zip")
    if change == "edit":
        files["cases.json"] = b"[1]"
    elif change == "drop":
        del files["shop.json"]
    elif change == "add":
        files["more.json"] = b"{}"
    elif change == "no digests":
        del files[exporting.DIGESTS]
    with zipfile.ZipFile(out, "w") as packed:
        for name, content in files.items():
            packed.writestr(name, content)
    sent = out.getvalue()[:-40] if change == "cut" else out.getvalue()
    with pytest.raises(BadInput, match=place):
        exporting.opened_zip(sent, "zip")
