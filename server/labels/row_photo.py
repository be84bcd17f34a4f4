"""A photo of a whole row against what the plan says: seen, not seen, not belonging, unknown."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from server.core.shop.case_code import CHECKED, Numbering, Refused, accept
from server.labels.reading import Box, Reading


@dataclass(frozen=True, slots=True)
class SeenCase:
    """A case in the photo and where its labels are: a case may show several."""

    code: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class UnknownLabel:
    """A label that does not count as any case, and why."""

    text: str
    box: Box
    reason: str


@dataclass(frozen=True, slots=True)
class RowPhoto:
    """The answer to: is this row what it should be? Codes in the order of the plan, then sorted."""

    seen: tuple[SeenCase, ...]
    not_seen: tuple[str, ...]
    not_belonging: tuple[SeenCase, ...]
    unknown: tuple[UnknownLabel, ...]

    @property
    def complete(self) -> bool:
        return not self.not_seen and not self.not_belonging


def row_photo(
    readings: Sequence[Reading],
    due_codes: Sequence[str],
    known_codes: Collection[str],
    numbering: Numbering = CHECKED,
) -> RowPhoto:
    """Compare the labels read in a photo with the row's due cases.

    `known_codes` are the fleet's and the show's codes; due codes count as known. A reading whose
    check fails or whose code nobody knows is listed apart and never counted.
    """
    known = set(known_codes) | set(due_codes)
    boxes: dict[str, list[Box]] = {}
    unknown: list[UnknownLabel] = []
    for reading in readings:
        answer = accept(reading.text, known, numbering)
        if isinstance(answer, Refused):
            unknown.append(UnknownLabel(reading.text, reading.box, answer.reason))
        else:
            boxes.setdefault(answer.code, []).append(reading.box)
    due = tuple(dict.fromkeys(due_codes))
    others = sorted(set(boxes) - set(due))
    return RowPhoto(
        seen=tuple(SeenCase(code, tuple(boxes[code])) for code in due if code in boxes),
        not_seen=tuple(code for code in due if code not in boxes),
        not_belonging=tuple(SeenCase(code, tuple(boxes[code])) for code in others),
        unknown=tuple(unknown),
    )
