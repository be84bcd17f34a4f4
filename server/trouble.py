"""The one base of every complaint about input from outside: where, what was expected, what came."""

from __future__ import annotations


class BadInput(Exception):
    """Input that cannot be taken; the message reads `PLACE: expected X, got Y`."""

    def __init__(self, place: str, expected: str, got: object) -> None:
        super().__init__(f"{place}: expected {expected}, got {got}")
        self.place = place
        self.expected = expected
        self.got = got

    def __reduce__(self) -> tuple[type[BadInput], tuple[str, str, object]]:
        """Let the complaint cross a process boundary: planning runs in a process of its own."""
        return type(self), (self.place, self.expected, self.got)
