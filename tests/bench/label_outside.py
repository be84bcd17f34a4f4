"""Outside photos: every folder of images with their expected text beside them."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from tests.bench.label_readers import READERS, Score, try_photo

PHOTOS: Final = frozenset({".png", ".jpg", ".jpeg", ".webp"})
NEGATIVES: Final = "falsepositives"
# Two photos whose text file is not the whole truth. 13: the picture is the same code as 12, and
# every decoder that reads it says "photography", the file "photograph" (README of the set).
# 16: a code inside a code; its text file gives the outer one, the inner is there too.
ODD: Final[dict[str, frozenset[str]]] = {
    "qrcode-2/13": frozenset(
        {"The 2005 USGS aerial photography of the Washington Monument is censored."}
    ),
    "qrcode-2/16": frozenset({"[内側QRコード]\r\n\r\n*ダブルQR*\r\nhttp://d-qr.net/ex/"}),
}


def expected_text(photo: Path) -> str | None:
    """Return the text that belongs to a photo, or None when none is given."""
    for suffix in (".txt", ".bin"):
        beside = photo.with_suffix(suffix)
        if beside.is_file():
            return beside.read_bytes().decode("utf-8", "replace")
    return None


def measure(root: Path) -> dict[str, dict[str, Score]]:
    """Return folder → reader → score; folders named as negatives must stay unread."""
    table: dict[str, dict[str, Score]] = {}
    folders = sorted({photo.parent for photo in root.rglob("*") if photo.suffix in PHOTOS})
    for folder in folders:
        row = {name: Score() for name in READERS}
        for photo in sorted(path for path in folder.iterdir() if path.suffix in PHOTOS):
            text = expected_text(photo)
            if text is None and NEGATIVES not in folder.name:
                continue  # nobody says what is in it: it cannot be judged
            key = f"{folder.name}/{photo.stem}"
            due = set() if text is None else {text}
            also = ODD.get(key, frozenset())
            for name, read in READERS.items():
                row[name].add(try_photo(key, photo.read_bytes(), read, due, also))
        table[folder.name] = row
    return table
