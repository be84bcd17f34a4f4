"""Tokens of other programs; the secret itself is never stored."""

from __future__ import annotations

from sqlalchemy import delete, select, update

from server.service.document_records import ApiToken
from server.store.db import db, writing
from server.store.office_tables import ApiTokenRow


def _token(row: ApiTokenRow) -> ApiToken:
    return ApiToken(
        id=row.id,
        name=row.name,
        scope=row.scope,  # type: ignore[arg-type]
        show=row.show_id,
        made_by=row.made_by,
        created_at=row.created_at,
        ends_at=row.ends_at,
        used_at=row.used_at,
    )


class Tokens:
    """Every token that was not revoked."""

    def add(self, token: ApiToken, digest: str) -> None:
        with writing():
            db.session.add(
                ApiTokenRow(
                    id=token.id,
                    digest=digest,
                    name=token.name,
                    scope=token.scope,
                    show_id=token.show,
                    made_by=token.made_by,
                    created_at=token.created_at,
                    ends_at=token.ends_at,
                )
            )

    def all(self) -> list[ApiToken]:
        asked = select(ApiTokenRow).order_by(ApiTokenRow.created_at.desc(), ApiTokenRow.id)
        return [_token(row) for row in db.session.scalars(asked)]

    def by_digest(self, digest: str, now: int) -> ApiToken | None:
        """Return a token that is still good."""
        asked = select(ApiTokenRow).where(ApiTokenRow.digest == digest, ApiTokenRow.ends_at > now)
        row = db.session.scalar(asked)
        return None if row is None else _token(row)

    def used(self, token: str, now: int) -> None:
        with writing():
            change = update(ApiTokenRow).where(ApiTokenRow.id == token)
            db.session.execute(change.values(used_at=now))

    def remove(self, token: str) -> bool:
        """Revoke a token; return whether there was one."""
        with writing():
            done = db.session.execute(delete(ApiTokenRow).where(ApiTokenRow.id == token))
        return bool(getattr(done, "rowcount", 0))
