"""`python3 server labels` and `python3 server read`, as they are called."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest

from server import cli
from server.core.shop.case_code import CaseCode

ROOT = Path(__file__).resolve().parents[2]
SHOW = ROOT / "fixtures/shows/s1-two-truck-tour.json"
ROW = ROOT / "fixtures/labels/row.jpg"


def test_printed_labels_are_read_back_by_the_other_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pdf, photo = tmp_path / "labels.pdf", tmp_path / "labels.png"
    assert cli.main(["labels", "PW-031-7", "au-404-c", "-o", str(pdf)]) == 0
    assert "can be read from" in capsys.readouterr().out
    pages = pypdfium2.PdfDocument(pdf)
    assert len(pages) == 2
    pages[1].render(scale=2).to_pil().save(photo)
    assert cli.main(["read", str(photo), "--json"]) == 0
    [answer] = json.loads(capsys.readouterr().out)
    assert [r["text"] for r in answer["readings"]] == ["AU-404-C"] * 4
    assert {r["symbology"] for r in answer["readings"]} == {"QR"}
    assert all(len(r["box"]) == 4 for r in answer["readings"])


def test_a_small_row_photo_gives_its_six_codes_and_places(
    capsys: pytest.CaptureFixture[str],
) -> None:
    due = json.loads(ROW.with_suffix(".json").read_text(encoding="utf-8"))
    assert cli.main(["read", str(ROW), "--json"]) == 0
    [answer] = json.loads(capsys.readouterr().out)
    assert sorted(r["text"] for r in answer["readings"]) == sorted(due["codes"])
    assert (answer["width"], answer["height"]) == (due["width"], due["height"])


def test_a_photo_without_labels_ends_with_1_and_a_bad_file_with_2_and_the_others_are_answered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from PIL import Image

    blank, bad = tmp_path / "blank.png", tmp_path / "bad.jpg"
    Image.new("L", (300, 200), 200).save(blank)
    bad.write_bytes(b"no photo")
    assert cli.main(["read", str(ROW), str(blank)]) == 1
    assert f"{blank}: no label" in capsys.readouterr().out
    assert cli.main(["read", str(bad), str(tmp_path / "missing.png"), str(ROW)]) == 2
    said = capsys.readouterr()
    assert str(bad) in said.err and "missing.png" in said.err
    assert said.out.count("QR") == 6


def test_details_come_from_a_show_and_codes_without_check_are_warned_of(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pdf = tmp_path / "rig.pdf"
    words = ["labels", "RIG-101", "--show", str(SHOW), "--copies", "lid", "-o", str(pdf)]
    assert cli.main(words) == 0
    assert "no check character" in capsys.readouterr().err
    text = pypdfium2.PdfDocument(pdf)[0].get_textpage().get_text_range()
    assert "RIG-101" in text and "LID" in text and "lb" in text


def test_without_codes_every_case_of_the_show_is_printed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pdf = tmp_path / "all.pdf"
    assert cli.main(["labels", "--show", str(SHOW), "-o", str(pdf)]) == 0
    cases = sum(c.get("quantity", 1) for c in json.loads(SHOW.read_bytes())["cases"])
    assert len(pypdfium2.PdfDocument(pdf)) == cases


def test_svg_pages_after_the_first_are_numbered(tmp_path: Path) -> None:
    svg = tmp_path / "l.svg"
    assert cli.main(["labels", "PW-031-7", "AU-404-C", "-o", str(svg)]) == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["l-2.svg", "l.svg"]


def test_a_printer_test_page_needs_no_codes(tmp_path: Path) -> None:
    pdf = tmp_path / "t.pdf"
    assert cli.main(["labels", "--test-page", "--sheet", "letter", "-o", str(pdf)]) == 0
    assert len(pypdfium2.PdfDocument(pdf)) == 1


WRONG = f"PW-031-{'K' if CaseCode('PW', 31).check != 'K' else 'L'}"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([WRONG, "-o", "x.pdf"], "PW-031-7"),  # tells the right check character
        (["PW-031-7", "-o", "x.png"], ".pdf or .svg"),
        (["-o", "x.pdf"], "at least one code"),
        (["PW-031-7", "PW-031-7", "-o", "x.pdf"], "every code once"),
        (["PW-031-7", "--copies", "roof", "-o", "x.pdf"], "ends,lid,side"),
        (["PW-031-7", "--roll", "62x100", "-o", "x.pdf"], "--sheet roll"),
        (["PW-031-7", "--first", "9", "-o", "x.pdf"], "1 to 4"),
        (["PW-031-7", "--pattern", "@##", "-o", "x.pdf"], "@##"),
        (["A" * 60, "-o", "x.pdf"], "up to 24"),
        (["PW-031-7", "--show", str(SHOW), "-o", "x.pdf"], "a case of"),
        (["PW-031-7", "-o", "/nonexistent-folder/x.pdf"], "x.pdf"),
    ],
)
def test_what_cannot_be_printed_is_refused_in_words(
    words: list[str],
    said: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["labels", *words]) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_an_owners_own_numbering_prints_with_a_warning(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["labels", "CASE 07", "--pattern", "CASE ##", "-o", str(tmp_path / "own.pdf")]
    assert cli.main(words) == 0
    assert "no check character" in capsys.readouterr().err
