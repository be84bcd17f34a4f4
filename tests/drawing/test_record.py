"""The record on paper says what the fold says, for every night that both suites read."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pypdfium2
import pytest
from PIL import Image

from server.core.crew.bundle import read_bundle
from server.core.night.events import read_event
from server.core.night.fold import fold
from server.core.night.record_sheet import Night
from server.core.night.state import CheckState, RampState
from server.core.shop.case import Case
from server.core.shop.plan import Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.drawing.record_pdf import record_pdf
from server.drawing.signature import GLASS, signed_box, strokes
from tests.support.nights import bundle_document, nights

NIGHTS = nights()


def _place(one: dict[str, Any], row: dict[str, Any]) -> Place:
    x, dx, dz = one.get("x", 0), one.get("dx", 500_000), one.get("dz", 500_000)
    y, dy = one.get("y", row["start_um"]), one.get("dy", row["depth_um"])
    return Place(one["code"], x, y, one.get("z", 0), dx, dy, dz, on=tuple(one.get("on", ())))


def _vehicle_plan(sheet: dict[str, Any]) -> VehiclePlan:
    rows = tuple(
        Row(
            row["number"],
            row["start_um"],
            row["depth_um"],
            row["slack_um"],
            row["straps"],
            tuple(_place(one, row) for one in row["places"]),
        )
        for row in sheet["rows"]
    )
    return VehiclePlan(sheet["id"], rows, sheet["floor_length_um"], 0)


def _night(name: str, photos: dict[str, bytes] | None = None) -> Night:
    night = NIGHTS[name]
    document = bundle_document(night["bundle"])
    sheets = document["vehicles"]
    cases = tuple(Case(code, 700_000, 500_000, 500_000) for code in document["cases"])
    vehicles = tuple(
        Vehicle(sheet["id"], 2_400_000, 7_000_000, 2_400_000, sheet.get("name", ""))
        for sheet in sheets
    )
    plan = Plan(tuple(_vehicle_plan(sheet) for sheet in sheets), 0, 0, proven=False)
    return Night(
        show=Show("gala", vehicles, cases),
        plan=plan,
        state=fold(read_bundle(document), [read_event(one) for one in night["events"]]),
        head="f00d" * 16,
        checks={one["id"]: f"check {one['id']}" for one in document["checks"]},
        walk={one["id"]: f"stop {one['id']}" for one in document["walk"]},
        when=lambda at: f"at {at}",
        drawings={
            one["id"]: tuple(
                (signer["role"], signer["name"], "M10 10L100 100")
                for signer in one["body"].get("signers", ())
            )
            for one in night["events"]
        },
        photos=photos or {},
    )


def _text(night: Night) -> str:
    document = pypdfium2.PdfDocument(record_pdf(night))
    return "\n".join(page.get_textpage().get_text_range() for page in document)


@pytest.mark.parametrize("name", sorted(NIGHTS))
def test_every_night_prints_and_names_what_is_on_board(name: str) -> None:
    night = _night(name)
    text = _text(night)
    assert night.head in text and "python3 server verify" in text
    for move in ("shop_load", "load_out"):
        for leg in night.state.legs[move].values():
            if leg.first_at is not None:
                assert all(code in text for row in leg.rows for code in row.on)


def test_excuses_stand_in_words_with_who_said_so() -> None:
    text = _text(_night("left-on-purpose"))
    assert "left on purpose" in text and "kept by" in text


def test_straps_are_told_as_counted_and_disagreement_is_said() -> None:
    assert "counted differently by phones" in _text(_night("straps-disagree"))


def test_a_release_shows_signer_digest_and_caution() -> None:
    night = _night("released-after-all")
    leg = next(leg for leg in night.state.legs["shop_load"].values() if leg.released is not None)
    assert leg.released is not None
    text = _text(night)
    assert leg.released.digest in text.replace("\r\n", "")
    assert "competent person" in text


def test_the_checks_of_put_away_stand_in_the_record() -> None:
    night = _night("put-away")
    assert "checks of put-away" not in _text(night)
    state = night.state
    key, leg = next((key, leg) for key, leg in state.legs["put_away"].items() if leg.marks)
    by = next(iter(leg.marks.values()))
    check = CheckState("hired", "hired", open=False, ok=True, note="Kim", photo=None,
                       disagreement=False, mark=by)  # fmt: skip
    legs = {**state.legs, "put_away": {key: replace(leg, checks=(check,))}}
    text = _text(replace(night, state=replace(state, legs=legs), checks={"hired": "Hired apart?"}))
    assert "checks of put-away" in text
    assert "yes (Kim)" in text and "Hired apart?" in text and by.by in text


def test_a_vehicle_that_is_held_says_that_it_was_not_released() -> None:
    assert "not released" in _text(_night("plain-load"))


def test_a_signature_is_drawn_stroke_by_stroke_inside_its_box() -> None:
    assert strokes("M0 0L10.5 20M30,40L50 -60") == [((0, 0), (10.5, 20)), ((30, 40), (50, -60))]
    shapes, high = signed_box("chief", "Ana", f"M0 0L{GLASS[0] * 9} {GLASS[1]}", 52)
    points = next(shape.points for shape in shapes if hasattr(shape, "points"))
    assert max(x for x, _ in points) == 52 and high > 20


def test_what_is_no_drawing_draws_nothing() -> None:
    assert strokes("<script>alert(1)</script>") == []


def test_the_photo_of_a_check_stands_under_it() -> None:
    out = io.BytesIO()
    Image.new("RGB", (80, 60), "green").save(out, "JPEG")
    night = _night("plain-load", {"seal": out.getvalue()})
    state = night.state
    key, leg = next(iter(state.legs["shop_load"].items()))
    check = replace(leg.checks[0], photo="seal")
    legs = {**state.legs, "shop_load": {key: replace(leg, checks=(check, *leg.checks[1:]))}}
    shown = record_pdf(replace(night, state=replace(state, legs=legs)))
    assert len(shown) > len(record_pdf(night)) + len(out.getvalue()) // 2


def test_photos_of_a_row_stand_with_their_row() -> None:
    out = io.BytesIO()
    Image.new("RGB", (80, 60), "red").save(out, "JPEG")
    name = next(
        name
        for name, night in NIGHTS.items()
        if any(one["body"]["kind"] == "row_photo" for one in night["events"])
    )
    photo = next(
        one["body"]["photo"] for one in NIGHTS[name]["events"] if one["body"]["kind"] == "row_photo"
    )
    plain, with_photo = record_pdf(_night(name)), record_pdf(_night(name, {photo: out.getvalue()}))
    assert b"/DCTDecode" in with_photo and b"/DCTDecode" not in plain


def test_a_ramp_measured_at_the_venue_stands_with_its_vehicle() -> None:
    night = _night("plain-load")
    leg = night.state.legs["shop_load"]["T1"]
    # 3 in 30 along the slope: 1 in 9.9, 5.7 degrees
    leg = replace(leg, ramp=RampState(300_000, 3_000_000, "rough"))
    legs = {**night.state.legs, "shop_load": {"T1": leg}}
    text = _text(replace(night, state=replace(night.state, legs=legs)))
    assert "ramp measured: 1 in 9.9 (5.7 degrees), rough floor" in text
