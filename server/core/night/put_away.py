"""Put-away: what goes back to which home, and what never came back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from server.core.crew.bundle import Bundle
from server.core.night.house_state import Damage
from server.core.night.state import HomeCase, HomeList, Leg


def put_away_by_home(
    bundle: Bundle, damaged: Mapping[str, Damage], legs: Iterable[Leg]
) -> tuple[HomeList, ...]:
    """Return every case that comes back, by its home in the shop, in walking order."""
    homes: dict[str, list[HomeCase]] = {}
    for leg in legs:
        for code in leg.due:
            card = bundle.cases.get(code)
            said = leg.marks.get(code)
            away = said is not None and said.did == "off"
            one = HomeCase(code, away, is_damaged(bundle, damaged, code), said)
            homes.setdefault(card.home if card else "", []).append(one)
    return tuple(
        HomeList(home, tuple(sorted(homes[home], key=lambda one: one.code)))
        for home in as_walked(homes, bundle.homes)
    )


def as_walked(homes: Iterable[str], walked: Sequence[str]) -> list[str]:
    """Return homes in walking order: those that the owner named first, then A2 before A10."""
    place = {home: at for at, home in enumerate(walked)}

    def key(home: str) -> tuple[int, str, str]:
        numbered = re.sub("[0-9]+", lambda found: found[0].zfill(12), home)
        return place.get(home, len(place)), numbered, home

    return sorted(homes, key=key)


def is_damaged(bundle: Bundle, damaged: Mapping[str, Damage], code: str) -> bool:
    """Return whether a case is damaged by its card or by what was said tonight."""
    card = bundle.cases.get(code)
    return code in damaged or (card is not None and card.state != "good")


def not_back(load_out: Iterable[Leg], put_away: Iterable[Leg]) -> tuple[str, ...]:
    """Return what was due to come back and stands on no vehicle, or never arrived.

    Swapped cases and those sent on another vehicle are accounted for elsewhere.
    """
    elsewhere = {"swapped", "other_vehicle"}
    codes = {
        one.code
        for leg in load_out
        if leg.on
        for one in leg.not_on
        if one.stands_on is None and one.status not in elsewhere
    }
    for leg in put_away:
        codes |= {code for code, one in leg.excused.items() if one.why == "never_came"}
    return tuple(sorted(codes))
