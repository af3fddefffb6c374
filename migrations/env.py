"""Run migrations: the URL comes from the caller (service.cli) or from the environment.

SQLite rebuilds a table to alter it, so foreign keys are off while it does and checked before the
commit.  On both databases a migration that fails leaves the database as it was.
"""

import os

from alembic import context
from sqlalchemy import Connection, text

import service.accounts.models
import service.advice.models
import service.figures.models
import service.households.models
import service.infrastructure.files
import service.infrastructure.idempotency
import service.infrastructure.leases
import service.infrastructure.mail.queue
import service.infrastructure.outbox
import service.planning.models
import service.reimbursement.models
import service.reminders.models
import service.safety.models
import service.tariffs.models  # noqa: F401 - each module registers its tables
from service.infrastructure.db.base import Base
from service.infrastructure.db.sessions import Database

PLUGINS = ["alembic.autogenerate.*", "alembic.ext.checkconstraint_byname"]
LONGEST_WAIT_S = 60
LOCK_NUMBER = 20_261_125  # any number, as long as nothing else of ours takes it


def render_item(kind, item, autogen_context):
    """Write our own column types with the import they need."""
    if kind == "type" and type(item).__module__.startswith("service."):
        autogen_context.imports.add(f"import {type(item).__module__}")
        return f"{type(item).__module__}.{type(item).__name__}()"
    return False


def run() -> None:
    """Migrate online, in one transaction for all the revisions there are to go through."""
    engine = context.config.attributes.get("engine") or Database(os.environ["PLUGWARD_DATABASE_URL"]).engine
    with engine.execution_options(write=True).connect() as connection:
        if connection.dialect.name == "sqlite":
            run_on_sqlite(connection)
        else:
            run_on_postgresql(connection)


def run_on_sqlite(connection: Connection) -> None:
    """Rebuilding a table drops the old one, which would take its children along: no foreign keys meanwhile."""
    driver = connection.connection.driver_connection
    usual_ms = driver.execute("PRAGMA busy_timeout").fetchone()[0]
    driver.execute(f"PRAGMA busy_timeout={LONGEST_WAIT_S * 1000}")
    driver.execute("PRAGMA foreign_keys=OFF")  # heeded outside a transaction only
    try:
        configure(connection)
        with context.begin_transaction():
            context.run_migrations()
            broken = connection.execute(text("PRAGMA foreign_key_check")).all()
            if broken:
                raise RuntimeError(f"the migration would leave dangling references: {broken[:5]}")
    finally:
        # The connection goes back to the caller's pool, as it came.
        connection.rollback()
        driver.execute("PRAGMA foreign_keys=ON")
        driver.execute(f"PRAGMA busy_timeout={usual_ms}")


def run_on_postgresql(connection: Connection) -> None:
    """Let one process at a time migrate: two that start together would both create the first table."""
    configure(connection)
    with context.begin_transaction():
        connection.execute(text(f"SET LOCAL lock_timeout = '{LONGEST_WAIT_S}s'"))
        connection.execute(text(f"SELECT pg_advisory_xact_lock({LOCK_NUMBER})"))
        context.run_migrations()


def configure(connection: Connection) -> None:
    """Tell alembic what to compare and how."""
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        render_as_batch=True,
        render_item=render_item,
        compare_type=True,
        autogenerate_plugins=PLUGINS,
        # Alembic takes SQLite for unable to, because of the usual driver settings; ours begin every transaction.
        transactional_ddl=True,
    )


run()
