"""The planner's queue on PostgreSQL, kept by procrastinate: who works on what, once.

A job's row says what is to be planned and how far it is; its entry here says whose turn it is. Both
are written in one transaction. Loaded only where planning is asked for.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Sequence
from typing import Any, Final

from procrastinate import App, PsycopgConnector, SyncPsycopgConnector
from procrastinate.exceptions import AlreadyEnqueued
from procrastinate.jobs import Status
from sqlalchemy import URL

from server.store.db import db, writing

QUEUE: Final = "plans"
TASK: Final = "plan"
log = logging.getLogger("rowcall.queue")

# Only ever given a connection of ours: it opens none itself.
_PUTTING: Final = App(connector=SyncPsycopgConnector())


def put(job_id: str) -> None:
    """Queue a job inside a write transaction; one that waits already is an AlreadyEnqueued."""
    raw: Any = db.session.connection().connection.driver_connection
    entry = _PUTTING.configure_task(TASK, queue=QUEUE, queueing_lock=job_id, connection=raw)
    entry.defer(job=job_id)


def put_again(job_ids: Sequence[str]) -> None:
    """Queue those jobs that do not wait: restored from a backup, or left by a worker that died."""
    for job_id in job_ids:
        try:
            with writing():
                put(job_id)
        except AlreadyEnqueued:
            log.debug("job %s waits already", job_id)


def work_off(url: URL, do: Callable[[str], None]) -> None:
    """Give each waiting job to `do`, in a thread, until none is left."""
    address = url.set(drivername="postgresql").render_as_string(hide_password=False)
    app = App(connector=PsycopgConnector(conninfo=address, min_size=1, max_size=4))

    @app.task(name=TASK, queue=QUEUE)
    def plan(job: str) -> None:
        do(job)

    asyncio.run(_run(app))


async def _run(app: App) -> None:
    async with app.open_async():
        # Entries of workers that are gone; their jobs are put again once they were silent enough.
        for left in await app.job_manager.get_stalled_jobs(queue=QUEUE):
            await app.job_manager.finish_job(left, status=Status.FAILED, delete_job=True)
        await app.run_worker_async(
            queues=[QUEUE],
            wait=False,
            concurrency=1,
            listen_notify=False,
            install_signal_handlers=False,
            delete_jobs="always",
        )
