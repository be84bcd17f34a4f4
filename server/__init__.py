"""Rowcall: rows that fit, loads that are held until all is right, nights that end complete."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from flask import Flask

    from server.service.ports import Limits, Ports
    from server.settings import Settings


def create_app(settings: Settings | None = None) -> Flask:
    """Wire the rings into one app; no settings given: those of the environment.

    Nothing is opened and no thread is started before the first request.
    """
    from apiflask import APIFlask
    from werkzeug.middleware.proxy_fix import ProxyFix

    from server.api import wiring
    from server.settings import from_environment
    from server.store import db
    from server.version import VERSION

    settings = settings or from_environment()
    app = APIFlask(
        __name__,
        title="Rowcall",
        version=VERSION,
        spec_path="/api/openapi.json",
        docs_path=None,
        static_folder=None,  # type: ignore[arg-type]  # the client has its own way
    )
    db.attach(
        app,
        settings.database_url,
        pool=settings.pool,
        wait=settings.pool_wait,
        data=settings.data,
    )
    if settings.hosts:
        app.config["TRUSTED_HOSTS"] = settings.hosts.split(",")
    if settings.proxies:
        hops = settings.proxies
        app.wsgi_app = ProxyFix(  # type: ignore[method-assign]
            app.wsgi_app, x_for=hops, x_proto=hops, x_host=hops
        )
    wiring.register(
        app,
        _ports(app, settings),
        client=settings.client,
        body_limit=settings.body_limit,
    )
    return app


def _ports(app: Flask, settings: Settings) -> Ports:
    """Return the world outside as this server has it."""
    import time

    from server.paper import draw_papers, draw_record, draw_sheets
    from server.photos import PhotoEye
    from server.planning import PlannerStarter
    from server.printing import print_labels, print_test_page, proven_print
    from server.service.ports import Ports
    from server.store import (
        accounts,
        case_photos,
        event_log,
        fleet,
        jobs,
        nights,
        office_settings,
        people,
        photos,
        plans,
        shows,
        tokens,
        versions,
        watch,
    )

    eye = PhotoEye(settings.photo_limit, settings.photo_pixels)
    return Ports(
        log=event_log.EventLog(),
        people=people.People(),
        accounts=accounts.Accounts(),
        guesses=people.Guesses(),
        audit=people.Audit(),
        fleet=fleet.Fleet(),
        shows=shows.Shows(),
        plans=plans.Plans(),
        nights=nights.Nights(),
        jobs=jobs.Jobs(),
        photos=photos.Photos(),
        case_photos=case_photos.CasePhotos(),
        versions=versions.Versions(),
        tokens=tokens.Tokens(),
        settings=office_settings.OfficeSettings(),
        watch=watch.Watch(app),
        limits=_limits(settings),
        photo_kind=eye.kind,
        read_labels=eye.read,
        small_photo=eye.small,
        kept_photo=eye.kept,
        print_labels=print_labels,
        print_test_page=print_test_page,
        proven_print=proven_print,
        draw_sheets=draw_sheets,
        draw_papers=draw_papers,
        draw_record=draw_record,
        now=lambda: time.time_ns() // 1_000_000,
        start_planner=PlannerStarter(settings).start,
    )


def _limits(settings: Settings) -> Limits:
    """Return how much one request, one photo and one process may take."""
    from server.service.ports import Limits

    return Limits(
        photo_bytes=settings.photo_limit,
        photo_pixels=settings.photo_pixels,
        streams=settings.streams,
        threads=settings.threads,
        address=settings.address,
        trust_page=settings.trust_page,
    )


def ports_of(app: Flask) -> Ports:
    """Return what create_app wired, for commands that use the services without HTTP."""
    found: Ports = app.extensions["rowcall"]
    return found


def bring_up_to_date(app: Flask) -> None:
    """Apply the migrations that are not yet applied."""
    from server.store import db

    db.bring_up_to_date(app)


@contextmanager
def alone_with_database(app: Flask) -> Iterator[None]:
    """Keep other processes from changing or filling the database meanwhile; they wait."""
    from server.store.alone import alone
    from server.store.db import db

    with app.app_context(), alone(db.engine):
        yield


def let_go(app: Flask) -> None:
    """Close what this process holds of the database; SQLite then tidies its file."""
    from server.store.db import db

    with app.app_context():
        db.session.remove()
        db.engine.dispose()


def warn_of_connections(app: Flask, processes: int, pool: int) -> str:
    """Return what to say where the database has too few connections; empty where it has enough."""
    from server.store import room
    from server.store.db import db

    with app.app_context():
        db.session.remove()
        db.engine.dispose()  # what this process holds goes with it
        found = room.room(db.engine)
    return "" if found is None else room.warning(found, processes, pool)


def dump(app: Flask) -> Iterator[dict[str, Any]]:
    """Yield the whole database of an app, from one moment of it."""
    from server.store import backup

    with app.app_context():
        yield from backup.dump()


def load(app: Flask, lines: Iterator[dict[str, Any]], place: str) -> int:
    """Fill an empty database from a dump, of this version or older; return the number of rows.

    A new database is made as it was when the dump was, filled, and brought up to date.
    """
    from server.store import backup, db, office_settings

    with app.app_context():
        step = backup.step_of(next(lines, {}), place)
    db.bring_up_to_date(app, step)
    with app.app_context():
        rows = backup.load(step, lines, place)
    db.bring_up_to_date(app, copy=False)
    with app.app_context():
        office_settings.restored()
    return rows


def put_back(copy: Path, database: Path) -> Path | None:
    """Put an SQLite copy in the place of a database; return where that one lies now."""
    from server.store import upgrade_copy

    return upgrade_copy.put_back(copy, database)


def is_sqlite(file: Path) -> bool:
    """Return whether a file is an SQLite database."""
    from server.store import upgrade_copy

    return upgrade_copy.is_sqlite(file)
