"""Case codes: ISO/IEC 7064 MOD 37-2, what may be issued, and what a read must show to count."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_2

from server.core.shop.case_code import (
    ALPHABET,
    NEVER_ISSUED,
    Accepted,
    BadCode,
    CaseCode,
    Refused,
    accept,
    check_character,
)
from server.core.shop.numbering import OwnNumbering
from tests.phone_model.typed_code import accept_typed
from tests.support.case_codes import issue_codes

VECTORS = json.loads(
    (Path(__file__).parents[2] / "fixtures/labels/case-codes.json").read_text(encoding="utf-8")
)
codes = st.builds(
    CaseCode,
    department=st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ", min_size=1, max_size=4),
    number=st.integers(1, 999_999),
)
SAMPLES = [CaseCode("PW", 31), CaseCode("AU", 404), CaseCode("RIG", 1000), CaseCode("O", 101)]


@pytest.mark.parametrize(
    ("text", "check"),
    [
        # UK blood services guidelines, annex 2, table A2.2: worked by hand there, remainder 21, 17
        ("G123498654321", "H"),
        # python-stdnum, doctest of stdnum.iso7064.mod_37_2
        ("G123489654321", "Y"),
        # python-stdnum once more, for the code that the docs show
        ("PW031", mod_37_2.calc_check_digit("PW031")),
    ],
)
def test_worked_examples_give_their_check_character(text: str, check: str) -> None:
    assert check_character(text) == check


@given(st.text(ALPHABET[:36], min_size=1, max_size=20))
def test_an_independent_library_computes_the_same_check(text: str) -> None:
    assert check_character(text) == mod_37_2.calc_check_digit(text)
    assert mod_37_2.is_valid(text + check_character(text))


@pytest.mark.parametrize("code", SAMPLES, ids=str)
def test_every_single_wrong_character_is_caught(code: CaseCode) -> None:
    text = str(code)
    tried = 0
    for place, right in enumerate(text):
        for wrong in ALPHABET + "-":
            if wrong == right:
                continue
            tried += 1
            with pytest.raises(BadCode):
                CaseCode.parse(text[:place] + wrong + text[place + 1 :])
    assert tried == len(text) * 37


@pytest.mark.parametrize("code", SAMPLES, ids=str)
def test_every_swap_of_neighbours_is_caught_even_across_a_hyphen(code: CaseCode) -> None:
    plain = str(code).replace("-", "")
    for place in range(len(plain) - 1):
        left, right = plain[place], plain[place + 1]
        if left != right:
            swapped = plain[:place] + right + left + plain[place + 2 :]
            assert not mod_37_2.is_valid(swapped)
            assert check_character(swapped[:-1]) != swapped[-1]


def test_two_hundred_codes_have_no_neighbour_at_one_wrong_character_or_one_swap() -> None:
    issued = {str(code) for code in issue_codes("LX", 0, 200)}
    for text in issued:
        for place in range(len(text)):
            near = {text[:place] + other + text[place + 1 :] for other in ALPHABET}
            if place:
                swap = text[: place - 1] + text[place] + text[place - 1] + text[place + 1 :]
                near.add(swap)
            assert not (near - {text}) & issued


@given(codes)
def test_what_is_printed_is_read_back(code: CaseCode) -> None:
    assert CaseCode.parse(str(code)) == code


def test_the_first_power_case_that_may_be_issued_prints_as_department_number_check() -> None:
    assert str(CaseCode("PW", 31)) == "PW-031-7"


@pytest.mark.parametrize(
    "text",
    [
        "",  # nothing
        "PW-031",  # no check
        "PW-31-7",  # fewer than three digits
        "PW-0031-7",  # more zeros than printed
        "pw-031-7",  # a scanner gives capitals; typing is forgiven elsewhere
        "PW031-7",  # hyphen missing
        "PW-031-7 ",  # a blank is not part of a code
        "PWXYZ-031-7",  # five letters
        "PW-031-K",  # well shaped, wrong check
        "PW-031-\u0667",  # a digit of another script
        "PW-000-T",  # numbers begin at 1
    ],
)
def test_other_text_is_no_code(text: str) -> None:
    with pytest.raises(BadCode, match="expected"):
        CaseCode.parse(text)


@pytest.mark.parametrize(("department", "number"), [("", 1), ("pw", 1), ("PW", 0), ("PW", 10**6)])
def test_a_code_out_of_range_cannot_be_built(department: str, number: int) -> None:
    with pytest.raises(BadCode):
        CaseCode(department, number)


def test_numbers_with_a_mistakable_check_are_never_issued_and_no_other_is_left_out() -> None:
    issued = issue_codes("PW", 0, 400)
    last = issued[-1].number
    left_out = set(range(1, last + 1)) - {code.number for code in issued}
    checks = {mod_37_2.calc_check_digit(f"PW{number:03d}") for number in left_out}
    assert checks == set("01IO*") == NEVER_ISSUED
    assert all(mod_37_2.calc_check_digit(f"PW{c.number:03d}") not in "01IO*" for c in issued)


def test_issuing_goes_on_after_the_highest_number_and_ends_with_the_last() -> None:
    first = issue_codes("AU", 0, 5)
    assert issue_codes("AU", first[1].number, 3) == first[2:]
    with pytest.raises(BadCode):
        issue_codes("AU", 999_990, 50)


KNOWN = frozenset(str(code) for code in SAMPLES)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("", "empty"),
        ("https://example.org/", "shape"),  # some other QR on the case
        ("PW-031-K", "check"),
        ("PW-032-" + CaseCode("PW", 32).check, "unknown"),
    ],
)
def test_a_read_is_refused_with_its_reason(text: str, kind: str) -> None:
    answer = accept(text, KNOWN)
    assert isinstance(answer, Refused) and answer.kind == kind and answer.reason


def test_a_known_code_with_its_check_is_accepted() -> None:
    assert accept(" PW-031-7\n", KNOWN) == Accepted("PW-031-7")


@pytest.mark.parametrize("row", VECTORS["typed"], ids=lambda row: row["text"] or "nothing")
def test_typed_text_follows_the_shared_vectors(row: dict[str, str]) -> None:
    answer = accept_typed(row["text"], VECTORS["known"])
    if "code" in row:
        assert answer == Accepted(row["code"])
    else:
        assert isinstance(answer, Refused) and answer.kind == row["refused"]


@pytest.mark.parametrize("row", VECTORS["checks"], ids=lambda row: row["code"])
def test_shared_vectors_hold_the_independent_check(row: dict[str, str]) -> None:
    department, number, check = row["code"].split("-")
    assert mod_37_2.calc_check_digit(department + number) == check
    assert str(CaseCode.parse(row["code"])) == row["code"]


@given(codes)
def test_lower_case_blanks_and_missing_hyphens_are_forgiven(code: CaseCode) -> None:
    known = {str(code)}
    plain = str(code).replace("-", "")
    for typed in (plain, plain.lower(), str(code).lower(), str(code).replace("-", " ")):
        assert accept_typed(typed, known) == Accepted(str(code))


@given(codes)
def test_mistaken_o_and_i_never_lead_to_another_case(code: CaseCode) -> None:
    mistaken = str(code).replace("0", "O").replace("1", "I")
    answer = accept_typed(mistaken, {str(code)})
    assert answer == Accepted(str(code))


def test_typed_text_that_fits_two_known_cases_is_refused_not_guessed() -> None:
    pairs = [("IL", "LI"), ("LL", "IL"), ("OI", "OL")]
    found = 0
    for one, other in pairs:
        for number in range(1, 3000):
            a, b = CaseCode(one, number), CaseCode(other, number)
            if a.check == b.check:
                found += 1
                typed = f"{one.replace('I', '1').replace('L', '1')}{number:03d}{a.check}"
                answer = accept_typed(typed, {str(a), str(b)})
                assert isinstance(answer, Refused) and answer.kind == "ambiguous"
    # neighbours in MOD 37-2 never agree: one letter apart is always told apart
    assert found == 0


@pytest.mark.parametrize(
    ("pattern", "fits", "fails"),
    [
        ("CASE ###[#]", ["CASE 123", "case 1234"], ["CASE 12", "CASE 12345", "CASE12 3"]),
        ("@@-##", ["PA-04"], ["P4-04", "PA-0"]),
        ("[X]**", ["XA1", "99"], ["XA12", "-1"]),
        (r"\##.", ["#7."], ["77.", "#7x"]),
    ],
)
def test_an_owners_pattern_takes_what_fits(pattern: str, fits: list[str], fails: list[str]) -> None:
    numbering = OwnNumbering(pattern)
    assert not numbering.protected
    for text in fits:
        assert accept(text, {text.upper()}, numbering) == Accepted(text.upper(), checked=False)
    for text in fails:
        assert isinstance(accept(text, {text.upper()}, numbering), Refused)


@pytest.mark.parametrize("pattern", ["", "ABC", "#[#", "#]", "[[#]]", "#" * 41, "[#]" * 5, "#\n"])
def test_a_pattern_that_is_no_pattern_is_refused(pattern: str) -> None:
    with pytest.raises(BadCode):
        OwnNumbering(pattern)
