"""Run migrations: the URL comes from the caller (service.cli) or from the environment.

SQLite rebuilds a table to alter it, so foreign keys are off while it does and checked after.
"""

import os

from alembic import context
from sqlalchemy import create_engine, text

import service.accounts.models
import service.households.models
import service.infrastructure.idempotency
import service.infrastructure.mail.queue
import service.infrastructure.outbox
import service.planning.models
import service.reminders.models
import service.safety.models
import service.tariffs.models  # noqa: F401 - each module registers its tables
from service.infrastructure.db.base import Base

PLUGINS = ["alembic.autogenerate.*", "alembic.ext.checkconstraint_byname"]


def render_item(kind, item, autogen_context):
    """Write our own column types with the import they need."""
    if kind == "type" and type(item).__module__.startswith("service."):
        autogen_context.imports.add(f"import {type(item).__module__}")
        return f"{type(item).__module__}.{type(item).__name__}()"
    return False


def run() -> None:
    """Migrate online, in one transaction."""
    engine = context.config.attributes.get("engine") or create_engine(os.environ["PLUGWARD_DATABASE_URL"])
    with engine.execution_options(write=True).connect() as connection:
        is_sqlite = connection.dialect.name == "sqlite"
        if is_sqlite:
            # Only outside a transaction does SQLite heed this.
            connection.connection.driver_connection.execute("PRAGMA foreign_keys=OFF")
        context.configure(
            connection=connection,
            target_metadata=Base.metadata,
            render_as_batch=True,
            render_item=render_item,
            compare_type=True,
            autogenerate_plugins=PLUGINS,
        )
        with context.begin_transaction():
            context.run_migrations()
        if is_sqlite:
            broken = connection.execute(text("PRAGMA foreign_key_check")).all()
            connection.rollback()
            connection.connection.driver_connection.execute("PRAGMA foreign_keys=ON")
            if broken:
                raise RuntimeError(f"the migration left dangling references: {broken[:5]}")


run()
