"""Several batches of facts, one commit: the disk, not the processor, bounds a night.

Whoever waits for the writer's turn leaves its work in a queue; the one whose turn it is does all
that waits in one transaction (on PostgreSQL, too, the phones of a show wait for its row until the
commit). Nobody hears of success before the commit that holds its facts. Where
one piece of work fails, nothing of the group is kept, and each piece is done again by itself.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, Final, TypeVar

from server.store.db import writing

T = TypeVar("T")
MOST: Final = 50


class _Piece:
    """One piece of work and what became of it."""

    def __init__(self, key: str, work: Callable[[], Any]) -> None:
        self.key = key
        self.work = work
        self.done = False
        self.result: Any = None
        self.error: BaseException | None = None


class GroupCommit:
    """The queue of one process."""

    def __init__(self) -> None:
        self._queue: list[_Piece] = []
        self._queueing = threading.Lock()
        self._turn = threading.Lock()

    def run(self, key: str, work: Callable[[], T]) -> T:
        """Do a piece of work in a write transaction; return once it is committed.

        Work of one transaction is done in the order of its keys: two processes that lock the rows
        of several shows never wait for each other in a circle.
        """
        mine = _Piece(key, work)
        with self._queueing:
            self._queue.append(mine)
        with self._turn:
            while not mine.done:
                with self._queueing:
                    group, self._queue = self._queue[:MOST], self._queue[MOST:]
                self._commit(group)
        if mine.error is not None:
            raise mine.error
        result: T = mine.result
        return result

    def _commit(self, group: list[_Piece]) -> None:
        try:
            with writing():
                for piece in sorted(group, key=lambda piece: piece.key):
                    piece.result = piece.work()
        except Exception:  # noqa: BLE001  (whoever's it is will meet it again, alone)
            for piece in group:
                self._alone(piece)
        except BaseException as error:  # the process is leaving: nobody may wait for ever
            for piece in group:
                piece.error, piece.done = error, True
            raise
        else:
            for piece in group:
                piece.done = True

    def _alone(self, piece: _Piece) -> None:
        try:
            with writing():
                piece.result = piece.work()
        except Exception as error:  # noqa: BLE001  (raised where the work came from)
            piece.error = error
        piece.done = True
