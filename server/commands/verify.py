"""`python3 server verify RECORD`: say whether the record of a night is unchanged."""

from __future__ import annotations

import argparse
from pathlib import Path


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("record", type=Path, metavar="RECORD.json")
    parser.add_argument(
        "--key", default="", metavar="FINGERPRINT", help="of the shop's key, as the paper shows it"
    )
    parser.add_argument(
        "--unsealed", action="store_true", help="take a record of an earlier version, without seal"
    )


def run(args: argparse.Namespace) -> int:
    """Say where it was changed; 0 unchanged, 1 changed, 2 no record."""
    from server.core.night.record_chain import verify
    from server.files.show_file import read_json
    from server.service.seal import broken, fingerprint_of

    document = read_json(args.record)
    found = verify(document)
    for one in found:
        print(f"{args.record}: event {one.number} ({one.event or 'none'}): {one.what}")
    if found:
        return 1
    digests = document["digests"]
    if args.unsealed and "seal" not in document:
        print(f"{args.record}: digests fit, {len(digests)} events, no seal")
        return 0
    wrong = broken(document, args.key)
    if wrong:
        print(f"{args.record}: {wrong}")
        return 1
    print(f"{args.record}: unchanged, {len(digests)} events, sealed by the key")
    print(f"  {fingerprint_of(document['seal']['key'])}")
    if not args.key:
        print("  (compare it with the printed record, or give it by --key)")
    return 0
