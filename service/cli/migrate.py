"""Bring a database to a revision with alembic, on the caller's own engine."""

from pathlib import Path

from alembic import command
from alembic.config import Config

from service.infrastructure.db.sessions import Database

ROOT = Path(__file__).parent.parent.parent


def migrate(database: Database, revision: str = "head") -> None:
    """Upgrade to a revision; does nothing where the database is there already."""
    command.upgrade(alembic_config(database), revision)


def alembic_config(database: Database) -> Config:
    """Return the settings with which alembic's commands work on this database."""
    config = Config(toml_file=ROOT / "pyproject.toml")
    config.attributes["engine"] = database.engine
    return config
