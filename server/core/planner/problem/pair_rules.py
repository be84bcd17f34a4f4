"""Rules between two cases: the one place where the search learns of such a rule.

A rule declared here is known to every part of the search that sets cases on or beside each other;
the judge checks it again, from nothing but the plan.
"""

from __future__ import annotations

from server.core.shop.case import Case


def may_be_under(lower: Case, upper: Case) -> bool:
    """Return whether `upper` may stand anywhere above `lower`.

    What comes off first must not carry what comes off later.
    """
    return upper.code not in lower.never_under and upper.drop <= lower.drop


def may_be_beside(one: Case, other: Case) -> bool:
    """Return whether two cases may stand in neighbouring stacks of one row."""
    return other.code not in one.never_beside and one.code not in other.never_beside
