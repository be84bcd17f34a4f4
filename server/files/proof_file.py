"""Proof files, format rowcall-proof-1: claims about a show and their whole numbers."""

from __future__ import annotations

import hashlib
import json
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from server.core.proof.check import Claim, Duals
from server.files.errors import bad_input
from server.trouble import BadInput

Whole = Annotated[int, Field(ge=0, le=10**30, strict=True)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class ClaimModel(_Strict):
    """One claim; lengths in whole micrometres."""

    kind: Literal["at least", "shortest", "cannot load", "fewest left", "least mass left"]
    floor_um: Whole = 0
    vehicles: Whole = 0
    codes: list[str] = Field(default_factory=list)


class LidsModel(_Strict):
    """Prices of lids by drop: a square millimetre, a gram of what stands on them."""

    area: dict[str, Whole]
    mass: dict[str, Whole]


class ProofModel(_Strict):
    """A proof file; `show` is the SHA-256 of the show file's JSON with sorted keys."""

    format: Literal["rowcall-proof-1"]
    show: str
    scale: Annotated[int, Field(ge=1, le=10**12, strict=True)]
    values: dict[str, Whole]
    lids: LidsModel
    claims: list[ClaimModel]


def show_digest(document: Any) -> str:
    """Return the digest of a show document, whatever the order of its keys and its blanks."""
    text = json.dumps(document, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def write_proof(claims: tuple[Claim, ...], duals: Duals, digest: str) -> dict[str, Any]:
    """Return a proof document; values of zero are left out."""
    return {
        "format": "rowcall-proof-1",
        "show": digest,
        "scale": duals.scale,
        "values": {code: value for code, value in duals.values.items() if value},
        "lids": {
            "area": {str(drop): price for drop, price in duals.area.items() if price},
            "mass": {str(drop): price for drop, price in duals.mass.items() if price},
        },
        "claims": [
            {
                "kind": claim.kind,
                **({"floor_um": claim.floor_um} if claim.floor_um else {}),
                **({"vehicles": claim.vehicles} if claim.vehicles else {}),
                **({"codes": list(claim.codes)} if claim.codes else {}),
            }
            for claim in claims
        ],
    }


def parse_proof(document: object, digest: str, place: str) -> tuple[tuple[Claim, ...], Duals]:
    """Return claims and dual values; BadInput where the file is none or of another show."""
    try:
        model = ProofModel.model_validate(document)
    except ValidationError as error:
        raise bad_input(place, error) from error
    if model.show != digest:
        raise BadInput(f"{place}: show", f"the digest of this show ({digest[:12]}...)",
                       model.show[:12])  # fmt: skip
    claims = tuple(
        Claim(one.kind, one.floor_um, one.vehicles, tuple(one.codes)) for one in model.claims
    )
    return claims, Duals(
        model.scale,
        model.values,
        _by_drop(model.lids.area, f"{place}: lids.area"),
        _by_drop(model.lids.mass, f"{place}: lids.mass"),
    )


def _by_drop(prices: dict[str, int], place: str) -> dict[int, int]:
    for drop in prices:
        if not drop.isdecimal() or not drop.isascii():
            raise BadInput(place, "numbers of drops", drop[:20])
    return {int(drop): price for drop, price in prices.items()}
