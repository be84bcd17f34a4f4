"""Models of changes: every field of a document may be there or not (JSON Merge Patch, RFC 7396)."""

from __future__ import annotations

import types
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import Field, create_model

from server.api.models import Strict


def partial(model: type[Strict]) -> type[Strict]:
    """Return a model of which any field may be sent: null puts it back to its default.

    An object inside is changed field by field as well; a list is replaced whole.
    """
    fields: dict[str, Any] = {}
    for name, info in model.model_fields.items():
        kind = _loose(info.annotation)
        for rule in info.metadata:
            kind = Annotated[kind, rule]
        fields[name] = (kind | None, Field(None, alias=info.alias))
    made: type[Strict] = create_model(
        f"{model.__name__.removesuffix('Model')}Change",
        __base__=Strict,
        __doc__=f"Fields of {model.__name__.removesuffix('Model').lower()} to change; "
        "null: back to what it is when nobody says it.",
        **fields,
    )
    return made


def _loose(kind: Any) -> Any:
    """Return a type with the models directly in it made partial."""
    if isinstance(kind, type) and issubclass(kind, Strict):
        return partial(kind)
    if get_origin(kind) in {Union, types.UnionType}:
        made = [_loose(one) for one in get_args(kind)]
        whole = made[0]
        for one in made[1:]:
            whole = whole | one
        return whole
    return kind
