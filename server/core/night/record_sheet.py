"""Record sheet: all that the paper of a night is made of."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from server.core.night.house_state import State
from server.core.shop.plan import Plan
from server.core.shop.show import Show

Drawing = tuple[str, str, str]
"""Role and name of a signer, and the signature as SVG path data."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """One night for paper: plan, state and words; `head` is the digest over all its events.

    `checks` and `walk` turn ids into words, `when` a phone's ms since 1970 into a time people
    read, `drawings` an event into what its signers drew, `photos` a photo's id into its bytes.
    `key`: the fingerprint of the key that seals the record.
    """

    show: Show
    plan: Plan
    state: State
    head: str
    checks: Mapping[str, str]
    walk: Mapping[str, str]
    when: Callable[[int], str]
    drawings: Mapping[str, tuple[Drawing, ...]] = field(default_factory=dict)
    photos: Mapping[str, bytes] = field(default_factory=dict)
    key: str = ""
