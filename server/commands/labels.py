"""`python3 server labels CODES... -o FILE`: labels as PDF or SVG, and a page to prove a printer."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, get_args

from server.core.shop.case_code import BadCode, CaseCode, Refused
from server.core.shop.numbering import WARNING, OwnNumbering
from server.labels.label_case import Copy, LabelCase, label_case
from server.trouble import BadInput

if TYPE_CHECKING:
    from server.labels.sheet import Sheet

LONGEST_CODE = 24  # more letters would print too small to be read from 2 m


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "codes", metavar="CODE", nargs="*", help="such as PW-031-7; none: all of --show"
    )
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="FILE.pdf|FILE.svg")
    parser.add_argument("--sheet", choices=("a4", "letter", "roll"), default="a4")
    parser.add_argument("--roll", metavar="WxH", help="size of a roll's label in mm (102x152)")
    parser.add_argument("--large", action="store_true", help="two labels a sheet instead of four")
    parser.add_argument("--whole", action="store_true", help="one label a sheet, for 3 m and more")
    parser.add_argument("--copies", default="ends,lid,side", help="out of ends,lid,side")
    parser.add_argument("--first", type=int, default=1, help="first free place of a used sheet")
    parser.add_argument("--show", type=Path, metavar="SHOW.json", help="where the details stand")
    parser.add_argument("--pattern", help="the owner's own numbering: # digit, @ letter, * either")
    parser.add_argument("--owner", default="", help="small line: whom to call when it is found")
    parser.add_argument("--test-page", action="store_true", help="a page that proves the printer")


def run(args: argparse.Namespace) -> int:
    """Draw the labels and write the file; say from how far they can be read."""
    from server.labels.draw import READ_FROM_M, read_distance_m
    from server.labels.sheet import jobs, print_pdf, print_svg

    svg = _is_svg(args.output)
    paper = _paper(args)
    if args.test_page:
        return _write_test_page(args.output, paper, svg=svg)
    cases = _cases(args)
    work = jobs(cases, _copies(args.copies))
    printed = (print_svg if svg else print_pdf)(work, paper, args.first)
    files = _write(args.output, printed.svg if svg else [printed.pdf])
    distance = read_distance_m(printed.module_mm)
    print(f"{len(work)} labels, {len(cases)} cases: {', '.join(map(str, files))}")
    print(f"Each can be read from {distance:.1f} m (a module is {printed.module_mm:.2f} mm).")
    if distance < READ_FROM_M:
        print(f"This paper is too small to be read from {READ_FROM_M:g} m.", file=sys.stderr)
    return 0


def _is_svg(output: Path) -> bool:
    suffix = output.suffix.lower()
    if suffix not in {".pdf", ".svg"}:
        raise BadInput("output", "a file name ending in .pdf or .svg", repr(str(output)))
    return suffix == ".svg"


def _paper(args: argparse.Namespace) -> Sheet:
    from server.labels.sheet import ROLL_DEFAULT, roll_size, sheet

    if args.large and args.whole:
        raise BadInput("size", "one of --large and --whole", "both")
    if args.roll and args.sheet != "roll":
        raise BadInput("roll", "--sheet roll beside a roll's size", args.sheet)
    size = roll_size(args.roll) if args.roll else ROLL_DEFAULT
    return sheet(args.sheet, large=args.large, whole=args.whole, roll=size)


def _copies(text: str) -> list[Copy]:
    known: tuple[Copy, ...] = get_args(Copy)
    named = [word.strip() for word in text.split(",")]
    chosen: list[Copy] = [copy for copy in known if copy in named]
    unknown = [word for word in named if word not in known]
    if unknown or not chosen:
        raise BadInput("copies", "some of ends,lid,side", repr(text))
    return chosen


def _cases(args: argparse.Namespace) -> list[LabelCase]:
    """Return the cases to label, with their details where a show file gives them."""
    codes: Sequence[str] = [str(code).strip().upper() for code in args.codes]
    details: dict[str, LabelCase] = {}
    if args.show is not None:
        from server.files.show_file import read_show

        show = read_show(args.show)
        details = {case.code: label_case(case, show.units, args.owner) for case in show.cases}
        codes = codes or list(details)
    if not codes:
        raise BadInput("codes", "at least one code, or --show with cases", "none")
    if len(set(codes)) < len(codes):
        raise BadInput("codes", "every code once", "one more than once")
    for code in codes:
        if details and code not in details:
            raise BadInput(code, f"a case of {args.show}", "none of that code")
    unprotected = [code for code in codes if not _checked(code, args.pattern)]
    if unprotected:
        print(f"{', '.join(unprotected[:5])}: {WARNING}", file=sys.stderr)
    return [details.get(code, LabelCase(code, owner=args.owner)) for code in codes]


def _checked(code: str, pattern: str | None) -> bool:
    """Say whether a code has a check character that holds; BadInput when it has a wrong one."""
    if not code.isprintable() or not code.isascii() or len(code) > LONGEST_CODE:
        raise BadInput("code", f"up to {LONGEST_CODE} plain letters, digits and signs", repr(code))
    if pattern is not None:
        try:
            answer = OwnNumbering(pattern).canonical(code)
        except BadCode as trouble:
            raise BadInput("pattern", trouble.expected, trouble.got) from trouble
        if isinstance(answer, Refused):
            raise BadInput(code, f"a code of the numbering {pattern}", "another form")
        return False
    parts = code.split("-")
    if len(parts) != 3 or not parts[0].isalpha() or not parts[1].isdigit() or len(parts[2]) != 1:
        return False
    try:
        right = CaseCode(parts[0], int(parts[1]))
    except BadCode as trouble:
        raise BadInput(code, trouble.expected, trouble.got) from trouble
    if str(right) != code:
        raise BadInput(code, f"the code with its check character, {right}", f"{code}")
    return True


def _write_test_page(output: Path, paper: Sheet, *, svg: bool) -> int:
    from server.labels.testpage import printer_page_pdf, printer_page_svg

    page = printer_page_svg(paper.page) if svg else printer_page_pdf(paper.page)
    files = _write(output, [page])
    print(f"Printer test page: {files[0]}")
    return 0


def _write(output: Path, pages: Sequence[str | bytes]) -> list[Path]:
    """Write the pages; SVG pages after the first are numbered FILE-2.svg and so on."""
    files = [output]
    files += [output.with_stem(f"{output.stem}-{n}") for n in range(2, len(pages) + 1)]
    for file, page in zip(files, pages, strict=True):
        file.write_bytes(page if isinstance(page, bytes) else page.encode())
    return files
