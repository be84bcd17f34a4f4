"""`python3 server checks TOPIC`: one calculation, or a list of them, from standard input."""

from __future__ import annotations

import argparse
import json
import sys
from typing import Any

from server.trouble import BadInput

TOPICS = ("lift", "push", "ramp", "straps", "axles", "hours", "licence", "goods")


def add(parser: argparse.ArgumentParser) -> None:
    """Declare topic and form of the answer."""
    parser.add_argument("topic", choices=TOPICS, help="what is asked")
    parser.add_argument("--json", action="store_true", help="answer in JSON")
    parser.add_argument("--schema", action="store_true", help="print the fields of the topic")
    parser.epilog = (
        "Standard input holds one JSON object or a list of objects; each answer has value, unit, "
        'source and derivation. Example: echo \'{"length_ft": 2.5, "mass_lb": 1800, "blocked": '
        'false, "method": "us_number"}\' | python3 server checks straps --json'
    )


def run(args: argparse.Namespace) -> int:
    """Answer what standard input asks; 0, or BadInput with the field that is wrong."""
    from server.checks.method import answer, schema
    from server.checks.topics import methods

    topic = methods(args.topic)
    if args.schema:
        print(json.dumps(schema(args.topic, topic), indent=2, ensure_ascii=False))
        return 0
    asked = read_questions(sys.stdin.read(), args.topic)
    if isinstance(asked, list):
        answers = [answer(topic, one, f"{args.topic}[{n}]") for n, one in enumerate(asked)]
    else:
        answers = [answer(topic, asked, args.topic)]
    if args.json:
        whole = answers if isinstance(asked, list) else answers[0]
        print(json.dumps(whole, indent=2, ensure_ascii=False))
    else:
        print("\n\n".join(words(one) for one in answers))
    return 0


def read_questions(text: str, topic: str) -> Any:
    """Return the parsed JSON; BadInput says where it breaks off."""
    try:
        return json.loads(text, parse_constant=_no_constant, object_pairs_hook=_once)
    except json.JSONDecodeError as trouble:
        place = f"{topic}, line {trouble.lineno}, column {trouble.colno}"
        raise BadInput(place, "JSON: one object or a list of objects", trouble.msg) from None
    except RecursionError:
        raise BadInput(topic, "JSON: one object or a list of objects", "endless nesting") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object whose keys stand once; of a repeated key JSON would keep the last."""
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise BadInput(f"standard input.{key}", "this key once", "it twice")
        found[key] = value
    return found


def _no_constant(name: str) -> Any:
    raise BadInput("standard input", "finite numbers", name)


def words(one: dict[str, Any]) -> str:
    """Return one answer as people read it."""
    value = "no figure" if one["value"] is None else one["value"]
    head = f"{value} {one['unit']}".strip()
    lines = [head, one["derivation"], f"source: {one['source']}", f"caution: {one['caution']}"]
    if one["assumed"]:
        said = ", ".join(f"{name} {value}" for name, value in one["assumed"].items())
        lines.insert(2, f"not stated, assumed: {said}")
    return "\n".join(lines)
