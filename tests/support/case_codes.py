"""Codes for the cases that tests make up."""

from __future__ import annotations

from itertools import count, islice

from server.core.shop.case_code import CaseCode


def issue_codes(department: str, after: int, many: int) -> tuple[CaseCode, ...]:
    """Return the codes of a department that may be issued next after a number.

    Raises BadCode when the department has no numbers left.
    """
    codes = (CaseCode(department, number) for number in count(after + 1))
    return tuple(islice((code for code in codes if code.may_be_issued), many))
