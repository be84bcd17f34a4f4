"""`python3 tests sim --nights N [--seed S]`: simulated nights with faults.

`--phones real` plays them with the client's own store, exchange and clock in Node, on links as bad,
with tabs killed and opened twice; `--fault NAME` plants a fault there that the nights must find.
`--restores` restores the server from older backups, lets phones leave and come back, fills disks.

Each night has its own seed, S, S + 1 and so on; one that fails is printed and played again by
`--nights 1 --seed THAT`. Most nights are short and on a server in memory; every twentieth is long
(up to 200 cases), every hundredth runs on the real server over HTTP and SQLite.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Final

from tests.sim import restores
from tests.sim.night import LONG, SHORT, MakePhone, Size, Verdict, play
from tests.sim.phone import Phone
from tests.sim.real_phone import FAULTS, real_phones
from tests.sim.servers import MemoryServer, Server

LONG_EVERY: Final = 20
REAL_EVERY: Final = 100
TELL_EVERY_S: Final = 10


def main(argv: Sequence[str]) -> int:
    """Play nights; return 0 when none lost a fact and no replica differed."""
    parser = argparse.ArgumentParser(prog="python3 tests sim", description=__doc__)
    parser.add_argument("--nights", type=int, default=200, metavar="N")
    parser.add_argument("--seed", type=int, default=1, metavar="S")
    parser.add_argument("--server", choices=["mixed", "memory", "real"], default="mixed")
    parser.add_argument("--phones", choices=["model", "real"], default="model")
    parser.add_argument("--fault", choices=sorted(FAULTS), help="with real phones")
    parser.add_argument("--faults", action="store_true", help="plant each in turn; all be found")
    parser.add_argument("--restores", action="store_true", help="older backups are restored")
    asked = parser.parse_args(argv)
    if asked.nights < 1:
        parser.error(f"--nights: expected 1 or more, got {asked.nights}")
    if asked.faults:
        return find_faults(asked.nights, asked.seed)
    if asked.restores:
        return play_restores(asked.nights, asked.seed)
    total = Verdict()
    told = time.monotonic()
    with real_servers() as real, real_phones(asked.fault or "") as held:
        phone: MakePhone = held if asked.phones == "real" or asked.fault else Phone
        for seed in range(asked.seed, asked.seed + asked.nights):
            make = real if on_real(seed, asked.server) else MemoryServer
            verdict = play(seed, make, size_of(seed, asked.server), phone)
            add(total, verdict, seed)
            if time.monotonic() - told > TELL_EVERY_S:
                told = time.monotonic()
                print(f"night {seed}: {total.events} events so far", file=sys.stderr)
    print(f"{total.events} events")
    print(f"{asked.nights} nights, {total.lost} lost, {total.different} different")
    return 1 if total.lost or total.different else 0


def find_faults(nights: int, seed: int, names: Sequence[str] = tuple(FAULTS)) -> int:
    """Plant each fault in the client's source and play until a night finds it; 0: all are found."""
    missed = 0
    for name in names:
        with real_phones(name) as held:
            found = next((one for one in range(seed, seed + nights) if _fails(one, held)), None)
        missed += found is None
        print(f"{name}: {'not found' if found is None else f'found by seed {found}'}", flush=True)
    print(f"{len(names)} faults, {missed} not found")
    return 1 if missed else 0


def play_restores(nights: int, seed: int) -> int:
    """Play nights of real phones whose server is restored from older backups; 0: nothing lost."""
    total, restored, left, full = Verdict(), 0, 0, 0
    with real_phones() as held:
        for one in range(seed, seed + nights):
            verdict, night = restores.play(one, held)
            add(total, verdict, one)
            restored, left, full = restored + night.restored, left + night.left, full + night.full
    print(f"{restored} restores, {left} phones left and came back, {full} times a full disk")
    print(f"{nights} nights, {total.lost} lost, {total.different} different")
    return 1 if total.lost or total.different else 0


def _fails(seed: int, held: MakePhone) -> bool:
    verdict = play(seed, MemoryServer, SHORT, held)
    return bool(verdict.lost or verdict.different)


def on_real(seed: int, asked: str) -> bool:
    """Return whether a night runs on the real server."""
    return asked == "real" or (asked == "mixed" and seed % REAL_EVERY == 0)


def size_of(seed: int, asked: str) -> Size:
    """Return how large a night is; the real server has the short ones."""
    return LONG if seed % LONG_EVERY == LONG_EVERY - 1 and not on_real(seed, asked) else SHORT


def add(total: Verdict, verdict: Verdict, seed: int) -> None:
    """Count a night in; say at once where something is wrong."""
    total.lost += verdict.lost
    total.different += verdict.different
    total.events += verdict.events
    if verdict.lost or verdict.different:
        print(f"seed {seed}: {verdict.lost} lost, {verdict.different} different")
        for line in verdict.why[:8]:
            print(f"  {line}")


@contextmanager
def real_servers() -> Iterator[Callable[[], Server]]:
    """Yield what makes real servers; their template is filled when the first is asked for."""
    from tests.sim.real_server import Template

    made: list[Template] = []

    def make() -> Server:
        if not made:
            made.append(Template())
        return made[0].server()

    try:
        yield make
    finally:
        for template in made:
            template.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
