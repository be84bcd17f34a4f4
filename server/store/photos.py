"""Photos of the night; the id is the digest of the content, so twice is once."""

from __future__ import annotations

from sqlalchemy import func, select

from server.service.records import NightPhoto, Photo
from server.store.db import db, writing
from server.store.tables import PhotoRow


class Photos:
    """Every photo, by show."""

    def add(self, show: str, photo: Photo, device: str, now: int) -> None:
        with writing():
            if db.session.get(PhotoRow, (show, photo.id)) is None:
                db.session.add(
                    PhotoRow(
                        show_id=show,
                        id=photo.id,
                        media_type=photo.media_type,
                        content=photo.content,
                        device=device,
                        at=now,
                    )
                )

    def get(self, show: str, photo: str) -> Photo | None:
        row = db.session.get(PhotoRow, (show, photo))
        return None if row is None else Photo(row.id, row.media_type, row.content)

    def used(self) -> dict[tuple[str, str], tuple[int, int]]:
        """Return number and bytes of the photos of each phone, by show and phone."""
        asked = select(
            PhotoRow.show_id,
            PhotoRow.device,
            func.count(),
            func.coalesce(func.sum(func.length(PhotoRow.content)), 0),
        ).group_by(PhotoRow.show_id, PhotoRow.device)
        return {
            (show, device): (count, int(size))
            for show, device, count, size in db.session.execute(asked)
        }

    def of_show(self, show: str) -> list[NightPhoto]:
        """Return what is known of every photo of a night, without the pictures."""
        asked = select(PhotoRow.id, PhotoRow.media_type, PhotoRow.device, PhotoRow.at)
        asked = asked.where(PhotoRow.show_id == show).order_by(PhotoRow.at, PhotoRow.id)
        return [NightPhoto(*row) for row in db.session.execute(asked)]
