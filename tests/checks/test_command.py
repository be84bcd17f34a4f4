"""`python3 server checks`: standard input to standard output, with its exit status."""

from __future__ import annotations

import io
import json

import pytest

from server import cli


def ask(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    text: str,
    *words: str,
) -> tuple[int, str, str]:
    monkeypatch.setattr("sys.stdin", io.StringIO(text))
    status = cli.main(["checks", *words])
    out, err = capsys.readouterr()
    return status, out, err


def test_one_object_in_one_object_out(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = '{"length_ft": 2.5, "mass_lb": 1800, "blocked": false}'
    status, out, _ = ask(monkeypatch, capsys, text, "straps", "--json")
    told = json.loads(out)
    assert status == 0
    assert told["value"] == 2
    assert told["source"] == "49 CFR 393.110(b)-(c)"
    assert {"value", "unit", "source", "derivation"} <= set(told)


def test_a_list_in_a_list_out_in_its_order(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = '[{"method": "limit", "axle": "single"}, {"method": "bridge", "L_ft": 51, "N": 5}]'
    status, out, _ = ask(monkeypatch, capsys, text, "axles", "--json")
    assert status == 0
    assert [one["value"] for one in json.loads(out)] == [20000, 80000]


def test_people_read_the_answer_with_source_and_caution(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = '{"mass_lb": 420, "deck_in": 34, "ramp_in": 144}'
    status, out, _ = ask(monkeypatch, capsys, text, "push")
    assert status == 0
    assert out.startswith("7 people\n")
    assert "not stated, assumed: rolling 0.02, wet False, hands mixed" in out
    assert "source: HSE push-pull assessment and INDG143" in out
    assert "caution: Planning figure" in out


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[{"length_ft": 5, "mass_lb": 9}, {"length_ft": 5}]', "straps[1].mass: expected mass"),
        ("{", "straps, line 1, column 2: expected JSON"),
        ("", "straps, line 1, column 1: expected JSON"),
        ('{"length_ft": NaN, "mass_lb": 3}', "expected finite numbers, got NaN"),
        ('{"length_ft": 1e999, "mass_lb": 3}', "straps.length_ft: expected a number"),
        ("[[]]", "straps[0]: expected an object"),
    ],
)
def test_bad_input_ends_with_status_2_and_names_the_place(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    *,
    text: str,
    message: str,
) -> None:
    status, out, err = ask(monkeypatch, capsys, text, "straps", "--json")
    assert status == 2
    assert out == ""
    assert message in err


def test_an_unknown_topic_is_bad_usage(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status, _, err = ask(monkeypatch, capsys, "{}", "cranes")
    assert status == 2
    assert "cranes" in err


@pytest.mark.parametrize("topic", ["lift", "push", "ramp", "straps", "axles"])
def test_the_schema_of_a_topic_needs_no_input(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], topic: str
) -> None:
    status, out, _ = ask(monkeypatch, capsys, "", topic, "--schema")
    told = json.loads(out)
    assert status == 0
    assert told["topic"] == topic
    assert told["methods"]
