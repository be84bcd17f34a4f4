"""Small settings of the office and of its server, each under a name."""

from __future__ import annotations

import secrets
from typing import Any, Final

from server.store.db import db, writing
from server.store.office_tables import OfficeSettingRow

GENERATION: Final = "generation"


class OfficeSettings:
    """Values by name: any JSON."""

    def get(self, name: str) -> Any:
        """Return a value, or None where there is none."""
        row = db.session.get(OfficeSettingRow, name)
        return None if row is None else row.value

    def put(self, name: str, value: Any) -> None:
        """Store a value; None removes it."""
        with writing():
            row = db.session.get(OfficeSettingRow, name)
            if value is None:
                if row is not None:
                    db.session.delete(row)
            elif row is None:
                db.session.add(OfficeSettingRow(name=name, value=value))
            else:
                row.value = value


def restored() -> None:
    """Note that this database was filled from a backup: no version from before it counts.

    Versions are numbered on from the backup; what was kept after it and is lost had the same
    numbers. The generation stands in every ETag, so that a page from before is refused.
    """
    OfficeSettings().put(GENERATION, secrets.token_hex(3))
