"""JSON Schemas (2020-12) of the files that other programs may write or read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from pydantic import BaseModel

from server.files.advise_schema import AdviseModel
from server.files.plan_file import PlanModel
from server.files.show_schema import ShowModel

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
MODELS: Final[Mapping[str, tuple[type[BaseModel], str]]] = {
    "show": (ShowModel, "urn:rowcall:show:1"),
    "plan": (PlanModel, "urn:rowcall:plan:1"),
    "advise": (AdviseModel, "urn:rowcall:advise:1"),
}


def schema_of(name: str) -> dict[str, Any]:
    """Return the schema of `show`, `plan` or `advise`; KeyError for any other name."""
    model, address = MODELS[name]
    return {"$schema": DIALECT, "$id": address, **model.model_json_schema()}
