"""Writes what the office's client knows of cases and vehicles, from the models of the API.

    python -m tests.support.declared

What it writes is checked in; `tests/test_declared.py` compares it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from pydantic import BaseModel

from server.api.case_models import CaseModel
from server.api.vehicle_models import VehicleModel
from server.core.shop.case import Case
from server.core.shop.columns import Declared, columns
from server.service.records import CaseNotes, FleetCase

FOLDER: Final = Path(__file__).resolve().parents[2] / "pwa" / "src" / "office" / "shared"
HEAD: Final = """/** Made by `python -m tests.support.declared`: do not edit. */

"""
PLAIN: Final = {
    "string": "string", "integer": "number", "number": "number", "boolean": "boolean",
    "null": "null",
}  # fmt: skip
COLUMN_TYPE: Final = """/** One value of a case, of the case itself or of its notes. */
export interface CaseColumn {
  field: string;
  part: "case" | "notes";
  label: string;
  kind: string;
  longest: number;
  choices: readonly string[];
  hint: string;
  many: boolean;
  required: boolean;
  /** What a new case has; null for what must be stated. */
  initial: unknown;
}

"""


def files() -> dict[Path, str]:
    """Return each generated file with its text."""
    return {
        FOLDER / "declared.ts": HEAD + "\n".join(interfaces(CaseModel, VehicleModel)),
        FOLDER / "case-columns.ts": HEAD + COLUMN_TYPE + table(),
    }


def plain(text: str) -> str:
    """Return a text without what the formatter decides: blanks, quotes of keys, last commas."""
    return re.sub(r",(?=[}\])])", "", re.sub(r"[\s\"]", "", text))


def interfaces(*models: type[BaseModel]) -> Iterator[str]:
    """Yield one interface for each model and for each part of one."""
    known: dict[str, dict[str, Any]] = {}
    for model in models:
        schema = model.model_json_schema()
        known |= schema.get("$defs", {})
        known[model.__name__] = schema
    for name, schema in known.items():
        lines = [f"  {field}: {type_of(one)};" for field, one in schema["properties"].items()]
        yield "\n".join([f"export interface {short(name)} {{", *lines, "}", ""])


def short(name: str) -> str:
    """Return the client's name of a model."""
    return {"CaseModel": "FleetCase"}.get(name, name.removesuffix("Model"))


def type_of(schema: dict[str, Any]) -> str:
    """Return the TypeScript type of a JSON schema."""
    if "$ref" in schema:
        return short(schema["$ref"].rsplit("/", 1)[-1])
    if "anyOf" in schema:
        return " | ".join(type_of(one) for one in schema["anyOf"])
    if "enum" in schema or "const" in schema:
        return " | ".join(json.dumps(one) for one in schema.get("enum", [schema.get("const")]))
    if schema.get("type") == "array":
        inner = type_of(schema["items"])
        return f"({inner})[]" if "|" in inner else f"{inner}[]"
    return PLAIN[schema["type"]]


def table() -> str:
    """Return every column of a case as data for forms, and what a new case begins with."""
    rows = [
        row(one, part)
        for part, kind in (("case", Case), ("case", FleetCase), ("notes", CaseNotes))
        for one in columns(kind).values()
    ]
    text = ",\n".join(json.dumps(one) for one in rows)
    return f"export const CASE_COLUMNS: readonly CaseColumn[] = [\n{text},\n];\n"


def row(one: Declared, part: str) -> dict[str, Any]:
    """Return one column as data."""
    column = one.column
    return {
        "field": one.field, "part": part, "label": column.label, "kind": column.kind,
        "longest": column.longest, "choices": column.choices, "hint": column.hint,
        "many": column.many, "required": one.required, "initial": one.default,
    }  # fmt: skip


if __name__ == "__main__":
    for file, text in files().items():
        file.write_text(text, encoding="utf-8")
