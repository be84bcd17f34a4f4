"""Several batches of facts, one commit: the disk, not the processor, bounds a night.

Whoever waits for the writer's turn leaves its work in a queue; the one whose turn it is does all
that waits in one transaction (on PostgreSQL, too, the phones of a show wait for its row until the
commit), the work of one show in one go. Nobody hears of success before the commit that holds its
facts. Where one piece of work fails, nothing of the group is kept, and each is done again alone.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from itertools import groupby
from typing import Final, Generic, TypeVar

from server.store.db import writing

Item = TypeVar("Item")
Result = TypeVar("Result")
MOST: Final = 50


class _Piece(Generic[Item, Result]):
    """One piece of work and what became of it."""

    def __init__(self, key: str, item: Item) -> None:
        self.key = key
        self.item = item
        self.results: list[Result] = []
        self.error: BaseException | None = None

    @property
    def done(self) -> bool:
        return bool(self.results) or self.error is not None


class GroupCommit(Generic[Item, Result]):
    """The queue of one process; `work` does all items of one key and returns a result for each."""

    def __init__(self, work: Callable[[str, Sequence[Item]], Sequence[Result]]) -> None:
        self._work = work
        self._queue: list[_Piece[Item, Result]] = []
        self._queueing = threading.Lock()
        self._turn = threading.Lock()

    def run(self, key: str, item: Item) -> Result:
        """Do a piece of work in a write transaction; return once it is committed.

        Work of one transaction is done in the order of its keys: two processes that lock the rows
        of several shows never wait for each other in a circle.
        """
        mine = _Piece[Item, Result](key, item)
        with self._queueing:
            self._queue.append(mine)
        with self._turn:
            while not mine.done:
                with self._queueing:
                    group, self._queue = self._queue[:MOST], self._queue[MOST:]
                self._commit(group)
        if mine.error is not None:
            raise mine.error
        return mine.results[0]

    def _commit(self, group: list[_Piece[Item, Result]]) -> None:
        try:
            self._do(group)
        except Exception:  # noqa: BLE001  (whoever's it is will meet it again, alone)
            for piece in group:
                self._alone(piece)
        except BaseException as error:  # the process is leaving: nobody may wait for ever
            for piece in group:
                piece.error = error
            raise

    def _do(self, group: list[_Piece[Item, Result]]) -> None:
        ends: list[tuple[_Piece[Item, Result], Result]] = []
        with writing():
            ordered = sorted(group, key=lambda piece: piece.key)
            for key, pieces in groupby(ordered, key=lambda piece: piece.key):
                same = list(pieces)
                results = self._work(key, [piece.item for piece in same])
                ends += zip(same, results, strict=True)
        # Only here it is on the disk.
        for piece, result in ends:
            piece.results = [result]

    def _alone(self, piece: _Piece[Item, Result]) -> None:
        try:
            self._do([piece])
        except Exception as error:  # noqa: BLE001  (raised where the work came from)
            piece.error = error
