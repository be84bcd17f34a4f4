"""An answer whose keys end in _um, _g, _um3 or _cents, written in a file's own units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from server.core.base.units import UM_PER, Units, from_g, from_um


def in_units(document: Any, units: Units) -> Any:
    """Return an answer with its lengths, masses and amounts in the file's own units."""
    if isinstance(document, Sequence) and not isinstance(document, str):
        return [in_units(one, units) for one in document]
    if not isinstance(document, Mapping):
        return document
    found: dict[str, Any] = {}
    for key, value in document.items():
        name, _, unit = key.rpartition("_")
        if not name or not isinstance(value, int) or isinstance(value, bool):
            found[name if unit in {"cents", "um", "g"} and name else key] = in_units(value, units)
        elif unit == "um":
            found[name] = from_um(value, units.length)
        elif unit == "um3":
            found[name] = float(round(Decimal(value) / UM_PER[units.length] ** 3, 3))
        elif unit == "g":
            found[name] = from_g(value, units.mass)
        elif unit == "cents":
            found[name] = value / 100
        else:
            found[key] = value
    return found
