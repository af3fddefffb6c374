"""Throw-away databases for tests: migrated once a session, then copied for each test.

SQLite copies a file.  PostgreSQL copies a template database; all its databases have random names beside
the one that ``TEST_DATABASE_URL`` names, whose own tables are never touched, and are dropped at the end.
"""

from __future__ import annotations

import os
import secrets
import shutil
from functools import cached_property
from pathlib import Path
from typing import Protocol

import psycopg
from psycopg import sql
from sqlalchemy.engine import make_url

from service.cli.migrate import migrate
from service.infrastructure.db.base import Base
from service.infrastructure.db.sessions import Database

POSTGRESQL_URL = "postgresql+psycopg://postgres@127.0.0.1:5432/test"


class Databases(Protocol):
    """Makes databases of one kind; each method takes and returns SQLAlchemy addresses."""

    def blank(self, folder: Path) -> str:
        """Return the address of a database without a table."""

    def migrated(self, folder: Path) -> str:
        """Return the address of an empty database with every migration applied; its tables stay as they are."""

    def alterable(self, folder: Path) -> str:
        """Return the address of the same, for a test that alters tables."""

    def copy(self, url: str, folder: Path) -> str:
        """Return the address of a copy of a database that nobody has open."""

    def drop(self, url: str) -> None:
        """Remove a database."""


class SqliteDatabases:
    """Files in the folder of the test that asks for them."""

    def __init__(self, migrated_file: Path) -> None:
        self._migrated = f"sqlite:///{migrated_file}"

    def blank(self, folder: Path) -> str:
        """Return an address; the file appears when it is opened."""
        return f"sqlite:///{folder / f'{secrets.token_hex(4)}.sqlite3'}"

    def migrated(self, folder: Path) -> str:
        """Return the address of a copy of the migrated file."""
        return self.copy(self._migrated, folder)

    alterable = migrated

    def copy(self, url: str, folder: Path) -> str:
        """Copy the file; the last connection to close has emptied its write-ahead log."""
        copied = self.blank(folder)
        shutil.copyfile(_file(url), _file(copied))
        return copied

    def drop(self, url: str) -> None:
        """Leave the file: pytest removes its folders."""


class PostgresqlDatabases:
    """Databases of random names on one server.

    To drop a database makes the server write all its memory to disk. So a migrated one is emptied and used again, and
    all are dropped together at the end.
    """

    def __init__(self, url: str) -> None:
        self._url = make_url(url)
        self._name = f"plugward_test_{secrets.token_hex(5)}"
        self._made: set[str] = set()
        self._lent: set[str] = set()
        self._free: list[str] = []
        self._count = 0

    @classmethod
    def of_environment(cls) -> PostgresqlDatabases:
        """Return those of ``TEST_DATABASE_URL``, or of the local server."""
        return cls(os.environ.get("TEST_DATABASE_URL") or POSTGRESQL_URL)

    def why_not(self) -> str | None:
        """Return why no database can be made there, or None where one can."""
        try:
            with self._server.cursor() as cursor:
                cursor.execute("SELECT rolcreatedb OR rolsuper FROM pg_roles WHERE rolname = current_user")
                row = cursor.fetchone()
        except psycopg.OperationalError as error:
            return str(error).strip().splitlines()[0]
        return None if row and row[0] else "its role may not create databases"

    def blank(self, folder: Path | None = None) -> str:
        """Create a database from the server's plain template."""
        return self._create("template0")

    def migrated(self, folder: Path | None = None) -> str:
        """Lend an empty database that was migrated."""
        url = self._free.pop() if self._free else self.alterable()
        self._lent.add(url)
        return url

    def alterable(self, folder: Path | None = None) -> str:
        """Create a database from the migrated one."""
        return self._create(self._migrated)

    def copy(self, url: str, folder: Path | None = None) -> str:
        """Lend an empty database filled with the rows of another that nobody has open."""
        copied = self.migrated()
        names = [str(make_url(each).database) for each in (url, copied)]
        with psycopg.connect(self._plain(names[0])) as source, psycopg.connect(self._plain(names[1])) as target:
            for table in map(sql.Identifier, (table.name for table in Base.metadata.sorted_tables)):
                with (
                    source.cursor().copy(sql.SQL("COPY {} TO STDOUT").format(table)) as rows,
                    target.cursor().copy(sql.SQL("COPY {} FROM STDIN").format(table)) as taken,
                ):
                    for block in rows:
                        taken.write(block)
        return copied

    def drop(self, url: str) -> None:
        """Take a lent database back, throwing out whoever has it open; one made for one use waits for the end."""
        name = str(make_url(url).database)
        if name not in self._made:
            raise ValueError(f"{name} was not made here")
        if url in self._lent:
            self._lent.discard(url)
            self._empty(name)
            self._free.append(url)

    def _empty(self, name: str) -> None:
        self._server.execute(
            "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity"
            " WHERE datname = %s AND backend_type = 'client backend'",
            [name],
        )
        deletes = [
            sql.SQL("DELETE FROM {}").format(sql.Identifier(table.name))
            for table in reversed(Base.metadata.sorted_tables)
        ]
        with psycopg.connect(self._plain(name)) as connection:
            connection.execute(sql.SQL("; ").join(deletes))

    def close(self) -> None:
        """Drop every database."""
        for name in sorted(self._made):
            self._server.execute(sql.SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(sql.Identifier(name)))
        self._made.clear()
        if "_server" in self.__dict__:
            self._server.close()

    @cached_property
    def _server(self) -> psycopg.Connection[tuple[object, ...]]:
        return psycopg.connect(self._plain(str(self._url.database)), autocommit=True, connect_timeout=3)

    @cached_property
    def _migrated(self) -> str:
        url = self.blank()
        database = Database(url)
        migrate(database)
        database.close()
        return str(make_url(url).database)

    def _create(self, template: str) -> str:
        self._count += 1
        name = f"{self._name}_{self._count}"
        order = sql.SQL("CREATE DATABASE {} TEMPLATE {}").format(sql.Identifier(name), sql.Identifier(template))
        self._server.execute(order)
        self._made.add(name)
        return self._address(name)

    def _plain(self, name: str) -> str:
        return self._url.set(drivername="postgresql", database=name).render_as_string(hide_password=False)

    def _address(self, name: str) -> str:
        return self._url.set(database=name).render_as_string(hide_password=False)


def _file(url: str) -> str:
    return url.removeprefix("sqlite:///")
