"""The runner counts what is reported, and the scratch databases are real ones."""

from __future__ import annotations

from pathlib import Path

import pytest
import sqlalchemy

from tests.support import checkout
from tests.support.counts import Counts, node_counts, pytest_counts, said_counts
from tests.support.parts import Outcome

JUNIT = """<testsuites><testsuite errors="1" failures="2" skipped="3" tests="10"/></testsuites>"""

NODE_SPEC = "ℹ tests 9\nℹ pass 5\nℹ fail 1\nℹ cancelled 1\nℹ skipped 2\nℹ todo 0\n"  # noqa: RUF001
NODE_TAP = "1..9\n# tests 9\n# pass 5\n# fail 1\n# cancelled 1\n# skipped 2\n# todo 0\n"


def test_an_error_in_a_fixture_counts_as_a_failed_test(tmp_path: Path) -> None:
    report = tmp_path / "report.xml"
    report.write_text(JUNIT, encoding="utf-8")
    assert pytest_counts(report) == Counts(passed=4, failed=3, skipped=3)


def test_counts_are_read_back_from_what_a_part_says_last() -> None:
    counts = Counts(passed=4, failed=3, skipped=2)
    assert said_counts(f"\n1 passed, 0 failed, 0 skipped\nall\n\n{counts}\n") == counts
    assert said_counts("Traceback") == Counts()


def test_a_part_that_wrote_no_report_has_counted_nothing(tmp_path: Path) -> None:
    assert pytest_counts(tmp_path / "none.xml") == Counts()


@pytest.mark.parametrize("output", [NODE_SPEC, NODE_TAP], ids=["spec", "tap"])
def test_both_forms_of_nodes_summary_are_counted(output: str) -> None:
    assert node_counts(output) == Counts(passed=5, failed=2, skipped=2)


def test_two_runs_of_node_are_added_up() -> None:
    assert node_counts(NODE_TAP + NODE_SPEC).passed == 10


def test_a_part_that_broke_without_a_failed_test_is_one_failure() -> None:
    assert Outcome(ok=False, counts=Counts(passed=7)).shown == Counts(passed=7, failed=1)
    assert Outcome(ok=False, counts=Counts(failed=2)).shown == Counts(failed=2)
    assert Outcome(ok=True, counts=Counts(passed=7)).shown == Counts(passed=7)


@pytest.mark.store
def test_each_scratch_database_is_fresh_and_takes_a_table(database_url: str) -> None:
    engine = sqlalchemy.create_engine(database_url)
    with engine.begin() as connection:
        connection.execute(sqlalchemy.text("CREATE TABLE one (n INTEGER)"))
        connection.execute(sqlalchemy.text("INSERT INTO one VALUES (1)"))
        assert connection.execute(sqlalchemy.text("SELECT n FROM one")).scalar() == 1
    engine.dispose()


@pytest.mark.store
def test_the_scratch_postgresql_writes_through_to_disk(postgres_url: str) -> None:
    engine = sqlalchemy.create_engine(postgres_url)
    with engine.connect() as connection:
        assert connection.execute(sqlalchemy.text("SHOW fsync")).scalar() == "on"
        assert connection.execute(sqlalchemy.text("SHOW listen_addresses")).scalar() == ""
    engine.dispose()


def test_an_unpacked_archive_has_the_files_of_the_checkout() -> None:
    assert set(checkout._found()) >= set(checkout.files())
