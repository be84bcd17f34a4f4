"""`python3 tests crashes [--rounds N] [--database sqlite|postgresql|both] [--seed S]`.

A real server process takes batches from several clients and is killed with SIGKILL at a random
moment, again and again on one folder of data: its worker alone, or all of it. On PostgreSQL two
rounds of four also strike the database in the same moment: one of its own processes by SIGKILL, or
all of it by an immediate stop. After every round the whole log is held against what clients were
promised and what they read. Exit status 1 when a fact was lost, doubled, moved or left a gap.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Final

from tests.crashes.audit import Audit
from tests.crashes.client import Client
from tests.crashes.deaths import Stand, standing
from tests.support.needs import find_postgres

DATABASES: Final = ("sqlite", "postgresql")
CLIENTS: Final = 6
SHORTEST_S: Final = 0.05
LONGEST_S: Final = 0.5


@dataclass
class Tale:
    """What became of all rounds on one database."""

    database: str
    rounds: int = 0
    deaths: Counter[str] = field(default_factory=Counter)
    struck: int = 0
    acknowledged: int = 0
    stored: int = 0
    unanswered: int = 0
    faults: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def lines(self) -> str:
        """Return the figures; the last line says what went wrong."""
        deaths = ", ".join(f"{count} x {name}" for name, count in sorted(self.deaths.items()))
        return (
            f"{self.database}: {deaths}; {self.struck} rounds struck batches under way, "
            f"{self.unanswered} batches cut off in all, {self.seconds:.0f} s\n"
            f"{self.rounds} rounds on {self.database}, {self.acknowledged} facts acknowledged, "
            f"{self.stored} stored, {len(self.faults)} faults"
        )


def main(argv: Sequence[str]) -> int:
    """Play the rounds; return 0 when nothing was lost on any database."""
    parser = argparse.ArgumentParser(prog="python3 tests crashes", description=__doc__)
    parser.add_argument("--rounds", type=int, default=100, metavar="N")
    parser.add_argument("--database", choices=[*DATABASES, "both"], default="both")
    parser.add_argument("--seed", type=int, default=1, metavar="S")
    asked = parser.parse_args(argv)
    if not 1 <= asked.rounds <= 1000:
        parser.error(f"--rounds: expected 1 to 1000, got {asked.rounds}")
    wanted = DATABASES if asked.database == "both" else (asked.database,)
    if "postgresql" in wanted and find_postgres() is None:
        parser.error("expected the server programs of PostgreSQL (apt-get install postgresql)")
    tales = []
    for database in wanted:
        with tempfile.TemporaryDirectory(prefix="rowcall-crashes-") as folder:
            tales.append(play(database, asked.rounds, Random(asked.seed), Path(folder)))
        print(tales[-1].lines(), flush=True)
        for fault in tales[-1].faults[:20]:
            print(f"  {fault}", file=sys.stderr)
    return 1 if any(tale.faults for tale in tales) else 0


def play(database: str, rounds: int, random: Random, folder: Path) -> Tale:
    """Play rounds on one database and reckon after each."""
    tale, begun = Tale(database), time.monotonic()
    with standing(database, folder) as stand, closing(stand.asking("auditor")) as auditor:
        clients = [Client(stand.asking(f"phone-{n}"), n) for n in range(CLIENTS)]
        audit = Audit(auditor)
        try:
            for client in clients:
                client.start()
            for number in range(rounds):
                strike(stand, clients, tale, random, number)
                tale.faults += [f"round {number + 1}: {one}" for one in audit.look(clients)]
        finally:
            for client in clients:
                client.leave()
        tale.faults += audit.look(clients) + audit.from_the_start()
        tale.stored = len(audit.log)
    tale.acknowledged = sum(len(client.acked) for client in clients)
    tale.unanswered = sum(client.unanswered for client in clients)
    tale.seconds = time.monotonic() - begun
    return tale


def strike(
    stand: Stand, clients: Sequence[Client], tale: Tale, random: Random, number: int
) -> None:
    """Let clients write for a moment, kill, start again, and wait until all are answered."""
    before = [client.unanswered for client in clients]
    time.sleep(random.uniform(SHORTEST_S, LONGEST_S))
    for death in stand.die(random, number):
        tale.deaths[death] += 1
    stand.rise()
    answered = [client.answers for client in clients]
    end = time.monotonic() + 60
    while any(one.answers <= was for one, was in zip(clients, answered, strict=True)):
        if time.monotonic() > end:
            tale.faults.append(f"round {number + 1}: no answer for a minute")
            break
        time.sleep(0.01)
    tale.rounds += 1
    tale.struck += any(one.unanswered > was for one, was in zip(clients, before, strict=True))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
