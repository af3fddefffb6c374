"""The web composition root: one Flask app from one settings object.

Order matters: security looks at a request before access does, access before a view; every
operation must declare who may call it, or the app does not start.
"""

import os
from pathlib import Path

from argon2 import PasswordHasher
from flask import Flask, jsonify
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, OperationalError
from sqlalchemy.exc import TimeoutError as NoFreeConnection
from sqlalchemy.orm.exc import StaleDataError

import service.accounts.api
import service.advice.api
import service.figures.api
import service.households.api
import service.planning.api
import service.reimbursement.api
import service.reminders.api
import service.reporting.api
import service.safety.api
import service.tariffs.api
from service.accounts.api import authenticate
from service.common.clock import Clock, SystemClock
from service.infrastructure.db.busy import is_busy
from service.infrastructure.db.sessions import Database
from service.infrastructure.http.access import (
    check_every_operation_declares_access,
    init_access,
    requires,
    set_authenticator,
    set_link_authenticator,
)
from service.infrastructure.http.bodies import IdConverter, id_parameter
from service.infrastructure.http.docs import docs_blueprint
from service.infrastructure.http.problems import ProblemApi, answer_as_busy, problem, service_problem
from service.infrastructure.http.security import SecurityRules, init_security
from service.infrastructure.http.spa import Frontend, spa_blueprint
from service.infrastructure.http.transactions import Services, TransactionalFlask, conflict_of, services
from service.infrastructure.logging import configure_logging, log_requests
from service.infrastructure.mail.sink_page import demo_mail_blueprint
from service.infrastructure.settings import Settings
from service.safety.api.electrician import authenticate_link

API_BLUEPRINTS = (
    service.accounts.api.blueprint,
    service.households.api.blueprint,
    service.safety.api.blueprint,
    service.tariffs.api.blueprint,
    service.planning.api.blueprint,
    service.figures.api.blueprint,
    service.advice.api.blueprint,
    service.reimbursement.api.blueprint,
    service.reminders.api.blueprint,
    service.reporting.api.blueprint,
)
FRONTEND = Path(__file__).parent.parent / "frontend"


def create_app(settings: Settings, *, database: Database | None = None, clock: Clock | None = None) -> Flask:
    """Return the app: API, its document and pages, and the single-page frontend."""
    app = TransactionalFlask(__name__, static_folder=None)
    app.config.update(
        API_TITLE="Plugward",
        API_VERSION="v1",
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX="/api/v1",
        OPENAPI_JSON_PATH="openapi.json",
    )
    app.url_map.converters["id"] = IdConverter
    hasher = PasswordHasher(
        time_cost=settings.argon2_time_cost,
        memory_cost=settings.argon2_memory_kib,
        parallelism=settings.argon2_parallelism,
    )
    app.extensions["plugward"] = Services(
        settings=settings,
        database=database or Database(settings.database_url),
        clock=clock or SystemClock(),
        hasher=hasher,
        dummy_hash=hasher.hash("no account has this password"),
    )
    frontend = Frontend(FRONTEND)
    log_requests(app)
    init_security(
        app,
        SecurityRules(
            settings.base_url, settings.is_production, settings.max_body_bytes, frontend.index_html,
            settings.max_upload_bytes,
        ),
    )
    set_authenticator(app, authenticate)
    set_link_authenticator(app, authenticate_link)
    init_access(app)
    api = ProblemApi(app)
    api.register_converter(IdConverter, id_parameter)
    for blueprint in API_BLUEPRINTS:
        api.register_blueprint(blueprint, url_prefix="/api/v1")
    _answer_database_errors(app)
    _add_health(app)
    app.register_blueprint(docs_blueprint(api))
    if settings.is_demo:
        app.register_blueprint(demo_mail_blueprint(Path(settings.demo_mail_dir)))
    app.register_blueprint(spa_blueprint(frontend))
    check_every_operation_declares_access(app)
    return app


def app_from_environment() -> Flask:
    """Return the app for a web server process."""
    settings = Settings.from_environment(os.environ)
    configure_logging(settings.log_level)
    return create_app(settings)


def _answer_database_errors(app: Flask) -> None:
    """Say "busy" for a lock, "changed meanwhile" for a stale row, "conflict" for a broken key."""
    answer_as_busy(app, OperationalError, when=is_busy)
    answer_as_busy(app, NoFreeConnection)
    app.register_error_handler(StaleDataError, lambda error: problem(412))
    app.register_error_handler(IntegrityError, lambda error: service_problem(conflict_of(error)))


def _add_health(app: Flask) -> None:
    @app.get("/healthz")
    @requires(public=True)
    def healthz():  # type: ignore[no-untyped-def]
        """Say that the process answers."""
        return jsonify(status="alive")

    @app.get("/readyz")
    @requires(public=True)
    def readyz():  # type: ignore[no-untyped-def]
        """Say whether the database answers and is migrated."""
        with services().database.engine.connect() as connection:
            revision = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
        return jsonify(status="ready", schema=revision)
