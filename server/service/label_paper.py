"""What labels are printed on."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LabelPaper:
    """Paper of labels, for which faces of a case, from which free place of a used sheet on.

    `sheet` a4 or letter (four labels), a4_large or letter_large (two), a4_whole or letter_whole
    (one, to be read from afar), or roll (`roll`: its size). `count`: how often each label is
    printed; `contact`: whom to call when a case is found.
    """

    sheet: str = "a4"
    roll: str = ""
    faces: tuple[str, ...] = ("ends", "lid", "side")
    first: int = 1
    count: int = 1
    contact: str = ""
