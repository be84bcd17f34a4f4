"""Planning that was asked for: each job is done by one worker process only.

A row says what is to be planned and how far it is. Whose turn it is says the row itself on SQLite,
on PostgreSQL the queue of `planner_queue.py`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Flask, current_app
from sqlalchemy import ColumnElement, select, update

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


def _waiting(now: int, silent_ms: int) -> ColumnElement[bool]:
    """Return which jobs nobody is at work on."""
    silent = (JobRow.state == "working") & (JobRow.heard_at < now - silent_ms)
    return (JobRow.state == "waiting") | silent


class Jobs:
    """The queue of the planner."""

    def add(self, job: Job, now: int) -> None:
        """Let a job wait for a worker."""
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
            if db.engine.dialect.name == "postgresql":
                # Only who asks for planning pays for loading the library.
                from server.store import planner_queue

                planner_queue.put(job.id)

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

    def made(self, show: str, revision: int) -> Job | None:
        """Return the planning of which a revision came, as its plan or as one to choose."""
        asked = select(JobRow).where(JobRow.show_id == show, JobRow.state == "done")
        for row in db.session.scalars(asked.order_by(JobRow.created_at.desc())):
            choices = (row.best or {}).get("choices") or []
            if row.revision == revision or revision in [one["revision"] for one in choices]:
                return _job(row)
        return None

    def left(self, now: int, silent_ms: int) -> bool:
        """Return whether there is a job of which nobody has said a word for so long."""
        silent = JobRow.state.in_(("waiting", "working")) & (JobRow.heard_at < now - silent_ms)
        return db.session.scalar(select(JobRow.id).where(silent).limit(1)) is not None

    def work(self, do: Callable[[Job], None], now: Callable[[], int], silent_ms: int) -> int:
        """Give every waiting job to `do` until none is left; return how many there were.

        A job whose worker has gone silent waits again. Each goes to one worker process only.
        """
        if db.engine.dialect.name == "postgresql":
            return self._work_by_queue(do, now, silent_ms)
        count = 0
        while True:
            job = self._begin(None, now(), silent_ms)
            if job is None:
                return count
            do(job)
            count += 1

    def _work_by_queue(
        self, do: Callable[[Job], None], now: Callable[[], int], silent_ms: int
    ) -> int:
        from server.store import planner_queue

        done: list[str] = []
        app: Flask = current_app._get_current_object()  # type: ignore[attr-defined]  # noqa: SLF001

        def one(job_id: str) -> None:
            with app.app_context():
                job = self._begin(job_id, now(), silent_ms)
                if job is not None:
                    done.append(job.id)
                    do(job)

        asked = select(JobRow.id).where(_waiting(now(), silent_ms)).order_by(JobRow.created_at)
        planner_queue.put_again(list(db.session.scalars(asked)))
        planner_queue.work_off(db.engine.url, one)
        return len(done)

    def _begin(self, job_id: str | None, now: int, silent_ms: int) -> Job | None:
        """Begin a waiting job, or the oldest of all; None: it is begun already, or none waits."""
        wanted = JobRow.id == job_id
        if job_id is None:
            oldest = select(JobRow.id).where(_waiting(now, silent_ms))
            wanted = JobRow.id == oldest.order_by(JobRow.created_at).limit(1).scalar_subquery()
        with writing():
            row = db.session.scalar(
                update(JobRow)
                .where(wanted, _waiting(now, silent_ms))
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
