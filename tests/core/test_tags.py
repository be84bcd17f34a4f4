"""Further tags of a case: what counts, what does not, and that no stranger's number passes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from server.core.shop.tags import case_of, tag_faults, tag_key, tag_owners

CODES = {"PW-031-7", "AU-404-C", "CASE 12"}
OWNERS = tag_owners(
    [
        ("PW-031-7", ["SN 5581-0042", "Кофр №7", "036000291452"]),
        ("AU-404-C", ["old/17", "TWICE"]),
        ("CASE 12", ["twice"]),
    ]
)
TABLE = json.loads(
    (Path(__file__).resolve().parents[2] / "fixtures/labels/tags.json").read_text("utf-8")
)


@pytest.mark.parametrize(("text", "code"), [(row["text"], row["code"]) for row in TABLE["texts"]])
def test_a_text_names_the_case_that_the_table_says(text: str, code: str | None) -> None:
    """The phone's tests walk the same table."""
    owners = tag_owners((case["code"], case["tags"]) for case in TABLE["cases"])
    codes = {case["code"] for case in TABLE["cases"]}
    assert case_of(text, codes, owners) == code


def test_codes_of_several_numberings_stand_side_by_side() -> None:
    assert case_of("case 12", CODES, OWNERS) == "CASE 12"
    assert case_of("PW-031-7", CODES, OWNERS) == "PW-031-7"
    assert case_of("CASE 13", CODES, OWNERS) is None


def test_a_tag_on_two_cases_names_neither() -> None:
    assert case_of("Twice", CODES, OWNERS) is None


def test_of_10_000_misread_codes_and_10_000_other_numbers_none_names_a_case() -> None:
    for number in range(10_000):
        assert case_of(f"PW-{number:03d}-2", {"PW-031-7"}, OWNERS) is None or number == 31
        assert case_of(f"https://maker.example/p/{number}", CODES, OWNERS) is None


@pytest.mark.parametrize(
    ("tags", "word"),
    [
        (["x" * 61], "60"),
        (["a\nb"], "printable"),
        ([" "], "printable"),
        (["au-404-c"], "code of another case"),
        (["OLD/17"], "tag of AU-404-C"),
        (["new", "PW-031-7"], None),
    ],
)
def test_faults_of_tags_are_named(tags: list[str], word: str | None) -> None:
    faults = tag_faults("PW-031-7", tags, OWNERS, CODES)
    assert (faults == []) if word is None else (len(faults) == 1 and word in faults[0])


def test_one_article_number_has_one_key() -> None:
    """UPC-A 036000291452 is EAN-13 0036000291452 (the worked example of the GS1 check digit)."""
    assert tag_key("0036000291452") == tag_key("036000291452")
