"""`python3 server prove FILE SHOW`: check what a proof file claims of a show.

No solver takes part: knapsacks in whole numbers and sums are recomputed from the show.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("proof", type=Path, metavar="FILE", help="written by plan --proof")
    parser.add_argument("show", type=Path, metavar="SHOW.json")
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(args: argparse.Namespace) -> int:
    """Check every claim; 0 all hold, 1 not."""
    from server.core.proof.check import NotProven, check
    from server.files.proof_file import parse_proof, show_digest
    from server.files.show_file import parse_show, read_json

    document = read_json(args.show)
    show = parse_show(document, str(args.show))
    claims, duals = parse_proof(read_json(args.proof), show_digest(document), str(args.proof))
    told = []
    for claim in claims:
        try:
            told.append({"claim": claim.kind, "holds": True, "why": check(show, claim, duals)})
        except NotProven as error:
            told.append({"claim": claim.kind, "holds": False, "why": str(error)})
    holds = bool(told) and all(one["holds"] for one in told)
    if args.json:
        print(json.dumps({"holds": holds, "claims": told}, indent=1))
    else:
        for one in told:
            print(f"{'holds' if one['holds'] else 'NOT SHOWN'}: {one['claim']}: {one['why']}")
        if not told:
            print("the file claims nothing")
    return 0 if holds else 1
