"""Kits as the office sends and gets them."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, RootModel

from server.api.case_models import Code
from server.api.models import Name, Strict


class KitModel(Strict):
    """Cases that go together; a new kit has no id yet."""

    id: Annotated[str, Field(max_length=40, pattern=r"^[A-Za-z0-9_-]*$")] = ""
    name: Name
    codes: list[Code] = Field(min_length=1, max_length=500)


class KitsModel(RootModel[list[KitModel]]):
    """Every kit."""
