"""`python3 server read PHOTO... [--json]`: text, box and symbology of every label in each photo."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from server.labels.reading import PhotoReading, Refused

ALL_READ = 0
NOTHING_IN_SOME = 1
BAD_FILES = 2


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("photos", metavar="PHOTO", nargs="+", type=Path, help="JPEG, PNG or WebP")
    parser.add_argument("--json", action="store_true", help="answer as JSON, one entry a photo")


def run(args: argparse.Namespace) -> int:
    """Read each photo; 1 when one of them showed no label, 2 when a file could not be read."""
    from server.labels.reader import read_photo_file

    answers: list[tuple[Path, PhotoReading | Refused | str]] = []
    for path in args.photos:
        try:
            answers.append((path, read_photo_file(path)))
        except OSError as trouble:
            answers.append((path, f"expected a readable file, got {trouble.strerror}"))
    if args.json:
        print(json.dumps([_as_json(path, answer) for path, answer in answers], indent=1))
    for path, answer in answers:
        _say(path, answer, quiet=args.json)
    if not all(isinstance(answer, PhotoReading) for _, answer in answers):
        return BAD_FILES
    empty = [a for _, a in answers if isinstance(a, PhotoReading) and not a.readings]
    return NOTHING_IN_SOME if empty else ALL_READ


def _as_json(path: Path, answer: PhotoReading | Refused | str) -> dict[str, Any]:
    if isinstance(answer, str):
        return {"photo": str(path), "refused": "not readable", "reason": answer, "readings": []}
    if isinstance(answer, Refused):
        return {
            "photo": str(path),
            "refused": answer.kind,
            "reason": answer.reason,
            "readings": [],
        }
    return {
        "photo": str(path),
        "width": answer.width,
        "height": answer.height,
        "milliseconds": answer.milliseconds,
        "notes": list(answer.notes),
        "readings": [
            {
                "text": reading.text,
                "symbology": reading.symbology,
                "box": [list(corner) for corner in reading.box],
                "reader": reading.reader,
            }
            for reading in answer.readings
        ],
    }


def _say(path: Path, answer: PhotoReading | Refused | str, *, quiet: bool) -> None:
    """Print one photo's labels as text; complaints always go to stderr."""
    if not isinstance(answer, PhotoReading):
        reason = answer if isinstance(answer, str) else answer.reason
        print(f"{path}: {reason}", file=sys.stderr)
        return
    for note in answer.notes:
        print(f"{path}: {note}", file=sys.stderr)
    if quiet:
        return
    if not answer.readings:
        print(f"{path}: no label was read")
    for reading in answer.readings:
        corners = " ".join(f"{x},{y}" for x, y in reading.box)
        print(f"{path}: {reading.symbology} {reading.text!r} at {corners}")
