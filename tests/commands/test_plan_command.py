"""`plan` and `judge` at the terminal: what they print and the status they end with."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from server.cli import main

SHOWS = Path(__file__).resolve().parents[2] / "fixtures" / "shows"
FESTIVAL, TOO_SMALL = SHOWS / "s3-festival.json", SHOWS / "s4b-too-small-truck.json"


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str, str]:
    status = main([str(word) for word in words])
    said = capsys.readouterr()
    return status, said.out, said.err


def test_a_plan_that_fits_ends_with_0_and_reads_as_a_table(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status, out, _ = run(capsys, "plan", FESTIVAL)
    assert status == 0
    assert "proven shortest" in out
    assert "driver side" in out
    assert "11 rows" in out


def test_a_plan_file_says_what_to_leave_and_how_sure_that_is(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    status, out, _ = run(capsys, "plan", TOO_SMALL, "--json")
    assert status == 1
    refused = json.loads(out)["refused"]
    assert refused["over_payload"] == 1_210
    ways = {way["by"]: way for way in refused["ways_out"]}
    # Exactly what the load is over: no set can weigh less and let the rest go.
    assert ways["least mass"]["mass"] == 1_210
    assert ways["least mass"]["proven"]
    assert len(refused["second_vehicle"]) == len(ways["fewest cases"]["codes"])
    file = tmp_path / "refused.json"
    file.write_text(out, encoding="utf-8")
    assert run(capsys, "judge", TOO_SMALL, file)[0] == 0


def test_a_plan_without_masses_asks_to_weigh_and_its_file_is_read_back(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    status, out, _ = run(capsys, "plan", SHOWS / "mass-unknown.json", "--json")
    assert status == 0
    assert any("payload: with 6 cases without a mass" in line for line in json.loads(out)["asks"])
    file = tmp_path / "plan.json"
    file.write_text(out, encoding="utf-8")
    assert run(capsys, "judge", SHOWS / "mass-unknown.json", file)[0] == 0


def test_a_plan_file_goes_back_to_the_judge(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    status, out, _ = run(capsys, "plan", FESTIVAL, "--json")
    assert status == 0
    file = tmp_path / "plan.json"
    file.write_text(out, encoding="utf-8")
    assert run(capsys, "judge", FESTIVAL, file)[0] == 0
    broken: dict[str, Any] = json.loads(out)
    broken["vehicles"][0]["rows"][0]["cases"][0]["x"] += 5
    file.write_text(json.dumps(broken), encoding="utf-8")
    status, out, _ = run(capsys, "judge", FESTIVAL, file)
    assert status == 1
    assert "fill the same space" in out
    status, out, _ = run(capsys, "judge", FESTIVAL, file, "--json")
    assert status == 1
    assert json.loads(out)["lawful"] is False


def test_a_load_that_does_not_fit_ends_with_1_and_says_what_to_leave(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status, out, _ = run(capsys, "plan", TOO_SMALL, "--seconds", "5")
    assert status == 1
    assert out.startswith("The cases cannot all be loaded; this is proven.")
    assert "over the payload by 1,210 lb" in out
    assert "leave, fewest cases" in out
    assert "a second vehicle would carry" in out


def test_bad_usage_and_bad_files_end_with_2_and_name_the_place(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert run(capsys, "plan")[0] == 2
    assert run(capsys, "plan", FESTIVAL, "--seconds", "-1")[0] == 2
    status, _, err = run(capsys, "plan", tmp_path / "none.json")
    assert status == 2
    assert "none.json" in err
    document = json.loads(FESTIVAL.read_text(encoding="utf-8"))
    document["cases"][3]["weight"] = 12
    file = tmp_path / "show.json"
    file.write_text(json.dumps(document), encoding="utf-8")
    status, _, err = run(capsys, "plan", file)
    assert status == 2
    assert "cases[3].weight" in err


def test_the_schema_names_every_key(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "plan", "--schema")
    assert status == 0
    assert {"vehicles", "cases", "rules", "units"} <= set(json.loads(out)["properties"])


def test_drawings_are_written_where_they_were_asked_for(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    words = ["--svg", tmp_path / "svg", "--pdf", tmp_path / "plan.pdf"]
    assert run(capsys, "plan", FESTIVAL, *words)[0] == 0
    assert any((tmp_path / "svg").glob("*.svg"))
    assert (tmp_path / "plan.pdf").read_bytes().startswith(b"%PDF")


def test_a_plan_from_a_plan_keeps_what_is_loaded_and_lists_the_moves(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    before, loaded, after = (tmp_path / f"{name}.json" for name in ("before", "loaded", "after"))
    before.write_text(run(capsys, "plan", FESTIVAL, "--json")[1], encoding="utf-8")
    loaded.write_text('{"F": 2}', encoding="utf-8")
    words = ("--from", before, "--loaded", loaded)
    status, out, _ = run(capsys, "plan", FESTIVAL, *words)
    assert (status, out.splitlines()[-1]) == (0, "Nothing moves.")
    swapped = SHOWS / "s3-festival-after-swap.json"
    status, out, said = run(capsys, "plan", swapped, *words, "--json")
    assert status == 0
    document = json.loads(out)
    assert {move["code"] for move in document["moves"] if move["kind"] == "off"} == {
        "LX-303",
        "LX-304",
    }
    old = json.loads(before.read_text(encoding="utf-8"))["vehicles"][0]["rows"]
    assert document["vehicles"][0]["rows"][:2] == old[:2]
    assert f"{len(document['moves'])} moves" in said
    after.write_text(out, encoding="utf-8")
    assert run(capsys, "judge", swapped, after)[0] == 0
    scanned = [place["code"] for place in old[0]["cases"]]
    loaded.write_text(json.dumps(scanned), encoding="utf-8")
    assert run(capsys, "plan", FESTIVAL, *words)[0] == 0


@pytest.mark.parametrize(
    "wrong", ['{"F": 99}', '{"X": 1}', '{"F": -1}', '["NONE-1"]', '{"F": "all"}', "3", "{"]
)
def test_what_is_no_loaded_file_is_refused_by_place(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, wrong: str
) -> None:
    before, loaded = tmp_path / "before.json", tmp_path / "loaded.json"
    before.write_text(run(capsys, "plan", FESTIVAL, "--json")[1], encoding="utf-8")
    loaded.write_text(wrong, encoding="utf-8")
    status, out, said = run(capsys, "plan", FESTIVAL, "--from", before, "--loaded", loaded)
    assert (status, out) == (2, "")
    assert "loaded.json" in said
    assert "expected" in said
    assert run(capsys, "plan", FESTIVAL, "--loaded", loaded)[0] == 2


def test_choices_and_room_for_error_are_told_and_go_back_to_the_judge(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "plan.json"
    ways = (["--alternatives", "3"], "lifts"), (["--robust"], "room for error costs")
    for words, told in ways:
        status, out, said = run(capsys, "plan", FESTIVAL, "--seconds", "3", *words, "--json")
        assert (status, told in said) == (0, True), said
        file.write_text(out, encoding="utf-8")
        assert run(capsys, "judge", FESTIVAL, file)[0] == 0
        document = json.loads(out)
        for one in document.get("alternatives", []):
            file.write_text(json.dumps(one["plan"]), encoding="utf-8")
            assert run(capsys, "judge", FESTIVAL, file)[0] == 0
    assert document["robust"]["row_tolerance"] == 0.5
    for wrong in (["--alternatives", "0"], ["--robust", "--alternatives", "2"],
                  ["--row-tolerance", "nan"], ["--mass-tolerance", "2"]):  # fmt: skip
        assert run(capsys, "plan", FESTIVAL, *wrong)[0] == 2, wrong
