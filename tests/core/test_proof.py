"""Certificates: their claims are true by an exhaustive oracle, and no mutant is accepted."""

from __future__ import annotations

import copy
import json
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from server.cli import main
from server.core.planner.bounds.certificate import find_duals
from server.core.planner.bounds.certify import certify
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.proof.check import Claim, Duals, NotProven, check, floor_bound
from server.core.proof.relaxation import Relaxation, best_fill, next_sum
from server.files.show_file import parse_show
from server.settings import ROOT
from tests.oracle.optimum import Oracle
from tests.oracle.small_shows import KINDS, small_show

IN = 25_400
TRUNK = {"length": 30, "width": 45, "height": 30, "turn": False, "mass": 400}


def trunks(count: int, **vehicle: Any) -> dict[str, Any]:
    """Return a show of trunks of which two close a row of 90 in."""
    return {
        "format": "rowcall-show-1",
        "vehicles": [{"id": "T", "width": 90, "length": 400, "height": 90, **vehicle}],
        "cases": [{"code": f"C{number}", **TRUNK} for number in range(count)],
    }


def test_three_trunks_two_abreast_take_two_rows_by_hand() -> None:
    """Values by hand: half of 30 in each, 45 in in all; the next sum of depths is 60 in."""
    show = parse_show(trunks(3))
    duals = Duals(1, {f"C{n}": 15 * IN for n in range(3)}, {}, {})
    assert floor_bound(Relaxation(show), duals) == 45 * IN
    assert "60" not in check(show, Claim("at least", 45 * IN), duals)
    check(show, Claim("shortest", 60 * IN, 1), duals)
    for wrong in (Claim("shortest", 90 * IN, 1), Claim("at least", 45 * IN + 1),
                  Claim("shortest", 60 * IN, 2), Claim("cannot load"), Claim("sure")):  # fmt: skip
        with pytest.raises(NotProven):
            check(show, wrong, duals)
    dear = replace(duals, values={**duals.values, "C0": 15 * IN + 1})
    with pytest.raises(NotProven, match="worth more than its depth"):
        check(show, Claim("at least", 1), dear)


def test_small_programmes_by_hand() -> None:
    assert best_fill({30: [5, 4, 3], 45: [8, 8]}, 90) == 16
    assert best_fill({30: [5, 4, 6], 45: [8, 1]}, 90) == 15
    assert next_sum([30, 45], 61, 100) == 75
    assert next_sum([30, 45], 61, 75) is None


@pytest.mark.parametrize("seed", range(3 * len(KINDS)))
def test_no_bound_lies_above_the_exhaustive_optimum(seed: int) -> None:
    document = small_show(seed)
    show, relaxation = parse_show(document), Relaxation(parse_show(document))
    if relaxation.misfits():
        return
    bound = floor_bound(relaxation, find_duals(relaxation, lambda: False))
    assert bound > 0
    witness = Oracle(document, 60.0).solve() if len(document["cases"]) < 7 else None
    if witness is not None:
        assert bound <= witness.length * IN / 2 + 2
        longer = Claim("shortest", round(witness.length * IN / 2) + 30 * IN, len(show.vehicles))
        with pytest.raises(NotProven):
            check(show, longer, find_duals(relaxation, lambda: False))


def test_what_is_over_the_payload_is_left_as_few_or_as_light_as_can_be() -> None:
    show = parse_show(trunks(5, payload=1_250))
    answer = solve(show, 1.0)
    assert isinstance(answer, NoPlan)
    proof = certify(show, answer, lambda: False)
    assert {claim.kind for claim in proof.claims} >= {"cannot load", "fewest left"}
    for kind in ("fewest left", "least mass left"):
        with pytest.raises(NotProven):
            check(show, Claim(kind, codes=("C0", "C1", "C2")), proof.duals)


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A show of seven trunks and the certificate that its plan is the shortest."""
    folder = tmp_path_factory.mktemp("proof")
    show, proof = folder / "show.json", folder / "proof.json"
    show.write_text(json.dumps(trunks(7)), encoding="utf-8")
    assert main(["plan", str(show), "--seconds", "1", "--proof", str(proof)]) == 0
    return show, proof


def test_a_certificate_is_checked_without_a_solver(
    files: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    show, proof = files
    assert main(["prove", str(proof), str(show)]) == 0
    assert "holds: shortest" in capsys.readouterr().out
    other = show.with_name("other.json")
    other.write_text(json.dumps(trunks(8)), encoding="utf-8")
    assert main(["prove", str(proof), str(other)]) == 2
    for module in ("check", "relaxation"):
        text = (ROOT / "server" / "core" / "proof" / f"{module}.py").read_text(encoding="utf-8")
        assert "highspy" not in text
        assert "planner" not in text


@pytest.mark.parametrize("seed", range(40))
def test_no_mutant_of_a_certificate_is_accepted(
    files: tuple[Path, Path], seed: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """One number changed so that the proof must fail, or one word that the format does not have."""
    show, proof = files
    draw = random.Random(seed)
    mutant = copy.deepcopy(json.loads(proof.read_text(encoding="utf-8")))
    claims = {claim["kind"]: claim for claim in mutant["claims"]}
    kind = seed % 8
    if kind == 0:
        mutant["values"][draw.choice(list(mutant["values"]))] *= 3
    elif kind == 1:
        claims["shortest"]["floor_um"] += 30 * IN * draw.randint(1, 3)
    elif kind == 2:
        claims["at least"]["floor_um"] += draw.randint(1, IN)
    elif kind == 3:
        mutant["scale"] = max(1, mutant["scale"] // draw.choice((2, 10)))
    elif kind == 4:
        for code in draw.sample(list(mutant["values"]), 3):
            mutant["values"][code] = 0
    elif kind == 5:
        mutant["show"] = mutant["show"][::-1]
    elif kind == 6:
        claims["shortest"]["vehicles"] += 1
    else:
        mutant[draw.choice(("format", "scale"))] = "other"
    file = proof.with_name(f"mutant-{seed}.json")
    file.write_text(json.dumps(mutant), encoding="utf-8")
    assert main(["prove", str(file), str(show)]) in (1, 2)
    capsys.readouterr()


def test_without_a_certificate_nothing_is_called_proven(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    show, proof = tmp_path / "show.json", tmp_path / "proof.json"
    # A single rider bridging nothing: the model lets it ride, the lid is too narrow for it.
    tall = {**TRUNK, "lid_load": 300, "lid_casters": False}
    wide = {"length": 30, "width": 60, "height": 20, "turn": False, "mass": 100, "rides": True}
    document = trunks(0)
    document["cases"] = [{"code": "A", **tall}, {"code": "B", **wide}]
    show.write_text(json.dumps(document), encoding="utf-8")
    assert main(["plan", str(show), "--seconds", "1", "--proof", str(proof)]) == 0
    out = capsys.readouterr().out
    claimed = {one["kind"] for one in json.loads(proof.read_text(encoding="utf-8"))["claims"]}
    assert ("shortest" in claimed) == ("proven" in out)
    assert main(["prove", str(proof), str(show)]) == 0
