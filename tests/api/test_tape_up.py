"""Papers to tape up and to hand out: complete, large enough, on the shop's paper."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest

from server.core.base.units import Units
from server.core.crew.show_papers import ShowPapers
from server.core.shop.plan import LeftOut
from server.drawing.driver_sheet import driver_pages
from server.drawing.pdf import A4, LETTER, to_pdf
from server.drawing.pull_list import pull_pages
from server.drawing.scene import Box, Line, Scene, Text
from server.drawing.wall_sheet import READ_AT_1500, wall_pages
from server.service.hand_out import sheets
from server.words import HERE, languages, words_of
from tests.support.app import Bench

BLANK = re.compile(r"\{(\w+)\}")
PAGES = {"wall": wall_pages, "driver": driver_pages, "pull": pull_pages}


@pytest.fixture
def papers(quick: Bench) -> ShowPapers:
    with quick.app.app_context():
        record = quick.ports.plans.get("demo", 1)
        assert record is not None
        homes = {one.case.code: one.case.home for one in quick.ports.fleet.cases()}
    plan = replace(record.plan, left_out=(LeftOut("XX-001-1", "no room"),))
    listed = tuple(sheets(record.show, plan, {}))
    return ShowPapers(record.show, plan, listed, 7, (), homes, "https://rowcall.example/join#ABC")


def words(pages: list[Scene]) -> list[str]:
    return [shape.text for page in pages for shape in page.shapes if isinstance(shape, Text)]


@pytest.mark.parametrize("kind", PAGES)
def test_papers_fit_letter_and_a4_and_say_their_revision(kind: str, papers: ShowPapers) -> None:
    for units, paper in ((Units("in", "lb"), LETTER), (Units("mm", "kg"), A4)):
        show = replace(papers.show, units=units)
        pages = PAGES[kind](replace(papers, show=show))
        assert {(page.width, page.height) for page in pages} == {paper}
        assert any("revision 7" in text for text in words(pages))
        for page in pages:
            for shape in page.shapes:
                if isinstance(shape, Box):
                    assert 0 <= shape.x <= shape.x + shape.width <= page.width + 0.01
                    assert 0 <= shape.y <= shape.y + shape.height <= page.height + 0.01
                elif isinstance(shape, Line):
                    assert 0 <= min(shape.x1, shape.x2) <= max(shape.x1, shape.x2) <= page.width
                elif isinstance(shape, Text):
                    assert 0 < shape.y < page.height
        assert to_pdf(pages, kind).startswith(b"%PDF")


def test_codes_on_the_wall_are_read_at_one_and_a_half_metres(papers: ShowPapers) -> None:
    pages = wall_pages(papers)
    large = [
        shape for page in pages for shape in page.shapes
        if isinstance(shape, Text) and shape.bold and shape.size >= READ_AT_1500
    ]  # fmt: skip
    shown = "".join(shape.text for shape in large)
    codes = [place.code for one in papers.plan.vehicles for place in one.places()]
    readable = [code for code in codes if code in shown]
    assert len(readable) >= 0.95 * len(codes)
    assert {f"Row {row['number']}" for sheet in papers.sheets for row in sheet["rows"]} <= set(
        words(pages)
    )
    assert any("XX-001-1" in text for text in words(pages))
    rows = words([page for page in pages if page.title.endswith("rows drawn")])
    people = [text for text in rows if text.endswith((" people", " person", "by hand", "it first"))]
    assert len(people) == len(codes)  # the figure that keeps backs whole is on every case


def test_the_pull_list_holds_every_case_twice(papers: ShowPapers) -> None:
    listed = words(pull_pages(papers))
    planned = {place.code for one in papers.plan.vehicles for place in one.places()}
    for case in papers.show.cases:
        assert listed.count(case.code) == 1 + (case.code in planned)
    assert "XX-001-1" in listed


def test_a_driver_is_told_what_nobody_weighed_or_read(papers: ShowPapers) -> None:
    first, *others = papers.show.cases
    unknown = tuple(replace(one, payload_g=None, axles=None) for one in papers.show.vehicles)
    show = replace(
        papers.show, cases=(replace(first, mass_g=0), *others), vehicles=unknown, units=Units()
    )
    listed_now = tuple(sheets(show, papers.plan, {}))
    listed = words(driver_pages(replace(papers, show=show, sheets=listed_now)))
    assert sum("1 case not weighed" in text for text in listed) == 1
    assert any("NOT KNOWN: read the plate" in text for text in listed)
    assert any("weigh each axle" in text for text in listed)


def test_every_paper_is_served_and_none_before_a_plan_is_issued(quick: Bench) -> None:
    owner = quick.owner()
    for kind in PAGES:
        answer = owner.get(f"/api/shows/demo/{kind}.pdf")
        assert answer.status_code == 200 and answer.data.startswith(b"%PDF")
        assert owner.get(f"/api/shows/nothing/{kind}.pdf").status_code == 404


@pytest.mark.parametrize("kind", PAGES)
def test_papers_are_in_the_language_of_the_shop(kind: str, papers: ShowPapers) -> None:
    spanish = [
        text for page in PAGES[kind](replace(papers, language="es")) for text in words([page])
    ]
    said = " ".join(spanish).lower()
    assert "revisión 7" in said
    for english in (
        "left out",
        "not known",
        "by the plate",
        "row 1,",
        "of slack",
        "driver's sheet",
    ):
        assert english not in said, english


def test_every_language_has_every_phrase_with_the_same_blanks() -> None:
    files = {one: json.loads((HERE / f"{one}.json").read_text("utf-8")) for one in languages()}
    english = files.pop("en")
    assert files.keys() >= {"es"}
    for phrases in files.values():
        assert phrases.keys() == english.keys()
        for key, phrase in phrases.items():
            assert set(BLANK.findall(phrase)) == set(BLANK.findall(english[key])), key
    assert words_of("xx")("cases", n=1) == "1 case" and words_of("es")("cases", n=2) == "2 cajas"
