"""What a workbook says beside its cells: names of sheets, shared texts, formats of numbers."""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from typing import IO, Final
from xml.parsers import expat

MOST_TEXTS: Final = 2_000_000
_RELS: Final = "xl/_rels/workbook.xml.rels"
# ECMA-376 part 1, 18.8.30: identifiers of the date and time formats that every program knows.
_DATES: Final = frozenset({*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)})
_ASIDE: Final = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.')
_WORDS: Final = re.compile(r'"([^"]*)"|\\(.)')
_ZEROS: Final = re.compile(r"0+")

Start = Callable[[str, dict[str, str]], None]


class Trap(Exception):
    """A part declares a document type, and with it entities that may grow without end."""


@dataclass(frozen=True, slots=True)
class Style:
    """How a number is shown: as a date, with zeros in front, with words behind it."""

    date: bool = False
    digits: int = 0
    words: str = ""


@dataclass(frozen=True, slots=True)
class Parts:
    """`sheets`: name, whether it is hidden, its part ("" for a chart); `styles` by cell format."""

    sheets: tuple[tuple[str, bool, str], ...]
    texts: tuple[str, ...]
    styles: tuple[Style, ...]
    since_1904: bool


def walk(
    source: IO[bytes],
    start: Start,
    end: Callable[[str], None] | None = None,
    text: Callable[[str], None] | None = None,
) -> None:
    """Parse a part; names come without their namespace."""
    parser = expat.ParserCreate()
    parser.buffer_text = True
    bare: dict[str, str] = {}

    def name_of(name: str) -> str:
        if name not in bare:
            bare[name] = name.rpartition(":")[2]
        return bare[name]

    def no_type(name: str, *_: object) -> None:
        raise Trap(name)

    parser.StartDoctypeDeclHandler = no_type
    parser.StartElementHandler = lambda name, found: start(name_of(name), found)
    if end is not None:
        ended = end
        parser.EndElementHandler = lambda name: ended(name_of(name))
    if text is not None:
        parser.CharacterDataHandler = text
    parser.ParseFile(source)


def parts_of_book(packed: zipfile.ZipFile) -> Parts:
    """Return what a workbook says beside its cells."""
    found: list[tuple[str, bool, str]] = []
    since: list[bool] = []

    def start(name: str, said: dict[str, str]) -> None:
        if name == "workbookPr":
            since.append(said.get("date1904") in {"1", "true"})
        elif name == "sheet":
            key = next((v for k, v in said.items() if k.rpartition(":")[2] == "id"), "")
            hidden = said.get("state", "visible") != "visible"
            found.append((said.get("name", ""), hidden, key))

    with packed.open("xl/workbook.xml") as source:
        walk(source, start)
    paths = _paths(packed)
    sheets = tuple((name, hidden, paths.get(key, "")) for name, hidden, key in found)
    return Parts(sheets, _texts(packed), _styles(packed), any(since))


def _paths(packed: zipfile.ZipFile) -> dict[str, str]:
    """Return where each sheet of cells is kept."""
    found: dict[str, str] = {}
    names = set(packed.namelist())

    def start(name: str, said: dict[str, str]) -> None:
        if name == "Relationship" and said.get("Type", "").endswith("/worksheet"):
            target = said.get("Target", "")
            path = posixpath.normpath(posixpath.join("/xl", target)).lstrip("/")
            if path in names:
                found[said.get("Id", "")] = path

    if _RELS in names:
        with packed.open(_RELS) as source:
            walk(source, start)
    return found


def _texts(packed: zipfile.ZipFile) -> tuple[str, ...]:
    """Return the texts that cells refer to, without the reading aids of East Asian ones."""
    path = next((n for n in packed.namelist() if n.lower() == "xl/sharedstrings.xml"), None)
    if path is None:
        return ()
    texts: list[str] = []
    pieces: list[str] = []
    inside = {"t": 0, "rPh": 0}

    def start(name: str, _: dict[str, str]) -> None:
        if name in inside:
            inside[name] += 1
        elif name == "si":
            pieces.clear()

    def end(name: str) -> None:
        if name in inside:
            inside[name] -= 1
        elif name == "si":
            if len(texts) >= MOST_TEXTS:
                raise ValueError("too many texts")
            texts.append("".join(pieces))

    def text(said: str) -> None:
        if inside["t"] and not inside["rPh"]:
            pieces.append(said)

    with packed.open(path) as source:
        walk(source, start, end, text)
    return tuple(texts)


def _styles(packed: zipfile.ZipFile) -> tuple[Style, ...]:
    """Return how each cell format shows a number."""
    if "xl/styles.xml" not in packed.namelist():
        return ()
    codes: dict[str, str] = {}
    used: list[str] = []
    inside = [False]

    def start(name: str, said: dict[str, str]) -> None:
        if name == "numFmt":
            codes[said.get("numFmtId", "")] = said.get("formatCode", "")
        elif name == "cellXfs":
            inside[0] = True
        elif name == "xf" and inside[0]:
            used.append(said.get("numFmtId", "0"))

    def end(name: str) -> None:
        if name == "cellXfs":
            inside[0] = False

    with packed.open("xl/styles.xml") as source:
        walk(source, start, end)
    return tuple(_style(number, codes.get(number, "")) for number in used)


def _style(number: str, code: str) -> Style:
    if not code:
        return Style(date=number.isdigit() and int(number) in _DATES)
    shown = code.split(";", maxsplit=1)[0]
    bare = _ASIDE.sub("", shown).lower()
    if "general" not in bare and any(sign in bare for sign in "ymdhs"):
        return Style(date=True)
    if _ZEROS.fullmatch(shown):
        return Style(digits=len(shown))
    words = " ".join("".join(one) for one in _WORDS.findall(shown)).strip()
    return Style(words=words if any(s.isalpha() or s in "\"'#" for s in words) else "")
