"""Photos of cases; the id is the digest of the content, so twice is once."""

from __future__ import annotations

from sqlalchemy import delete, select

from server.service.records import CasePhoto, Photo
from server.store.db import db, writing
from server.store.tables import CasePhotoRow

Row = CasePhotoRow


class CasePhotos:
    """Every photo of every case, oldest first."""

    def add(self, kept: CasePhoto, content: bytes, small: bytes) -> None:
        with writing():
            if db.session.get(Row, (kept.code, kept.id)) is None:
                db.session.add(
                    Row(
                        code=kept.code,
                        id=kept.id,
                        words=kept.words,
                        media_type=kept.media_type,
                        content=content,
                        small=small,
                        at=kept.at,
                    )
                )

    def of_cases(self, code: str | None = None) -> list[CasePhoto]:
        """Return what is known of the photos of a case, or of all cases, without the pictures."""
        asked = select(Row.code, Row.id, Row.words, Row.media_type, Row.at)
        if code is not None:
            asked = asked.where(Row.code == code)
        found = db.session.execute(asked.order_by(Row.code, Row.at, Row.id))
        return [CasePhoto(*row) for row in found]

    def get(self, code: str, photo: str) -> Photo | None:
        asked = select(Row.media_type, Row.content).where(Row.code == code, Row.id == photo)
        row = db.session.execute(asked).one_or_none()
        return None if row is None else Photo(photo, row[0], row[1])

    def small(self, code: str, photo: str) -> bytes | None:
        asked = select(Row.small).where(Row.code == code, Row.id == photo)
        return db.session.execute(asked).scalar_one_or_none()

    def remove(self, code: str, photo: str) -> bool:
        """Remove a photo; False where there is none."""
        with writing():
            gone = db.session.execute(delete(Row).where(Row.code == code, Row.id == photo))
        return bool(gone.rowcount)  # type: ignore[attr-defined]
