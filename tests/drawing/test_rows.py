"""Drawings of a plan: to scale, complete, and readable back out of the PDF."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pypdfium2
import pytest
import zxingcpp

from server.core.base.units import Units
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.case import Case
from server.core.shop.plan import Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Axles, Narrow, Straps, Vehicle
from server.drawing.pdf import to_pdf
from server.drawing.rows_pdf import plan_pdf
from server.drawing.rows_svg import DOOR_WIDTH, TOP_WIDTH, draw_plan
from server.drawing.scene import Box, Line, Scene, Text
from server.drawing.sheet import pages_of, row_height, sheet
from server.drawing.svg import to_svg
from server.files.show_file import parse_show, read_json
from server.settings import ROOT

DEMO = ROOT / "fixtures" / "demo" / "show.json"
INCH = 25_400
SVG = "{http://www.w3.org/2000/svg}"
AXLES = Axles("truck", -60 * INCH, 188 * INCH, 2_000_000, 3_000_000)
TRUCK = Vehicle(
    "T 1/é",
    90 * INCH,
    312 * INCH,
    96 * INCH,
    "box <& truck>",
    payload_g=4_000_000,
    narrow=(Narrow(20 * INCH, 60 * INCH, 80 * INCH, 12 * INCH),),
    axles=AXLES,
    straps=Straps(12, 450_000),
)
CASES = tuple(
    Case(code, 45 * INCH, 30 * INCH, 30 * INCH, name="trunk", mass_g=90_000)
    for code in ("AU-001-D", "AU-002-B", "AU-003-9")
)


def _place(code: str, x: int, z: int = 0, on: tuple[str, ...] = ()) -> Place:
    side = 30 * INCH
    return Place(code, x * INCH, 0, z * INCH, side, 45 * INCH, side, on=on, turned=bool(on))


@pytest.fixture
def show() -> Show:
    return Show("gala", (TRUCK,), CASES, date="2027-05-14", units=Units("in", "lb"))


@pytest.fixture
def plan() -> Plan:
    places = (
        _place("AU-001-D", 0),
        _place("AU-002-B", 30),
        _place("AU-003-9", 0, 30, ("AU-001-D",)),
    )
    row = Row(1, 0, 45 * INCH, 30 * INCH, 2, places)
    loaded = VehiclePlan(TRUCK.id, (row,), 45 * INCH, 270_000, 2_100_000, 3_170_000)
    return Plan((loaded,), 45 * INCH, 45 * INCH, proven=True)


def _boxes(text: str) -> dict[str, tuple[float, ...]]:
    """Return the boxes of an SVG by the first word of their titles, as (x, y, width, height)."""
    found = {}
    for box in ET.fromstring(text).iter(f"{SVG}rect"):
        title = box.find(f"{SVG}title")
        if title is not None and title.text:
            sides = tuple(float(box.get(key, "0")) for key in ("x", "y", "width", "height"))
            found[title.text.split(",")[0]] = sides
    return found


def test_every_vehicle_and_row_has_its_file(show: Show, plan: Plan) -> None:
    assert set(draw_plan(show, plan)) == {"T-1-top.svg", "T-1-row-01.svg"}


def test_cases_are_drawn_to_scale_from_the_door(show: Show, plan: Plan) -> None:
    boxes = _boxes(draw_plan(show, plan)["T-1-row-01.svg"])
    per_inch = DOOR_WIDTH / 90
    first, rider = boxes["AU-001-D"], boxes["AU-003-9"]
    assert first[2] == pytest.approx(30 * per_inch, abs=0.01)
    assert boxes["AU-002-B"][0] - first[0] == pytest.approx(30 * per_inch, abs=0.01)
    assert first[1] - rider[1] == pytest.approx(30 * per_inch, abs=0.01)


def test_cases_are_drawn_to_scale_from_above(show: Show, plan: Plan) -> None:
    boxes = _boxes(draw_plan(show, plan)["T-1-top.svg"])
    assert boxes["AU-001-D"][3] == pytest.approx(45 * TOP_WIDTH / 90, abs=0.01)
    assert boxes["wheel box"][2] == pytest.approx(5 * TOP_WIDTH / 90, abs=0.01)


def test_names_cannot_break_the_drawing(show: Show, plan: Plan) -> None:
    assert "box &lt;&amp; truck&gt;" in draw_plan(show, plan)["T-1-top.svg"]


def test_walls_have_names_and_follow_the_driver(show: Show, plan: Plan) -> None:
    text = draw_plan(show, plan)["T-1-row-01.svg"]
    assert text.index("driver side") < text.index("kerb side")


def test_the_sheet_holds_all_that_a_crew_needs_without_a_phone(show: Show, plan: Plan) -> None:
    page = pypdfium2.PdfDocument(plan_pdf(show, plan))[0]
    text = page.get_textpage().get_text_range()
    for code in ("AU-001-D", "^ AU-003-9", "AU-002-B"):
        assert code in text
    for words in ("straps of 2", "straps 2 of 12 on board", "payload left", "slack 30", "chief"):
        assert words in text
    for words in ("Local law", "49 CFR 392.9", "the driver answers"):
        assert words in text


def test_every_page_with_figures_names_their_sources_and_who_decides() -> None:
    demo = parse_show(read_json(DEMO))
    found = solve(demo, seconds=1.0, seed=1)
    document = pypdfium2.PdfDocument(
        plan_pdf(demo, found.best if isinstance(found, NoPlan) else found)
    )
    assert len(document) == len(demo.vehicles)
    for page in document:
        text = page.get_textpage().get_text_range().replace("\r\n", " ")
        # straps, payload and axle loads of the demo's trucks, each with where it comes from
        for words in ("straps: ", "payload: the vehicle's plate", "axles: moments", "49 CFR 393"):
            assert words in text
        for words in ("local law", "ratings on strap and anchor", "the driver decide", "plate"):
            assert words.casefold() in text.casefold()


def test_the_join_code_on_the_sheet_can_be_scanned(show: Show, plan: Plan) -> None:
    url = "https://rowcall.example/join#28V69PYP"
    page = pypdfium2.PdfDocument(plan_pdf(show, plan, url))[0]
    picture = page.render(scale=3).to_pil()
    assert [code.text for code in zxingcpp.read_barcodes(picture)] == [url]


def test_nothing_of_the_sheet_lies_beside_the_paper(show: Show, plan: Plan) -> None:
    (page,) = sheet(show, plan.vehicles[0], "https://rowcall.example/join#28V69PYP")
    for shape in page.shapes:
        assert isinstance(shape, Box | Text | Line)
        xs = (shape.x1, shape.x2) if isinstance(shape, Line) else (shape.x,)
        ys = (shape.y1, shape.y2) if isinstance(shape, Line) else (shape.y,)
        assert all(0 <= x <= page.width for x in xs), shape
        assert all(0 <= y <= page.height for y in ys), shape


def test_pages_break_between_rows_and_hold_every_case_once() -> None:
    """Forty rows of up to nine cases on Letter: more pages, no row is cut."""
    rows = tuple(
        Row(number, number * 100_000, 90_000, 0, 1, tuple(
            Place(f"AU-{number:03}-{n}", n, 0, 0, 1, 1, 1) for n in range(1 + number % 9)))
        for number in range(1, 41)
    )  # fmt: skip
    pages = pages_of(rows, 150.0)
    assert [row.number for page in pages for row in page] == list(range(1, 41))
    assert len(pages) > 2
    assert all(sum(map(row_height, page)) <= 150.0 for page in pages)
    assert pages_of((), 150.0) == [()]


def test_an_empty_vehicle_has_a_sheet_too(show: Show) -> None:
    (page,) = sheet(show, VehiclePlan(TRUCK.id, (), 0, 0))
    assert any(isinstance(shape, Text) and "0 cases" in shape.text for shape in page.shapes)


def test_the_same_scene_gives_the_same_bytes() -> None:
    scene = Scene(50, 50, (Box(1, 1, 5, 5, 0.5), Text(5, 5, "Ω é", 3, most=2)), "t")
    assert to_pdf([scene], "t") == to_pdf([scene], "t")
    assert re.search(r"textLength=.2.", to_svg(scene))
