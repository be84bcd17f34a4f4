"""What a screen must say beside a figure that can hurt: who decides, in the crew's language.

The wording is ours; what has to be in it (local law, plates and ratings, competent persons) is
asked by issue 4.
"""

from __future__ import annotations

import re
from typing import Final

from playwright.sync_api import Page

# people, straps, masses and slopes, as the words of each language say them
FIGURES: Final = {
    "en": re.compile(
        r"\b\d+ (person|people|to lift|straps?)\b|[Ss]traps: \d|\d (lb|kg)\b|\b1 in \d"
    ),
    "es": re.compile(r"\b\d+ (personas?|correas?)\b|[Cc]orreas: \d|levanta\w* \d|\d (lb|kg)\b"),
}
DEFERRAL: Final = {
    "en": (r"local law", r"plate|rating|guidance", r"competent person|driver|crew chief"),
    "es": (r"ley del lugar", r"placa|límite|orientativa", r"competente|conductor|dirige"),
}
# screens on which a figure stands, so that the search above cannot come to nothing
WITH_FIGURES: Final = frozenset(
    {"next", "answer-right", "strap-now", "rows", "row", "case", "briefing", "vehicles", "hands"}
)
# what is signed says so in any case
ALWAYS: Final = frozenset({"release-held", "release-ready", "released"})
# a mass that stands on the label of a case, entered or read, is no figure of ours
LABEL_ONLY: Final = frozenset({"add"})


def shown(page: Page) -> str:
    """Return what can be read: of the answer where one lies over the screen."""
    over = page.locator("[data-answer]")
    return (over if over.count() else page.locator("body")).inner_text()


def lacking_words(page: Page, name: str, language: str) -> list[str] | None:
    """Return which words a screen lacks beside its figure; None where no figure stands."""
    found = FIGURES[language].search(shown(page))
    if name in LABEL_ONLY or not (found or name in ALWAYS):
        return None
    cautions = " ".join(page.locator(".caution:visible").all_inner_texts())
    what = found[0] if found else "what is signed"
    lacks = [one for one in DEFERRAL[language] if not re.search(one, cautions, re.IGNORECASE)]
    return [f"{name} shows {what!r} without {word}" for word in lacks]
