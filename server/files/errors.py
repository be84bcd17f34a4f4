"""What pydantic found wrong, said as place, expectation and what was there."""

from __future__ import annotations

from pydantic import ValidationError

from server.trouble import BadInput

_EXPECTED = {
    "extra_forbidden": "no key of this name",
    "missing": "a value here",
    "greater_than": "a number above {gt}",
    "greater_than_equal": "a number of at least {ge}",
    "less_than_equal": "a number of at most {le}",
    "finite_number": "a finite number",
    "literal_error": "{expected}",
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "string_type": "text",
    "bool_type": "true or false",
    "list_type": "a list",
    "dict_type": "an object",
    "model_type": "an object",
    "model_attributes_type": "an object",
    "too_short": "at least {min_length} of them",
    "too_long": "at most {max_length} of them",
    "string_too_short": "text of at least {min_length} characters",
    "string_too_long": "text of at most {max_length} characters",
    "string_pattern_mismatch": "printable text",
    "union_tag_invalid": "kind {expected_tags}",
    "union_tag_not_found": "a kind",
}


def bad_input(file: str, error: ValidationError) -> BadInput:
    """Return the first fault as BadInput naming file and place, with the number of further ones."""
    faults = error.errors(include_url=False)
    first = faults[0]
    place = ""
    for part in first["loc"]:
        place += f"[{part}]" if isinstance(part, int) else f".{part}" if place else str(part)
    template = _EXPECTED.get(first["type"], first["msg"])
    try:
        expected = template.format(**first.get("ctx", {}))
    except (KeyError, IndexError):
        expected = first["msg"]
    got = repr(first.get("input"))
    if first["type"] == "missing":
        got = "nothing"
    elif len(got) > 60:
        got = got[:57] + "..."
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    return BadInput(f"{file}: {place}" if place else file, expected, got + more)
