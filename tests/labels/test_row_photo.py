"""A row's photo against the plan: seen, not seen, not belonging, unknown."""

from __future__ import annotations

import pytest

from server.core.shop.case_code import issue_codes
from server.core.shop.numbering import OwnNumbering
from server.labels.reading import Box, Reading
from server.labels.row_photo import row_photo

FLEET = [str(code) for code in issue_codes("AU", 0, 6)]
ROW = FLEET[:3]


def seen_at(text: str, x: int) -> Reading:
    box: Box = ((x, 0), (x + 40, 0), (x + 40, 40), (x, 40))
    return Reading(text, "QR", box, "zxing-cpp", "zxing")


def test_a_photo_of_the_whole_row_is_complete() -> None:
    answer = row_photo([seen_at(code, 50 * i) for i, code in enumerate(reversed(ROW))], ROW, FLEET)
    assert answer.complete
    assert [case.code for case in answer.seen] == ROW  # in the order of the plan
    assert not answer.not_seen and not answer.not_belonging and not answer.unknown


def test_what_was_not_seen_and_what_does_not_belong_are_told_apart() -> None:
    answer = row_photo([seen_at(ROW[1], 0), seen_at(FLEET[5], 50)], ROW, FLEET)
    assert not answer.complete
    assert answer.not_seen == (ROW[0], ROW[2])
    assert [case.code for case in answer.not_belonging] == [FLEET[5]]


def test_two_labels_of_one_case_count_once_and_keep_both_places() -> None:
    answer = row_photo([seen_at(ROW[0], 0), seen_at(ROW[0], 90)], ROW[:1], FLEET)
    assert answer.complete
    assert [box[0] for box in answer.seen[0].boxes] == [(0, 0), (90, 0)]


@pytest.mark.parametrize(
    "text",
    [
        "https://example.org/",  # some other code on the case
        ROW[0][:-1] + "Q",  # a wrong check character: another case may be meant
        str(issue_codes("LX", 0, 1)[0]),  # sound, but nobody here knows it
    ],
)
def test_a_label_that_does_not_count_is_listed_apart_and_never_seen(text: str) -> None:
    answer = row_photo([seen_at(text, 0)], ROW, FLEET)
    assert answer.seen == answer.not_belonging == ()
    assert [(label.text, bool(label.reason)) for label in answer.unknown] == [(text, True)]


def test_a_due_case_is_known_even_when_the_fleet_does_not_hold_it() -> None:
    hired = str(issue_codes("ZZ", 0, 1)[0])
    assert row_photo([seen_at(hired, 0)], [hired], FLEET).complete


def test_an_owners_numbering_is_compared_by_its_pattern() -> None:
    numbering = OwnNumbering("CASE ##")
    answer = row_photo([seen_at("case 07", 0)], ["CASE 07", "CASE 08"], [], numbering)
    assert [case.code for case in answer.seen] == ["CASE 07"]
    assert answer.not_seen == ("CASE 08",)
