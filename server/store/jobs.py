"""Planning that was asked for: a queue of rows, each taken by one worker process only."""

from __future__ import annotations

from typing import Any

from sqlalchemy import or_, select, update

from server.service.records import Job
from server.store.db import db, writing
from server.store.tables import JobRow


def _job(row: JobRow) -> Job:
    return Job(
        id=row.id,
        show=row.show_id,
        state=row.state,  # type: ignore[arg-type]
        seconds=row.seconds,
        seed=row.seed,
        best=row.best,
        revision=row.revision,
        trouble=row.trouble,
        stop=row.stop,
        heard_at=row.heard_at,
        asked=row.asked,
    )


class Jobs:
    """The queue of the planner."""

    def add(self, job: Job, now: int) -> None:
        with writing():
            db.session.add(
                JobRow(
                    id=job.id,
                    show_id=job.show,
                    state=job.state,
                    seconds=job.seconds,
                    seed=job.seed,
                    stop=False,
                    asked=job.asked,
                    created_at=now,
                    heard_at=now,
                )
            )

    def get(self, job_id: str) -> Job | None:
        row = db.session.get(JobRow, job_id, populate_existing=True)
        return None if row is None else _job(row)

    def busy(self, show: str) -> Job | None:
        """Return the job of a show that is not at its end yet."""
        asked = select(JobRow).where(
            JobRow.show_id == show, JobRow.state.in_(("waiting", "working"))
        )
        row = db.session.scalar(asked.order_by(JobRow.created_at))
        return None if row is None else _job(row)

    def take(self, now: int, silent_ms: int) -> Job | None:
        """Take the oldest waiting job, or one whose worker has gone silent; None: no work.

        On PostgreSQL rows that another worker is just taking are stepped over.
        """
        waiting = or_(
            JobRow.state == "waiting",
            (JobRow.state == "working") & (JobRow.heard_at < now - silent_ms),
        )
        next_one = (
            select(JobRow.id)
            .where(waiting)
            .order_by(JobRow.created_at)
            .limit(1)
            .with_for_update(skip_locked=True)
            .scalar_subquery()
        )
        with writing():
            row = db.session.scalar(
                update(JobRow)
                .where(JobRow.id == next_one)
                .values(state="working", heard_at=now)
                .returning(JobRow)
            )
            job = None if row is None else _job(row)
        return job

    def heard(self, job_id: str, best: dict[str, Any] | None, now: int) -> bool:
        """Keep the best so far; return whether the worker should stop."""
        change: dict[str, Any] = {"heard_at": now}
        if best is not None:
            change["best"] = best
        with writing():
            stop = db.session.scalar(
                update(JobRow).where(JobRow.id == job_id).values(change).returning(JobRow.stop)
            )
        return stop is not False

    def stop(self, job_id: str) -> None:
        with writing():
            db.session.execute(update(JobRow).where(JobRow.id == job_id).values(stop=True))

    def end(self, job_id: str, *, revision: int | None, trouble: str | None, now: int) -> None:
        state = "failed" if revision is None else "done"
        with writing():
            db.session.execute(
                update(JobRow)
                .where(JobRow.id == job_id)
                .values(state=state, revision=revision, trouble=trouble, heard_at=now)
            )
