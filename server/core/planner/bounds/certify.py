"""Certificate of an answer: every claim about it that the checker itself has accepted."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from server.core.planner.bounds.certificate import area_duals, find_duals
from server.core.planner.problem.answer import NoPlan, WayOut
from server.core.proof.check import Claim, Duals, NotProven, check, floor_bound
from server.core.proof.relaxation import Relaxation
from server.core.shop.plan import Plan
from server.core.shop.show import Show

LEFT = {"fewest cases": "fewest left", "least mass": "least mass left"}


@dataclass(frozen=True, slots=True)
class Certificate:
    """Claims that the dual values prove."""

    claims: tuple[Claim, ...]
    duals: Duals

    def shows(self, kind: str) -> bool:
        """Return whether a claim of this kind is among those proven."""
        return any(claim.kind == kind for claim in self.claims)


def certify(show: Show, answer: Plan | NoPlan, stop: Callable[[], bool]) -> Certificate:
    """Return a certificate of an answer; where nothing is proven it has no claims."""
    relaxation = Relaxation(show)
    duals = Duals(1, {}, {}, {})
    if relaxation.items:
        ways = (find_duals(relaxation, stop), area_duals(relaxation))
        duals = max(ways, key=lambda one: _bound(relaxation, one))
    kept = []
    for claim in _claims(answer, _bound(relaxation, duals)):
        try:
            check(show, claim, duals)
        except NotProven:
            continue
        kept.append(claim)
    return Certificate(tuple(kept), duals)


def _bound(relaxation: Relaxation, duals: Duals) -> int:
    """Return the bound that dual values prove; zero where they prove none."""
    try:
        return floor_bound(relaxation, duals)
    except NotProven:
        return 0


def _claims(answer: Plan | NoPlan, bound: int) -> Iterator[Claim]:
    if bound:
        yield Claim("at least", bound)
    if isinstance(answer, Plan):
        yield Claim("shortest", answer.floor_length_um, len(answer.vehicles))
        return
    yield Claim("cannot load")
    for way in answer.ways_out:
        if way.codes and way.by in LEFT:
            yield Claim(LEFT[way.by], codes=way.codes)


def with_certificate(answer: Plan | NoPlan, certificate: Certificate) -> Plan | NoPlan:
    """Return the answer that calls proven only what the certificate proves."""
    if isinstance(answer, Plan):
        shortest = certificate.shows("shortest")
        bound = answer.floor_length_um if shortest else answer.lower_bound_um
        return replace(answer, proven=shortest, lower_bound_um=bound)

    def way_out(way: WayOut) -> WayOut:
        claim = Claim(LEFT.get(way.by, ""), codes=way.codes)
        return replace(way, proven=way.proven and claim in certificate.claims)

    ways = tuple(way_out(way) for way in answer.ways_out)
    return replace(answer, proven=certificate.shows("cannot load"), ways_out=ways)
