"""`python3 tests typeface PACKAGE FOLDER`: make the files of the typeface anew.

The packages, their versions and their licences stand in server/typeface/README.md.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Final

from fontTools import subset
from fontTools.ttLib import TTFont

from server.bootstrap.places import ROOT, say

SERVER: Final = ROOT / "server" / "typeface"
CLIENT: Final = ROOT / "pwa" / "src" / "typeface"
FAMILY: Final = "Rowcall Sans"
STYLES: Final = ("Regular", "Bold")
# Latin, Latin-1, Latin Extended-A and -B (part), Vietnamese, punctuation, currency, arrows, maths.
LATIN: Final = (
    (0x20, 0x7E), (0xA0, 0x24F), (0x2BB, 0x2DD), (0x300, 0x338), (0x1E00, 0x1EFF),
    (0x2000, 0x206F), (0x20A0, 0x20BF), (0x2122, 0x2122), (0x2190, 0x2199), (0x2212, 0x2265),
    (0x25A0, 0x25FF),
)  # fmt: skip
EVERYTHING: Final = ((0x20, 0xFFFF),)
FEATURES: Final = ["kern", "ccmp", "locl", "mark", "mkmk"]
COPYRIGHT, UNIQUE, LICENCE, LICENCE_URL = 0, 3, 13, 14


def main(words: Sequence[str]) -> int:
    """Write the files from the unpacked packages; return the exit status."""
    if len(words) != 2 or not all(Path(word).is_dir() for word in words):
        say("usage: python3 tests typeface PACKAGE FOLDER (see server/typeface/README.md)")
        return 2
    package, others = map(Path, words)
    japanese, chinese, korean = (charset(name) for name in ("euc_jp", "gb2312", "euc_kr"))
    half_width = set(range(0xFF61, 0xFFA0))
    fallback(others / "noto-sans-jp", "JP", japanese | half_width)
    fallback(others / "noto-sans-sc", "SC", chinese - japanese)
    fallback(others / "noto-sans-kr", "KR", korean & set(range(0xAC00, 0xD7A4)))
    own_face(package, SERVER, CLIENT)
    return 0


def own_face(package: Path, server: Path, client: Path) -> None:
    """Write the four files of our own face from the two of its package."""
    for style in STYLES:
        source = package / f"fonts/complete/woff2/IBMPlexSansCondensed-{style}.woff2"
        cut(source, style, EVERYTHING, server / f"RowcallSans-{style}.ttf")
        cut(source, style, LATIN, client / f"rowcall-sans-{style.lower()}.woff2")


def cut(source: Path, style: str, ranges: tuple[tuple[int, int], ...], to: Path) -> None:
    """Write a subset in which the digit zero is the slashed one and the name is ours."""
    font = TTFont(source, recalcTimestamp=False)
    slash_zero(font)
    options = subset.Options(layout_features=FEATURES, name_IDs=["*"], hinting=False)
    options.flavor = "woff2" if to.suffix == ".woff2" else None
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[code for first, last in ranges for code in range(first, last + 1)])
    cutter.subset(font)
    rename(font, style)
    subset.save_font(font, to, options)


def charset(encoding: str) -> set[int]:
    """Return the signs of a national standard: its 94 x 94 plane, as the codec has it."""
    found = set()
    for first in range(0xA1, 0xFF):
        for second in range(0xA1, 0xFF):
            with suppress(UnicodeDecodeError):
                text = bytes((first, second)).decode(encoding)
                found |= {ord(text)} if len(text) == 1 else set()
    return found


def fallback(package: Path, script: str, signs: set[int]) -> None:
    """Write the signs of one script, in the regular weight, under a name of this project."""
    source = next((package / "package" / "400Regular").glob("*.ttf"))
    font = TTFont(source, recalcTimestamp=False)
    options = subset.Options(layout_features=[], name_IDs=["*"], hinting=False)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=signs)
    cutter.subset(font)
    rename(font, script)
    subset.save_font(font, SERVER / f"RowcallSans-{script}.ttf", options)


def slash_zero(font: TTFont) -> None:
    """Let every zero be the slashed form, which no letter O can be taken for."""
    for table in font["cmap"].tables:
        if 0x30 in table.cmap:
            table.cmap[0x30] = "zero.alt02"


def rename(font: TTFont, style: str) -> None:
    """Give the names of this project; the licence reserves the original one."""
    names = font["name"]
    for record in list(names.names):
        if record.nameID not in {COPYRIGHT, LICENCE, LICENCE_URL}:
            names.removeNames(nameID=record.nameID)
    post = f"{FAMILY.replace(' ', '')}-{style}"
    ours = {1: FAMILY, 2: style, UNIQUE: post, 4: f"{FAMILY} {style}", 5: "Version 1.000", 6: post}
    for number, text in ours.items():
        names.setName(text, number, 3, 1, 0x409)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
