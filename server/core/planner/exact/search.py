"""The shortest plan of a small show, with every rule inside, or the proof that there is none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from server.core.planner.exact.case_types import CaseTypes, State
from server.core.planner.exact.piles import PileFinder
from server.core.planner.exact.rows import RowFinder, RowOption, across_order
from server.core.planner.exact.sequences import Sequences
from server.core.planner.problem.model import Footing, Line, Load, Put, Stack, Standing, Task
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle

MOST_PAIRS = 60_000  # multisets and parts of them: ten different cases, or more that are alike
DEEPENING = (1.0, 1.1, 1.25, 1.5, 2.0, 3.0, 5.0, 10.0, 1e9)  # times the least floor
Rooms = list[list[Line]]


def is_small(task: Task) -> bool:
    """Return whether a show is small enough for the exact search."""
    if len(task.cases) > 40:
        return False
    return CaseTypes.of(task.cases).pairs <= MOST_PAIRS


@dataclass(frozen=True)
class Answer:
    """The shortest rows of each vehicle (None: none found) and what no plan undercuts.

    `proven`: there is no shorter plan on as few vehicles, or no plan at all.
    """

    rooms: Rooms | None
    bound: int
    proven: bool

    def loads(self, task: Task) -> list[Load]:
        """Return the rows as loads of the task's vehicles."""
        pairs = zip(task.vehicles, self.rooms or [], strict=False)
        return [Load(room, tuple(lines)) for room, lines in pairs]


@dataclass
class ExactSearch:
    """The programmes of all vehicles of a task, and the best way to share the cases out."""

    task: Task
    stop: Callable[[], bool]
    keep_all: bool = False
    allowed: Callable[[Vehicle, Line], bool] | None = None  # is a row lawful, taken alone
    programmes: list[Sequences] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Number the types of cases."""
        self.types = CaseTypes.of(self.task.cases)
        # What stands beside what matters then: a row that another undercuts may be the lawful one.
        self.keep_all |= any(case.never_beside for case in self.task.cases)

    def prepare(self) -> bool:
        """Run the programme of each vehicle; return whether all of them are complete."""
        known: dict[Vehicle, Sequences] = {}
        self.complete = True
        wished = {case.vehicle for case in self.task.cases if case.vehicle}
        for room in self.task.vehicles:
            look = replace(room, id=room.id if room.id in wished else "", name="")
            if look not in known:
                known[look] = self._programme(room)
            self.programmes.append(known[look])
        return self.complete

    def _programme(self, room: Vehicle) -> Sequences:
        piles = PileFinder(self.task, room, self.types, self.stop, self.keep_all)
        found = piles.find()
        rows = RowFinder(
            room, self.types, found, self.stop, self.keep_all, lambda row: self._allows(room, row)
        )
        programme = Sequences(room, self.types, rows.find(), self.stop)
        riders = sum(case.rides for case in self.task.cases)
        programme.blur = riders * rows.gap if room.axles is not None else 0
        self.complete &= piles.complete and rows.complete
        if len(self.task.vehicles) == 1 and room.axles is not None:
            self._deepen(programme)
        else:
            programme.run()
        self.complete &= programme.complete
        return programme

    def _allows(self, room: Vehicle, row: RowOption) -> bool:
        if self.allowed is None:
            return True
        bare = replace(room, narrow=())
        return self.allowed(bare, _line(bare, 0, row, [list(g) for g in self.types.members]))

    def _deepen(self, programme: Sequences) -> None:
        """Allow more and more floor until the whole show finds a lawful load."""
        length = programme.room.length_um
        programme.limit = 0
        programme.run()
        least = programme.least_floor
        for share in DEEPENING:
            programme.limit = min(length, int(least * share))
            programme.run()
            done = programme.least(self.types.full) is not None
            if done or not programme.complete or programme.limit >= length:
                return

    def answer(self) -> Answer:
        """Return the shortest plan on the fewest vehicles."""
        bounds = self.shared_out(1) if self._blurred else None
        least = self.shared_out(0)
        bounds = least if bounds is None else bounds
        full = self.types.full
        count = next((n for n, table in enumerate(least) if full in table), None)
        first = next((n for n, table in enumerate(bounds) if full in table), None)
        bound = bounds[first][full] if self.complete and first is not None else 0
        if count is None:
            return Answer(None, bound, self.complete and first is None)
        sure = self.complete and first == count and bound == least[count][full]
        return Answer(self.rooms(self.parts_of(count, full)), bound, sure)

    @property
    def exact(self) -> bool:
        """Return whether every lawful load of every multiset is known."""
        whole = all(one.limit is None for one in self.programmes)
        return self.complete and whole and not self._blurred

    def widen(self) -> None:
        """Run again over loads of a part of the show, where only whole ones were looked for."""
        for one in self.programmes:
            if one.limit is not None:
                one.limit = None
                one.run()
                self.complete &= one.complete

    @property
    def _blurred(self) -> bool:
        """Return whether loads may have moments between those of the labels."""
        return any(self._blur(one) for one in self.programmes)

    def _blur(self, one: Sequences) -> int:
        """Return by how much the moments of a load may differ from those of its labels."""
        return one.thinned * len(self.task.cases) + one.blur

    def shared_out(self, blurred: int) -> list[dict[State, int]]:
        """Return the least floor of each multiset on 0, 1, 2 ... vehicles.

        `blurred`: with ranges of moments so wide that no lawful load is missed.
        """
        loads = []
        states = range(self.types.states)
        for one in self.programmes:
            blur = self._blur(one) if blurred else 0
            found = ((state, one.least(state, blur=blur)) for state in states)
            loads.append({state: length for state, length in found if length is not None})
        if len(loads) == 1:
            return [{0: 0}, loads[0]]
        return self._combined(loads)

    def _combined(self, loads: Sequence[dict[State, int]]) -> list[dict[State, int]]:
        """Combine vehicles one after the other: by how many are used, the least floor."""
        best: list[dict[State, tuple[int, tuple[tuple[int, State], ...]]]] = [{0: (0, ())}]
        best += [{} for _ in loads]
        for index, load in enumerate(loads):
            for count in range(index, -1, -1):
                for state, (length, parts) in list(best[count].items()):
                    if self.stop():
                        self.complete = False
                        break
                    for more in self.types.parts(self.types.full - state):
                        add = load.get(more)
                        if not more or add is None:
                            continue
                        now = best[count + 1].get(state + more)
                        if now is None or length + add < now[0]:
                            best[count + 1][state + more] = (
                                length + add,
                                (*parts, (index, more)),
                            )
        self._best = best
        return [{state: one[0] for state, one in table.items()} for table in best]

    def parts_of(self, count: int, state: State) -> dict[int, State]:
        """Return which vehicle loads which part of a multiset."""
        if len(self.programmes) == 1:
            return {0: state} if state else {}
        return dict(self._best[count][state][1])

    def rooms(self, parts: dict[int, State]) -> Rooms:
        """Return the rows of each vehicle with real cases in them."""
        waiting = [list(group) for group in self.types.members]
        rooms: Rooms = []
        for index, one in enumerate(self.programmes):
            rows = one.rows_of(parts.get(index, 0)) or []
            start, lines = 0, []
            for row in rows:
                lines.append(_line(self.task.vehicles[index], start, row, waiting))
                start += row.depth
            rooms.append(lines)
        return rooms


def _line(room: Vehicle, start: int, row: RowOption, waiting: list[list[Case]]) -> Line:
    """Return a row with real cases in its piles."""
    order = across_order(room, start, row.piles)
    assert order is not None, "the programme sets only rows that stand"
    standings = []
    for pile in order:
        cases = [waiting[spot.type].pop(0) for spot in pile.spots]
        puts = tuple(
            Put(case, s.way, s.x, s.y, s.z, tuple(cases[i].code for i in s.on))
            for case, s in zip(cases, pile.spots, strict=True)
        )
        footing = Footing(pile.width, pile.depth, puts)
        standings.append(Standing(Stack((footing,)), footing))
    return Line(tuple(standings))
