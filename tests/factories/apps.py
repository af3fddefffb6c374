"""The whole app for tests: put together once a process, then handed out with the services of each test.

To put it together takes as long as ten requests, most of it for the OpenAPI document, and nothing of it depends on the
database, the clock or the folders.
"""

from __future__ import annotations

from copy import copy
from dataclasses import replace
from functools import cache

from flask import Flask

from service.app import create_app
from service.common.clock import Clock
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings


def app_on(settings: Settings, database: Database, clock: Clock) -> Flask:
    """Return the app that ``create_app`` makes of the same, sharing all but its services with others like it."""
    if settings.is_demo:
        raise ValueError("the demo's pages know their folder: make such an app with create_app")
    like = replace(settings, database_url="sqlite://", data_dir="none", demo_mail_dir="none", files_dir="none")
    app = copy(_built(like))
    services = replace(app.extensions["plugward"], settings=settings, database=database, clock=clock)
    app.extensions = {**app.extensions, "plugward": services}
    return app


@cache
def _built(settings: Settings) -> Flask:
    app = create_app(settings)
    app.testing = False
    return app
