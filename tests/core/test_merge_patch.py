"""Merge patches by the table of RFC 7396, and two changes of one document brought together."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.merge_patch import NOTHING, apply_patch, changes, merge, value_at

# RFC 7396, appendix A: original, patch, result.
RFC_7396 = [
    ({"a": "b"}, {"a": "c"}, {"a": "c"}),
    ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
    ({"a": "b"}, {"a": None}, {}),
    ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
    ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
    ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
    ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
    ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
    (["a", "b"], ["c", "d"], ["c", "d"]),
    ({"a": "b"}, ["c"], ["c"]),
    ({"a": "foo"}, None, None),
    ({"a": "foo"}, "bar", "bar"),
    ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
    ([1, 2], {"a": "b", "c": None}, {"a": "b"}),
    ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
]


@pytest.mark.parametrize(("original", "patch", "result"), RFC_7396)
def test_a_patch_does_what_the_standard_says(original: Any, patch: Any, result: Any) -> None:
    assert apply_patch(original, patch) == result


leaf = st.one_of(st.none(), st.booleans(), st.integers(0, 3), st.lists(st.integers(0, 2)))
names = st.sampled_from(["a", "b", "c"])
documents = st.dictionaries(names, st.one_of(leaf, st.dictionaries(names, leaf)))


@given(documents, documents)
def test_the_changes_between_two_documents_bring_one_to_the_other(before: Any, after: Any) -> None:
    assert merge(before, after, before).document == after
    assert merge(before, before, after).document == after
    assert (changes(before, after) == {}) == (repr(before) == repr(after) or before == after)


@given(documents, documents, documents)
def test_what_either_changed_is_there_or_told_as_a_conflict(
    base: Any, mine: Any, theirs: Any
) -> None:
    merged = merge(base, mine, theirs)
    for path, value in changes(base, theirs).items():
        if not any(path[: len(one)] == one[: len(path)] for one in changes(base, mine)):
            assert value_at(merged.document, path) == value
    for path, value in changes(base, mine).items():
        assert path in merged.conflicts or value_at(merged.document, path) == value
    if merged.conflicts == tuple(changes(base, mine)):
        assert merged.document == theirs


def test_true_is_not_one_and_a_field_that_is_gone_is_told() -> None:
    assert changes({"a": 1}, {"a": True}) == {("a",): True}
    assert changes({"a": 1}, {}) == {("a",): NOTHING}
    assert merge({"a": 1}, {}, {"a": 1, "b": 2}).document == {"b": 2}
