"""Interchangeable cases as types, and multisets of cases as whole numbers in a mixed radix."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from server.core.shop.case import Case

State = int  # a multiset of cases: how many of each type, as digits


@dataclass(frozen=True)
class CaseTypes:
    """The cases of a task by type; two cases of one type may stand for each other everywhere."""

    members: tuple[tuple[Case, ...], ...]

    @classmethod
    def of(cls, cases: Sequence[Case]) -> CaseTypes:
        """Group cases that no rule tells apart."""
        named = {code for case in cases for code in case.named}
        groups: dict[Case, list[Case]] = {}
        for case in cases:
            key = replace(
                case, code=case.code if case.code in named else "", name="", department="", home=""
            )
            groups.setdefault(key, []).append(case)
        return cls(tuple(tuple(group) for group in groups.values()))

    @cached_property
    def radix(self) -> tuple[int, ...]:
        """Number of values of each digit."""
        return tuple(len(group) + 1 for group in self.members)

    @cached_property
    def strides(self) -> tuple[int, ...]:
        """What one case of each type adds to a state."""
        found, stride = [], 1
        for base in self.radix:
            found.append(stride)
            stride *= base
        return tuple(found)

    @cached_property
    def states(self) -> int:
        """Number of multisets."""
        return self.full + 1

    @cached_property
    def full(self) -> State:
        """Every case."""
        return sum(len(g) * s for g, s in zip(self.members, self.strides, strict=True))

    @cached_property
    def pairs(self) -> int:
        """Number of pairs of a multiset and a part of it: the work of the programme."""
        total = 1
        for base in self.radix:
            total *= base * (base + 1) // 2
        return total

    def digits(self, state: State) -> tuple[int, ...]:
        """Return how many of each type a state holds."""
        return self._digits[state]

    @cached_property
    def _digits(self) -> list[tuple[int, ...]]:
        # The first digit varies fastest.
        ranges = [range(base) for base in reversed(self.radix)]
        return [tuple(reversed(digits)) for digits in product(*ranges)]

    def parts(self, state: State) -> Iterator[State]:
        """Yield every multiset inside a state, the empty one and the state itself included."""
        found = [0]
        for count, stride in zip(self.digits(state), self.strides, strict=True):
            if count:
                found = [one + n * stride for n in range(count + 1) for one in found]
        return iter(found)

    def cases(self, state: State) -> Iterator[Case]:
        """Yield the first members of each type that a state holds."""
        for count, group in zip(self.digits(state), self.members, strict=True):
            yield from group[:count]
