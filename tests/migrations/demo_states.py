"""The demo's database as each earlier revision left it, kept as files, so that upgrades meet data and not empty tables.

``python -m tests.migrations.demo_states`` writes what is missing: it loads the demo at the newest revision, goes
down to each earlier one and keeps what is there.  Run it when you have added a revision; a state that exists is
never written again, because databases of that revision are out there and do not change either.
"""

from __future__ import annotations

import base64
import json
import lzma
import sys
import tempfile
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from alembic import command
from alembic.script import ScriptDirectory

from service.cli.migrate import alembic_config, migrate
from service.infrastructure.db.sessions import Database
from tests.factories import demo_homes

FOLDER = Path(__file__).parent / "states"
ALEMBICS_OWN = "alembic_version"

Table = Mapping[str, Any]  # {"columns": names, "rows": lists of JSON values in that order}


def revisions() -> list[str]:
    """Return every revision, the first one first."""
    database = Database("sqlite://")
    scripts = ScriptDirectory.from_config(alembic_config(database))
    database.close()
    return [script.revision for script in scripts.walk_revisions()][::-1]


def file_of(revision: str) -> Path:
    """Return where a revision's state is kept."""
    return FOLDER / f"{revision}.json.xz"


def read_state(revision: str) -> dict[str, Table]:
    """Return the tables that the demo had at a revision."""
    state: dict[str, Table] = json.loads(lzma.decompress(file_of(revision).read_bytes()))
    return state


def contents(database: Database) -> dict[str, Table]:
    """Return every table as JSON values, the same for the same contents on both kinds of database."""
    with database.engine.connect() as connection:
        return {
            table.name: {
                "columns": [column.name for column in table.columns],
                "rows": sorted(
                    ([_plain(value) for value in row] for row in connection.execute(table.select())), key=json.dumps
                ),
            }
            for table in _tables(database)
        }


def load(database: Database, state: Mapping[str, Table]) -> None:
    """Fill the empty tables of a database that stands at the state's revision."""
    with database.engine.execution_options(write=True).begin() as connection:
        for table in _tables(database):
            of_table = state.get(table.name)
            if of_table is None or set(of_table["columns"]) != {column.name for column in table.columns}:
                raise ValueError(f"{table.name} has other columns than the kept state: was its revision edited?")
            columns = [table.columns[name] for name in of_table["columns"]]
            rows = [
                {column.name: _value(column, value, database) for column, value in zip(columns, row, strict=True)}
                for row in of_table["rows"]
            ]
            if rows:
                connection.execute(table.insert(), rows)


def narrowed(tables: Mapping[str, Table], to: Mapping[str, Table]) -> dict[str, list[list[Any]]]:
    """Return the rows of those tables and columns only that ``to`` has as well, in its order of columns."""
    found = {}
    for name, of_table in to.items():
        if name not in tables:
            continue
        mine = tables[name]["columns"]
        kept = [mine.index(column) for column in of_table["columns"] if column in mine]
        found[name] = sorted(([row[place] for place in kept] for row in tables[name]["rows"]), key=json.dumps)
    return found


def _tables(database: Database) -> Sequence[sa.Table]:
    metadata = sa.MetaData()
    metadata.reflect(database.engine)
    return [table for table in metadata.sorted_tables if table.name != ALEMBICS_OWN]


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return (value.astimezone(UTC).replace(tzinfo=None) if value.tzinfo else value).isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode()
    return value


def _value(column: sa.Column[Any], value: Any, database: Database) -> Any:
    if value is None:
        return None
    match column.type:
        case sa.DateTime():
            instant = datetime.fromisoformat(value)
            return instant if database.is_sqlite else instant.replace(tzinfo=UTC)
        case sa.Date():
            return date.fromisoformat(value)
        case sa.Time():
            return time.fromisoformat(value)
        case sa.Numeric():
            return Decimal(value)
        case sa.LargeBinary():
            return base64.b64decode(value)
        case _:
            return value


def write_missing() -> list[str]:
    """Write the states that are not there yet, of every revision below the newest; return which."""
    missing = [revision for revision in revisions()[:-1] if not file_of(revision).exists()]
    with tempfile.TemporaryDirectory() as folder:
        database = Database(f"sqlite:///{folder}/demo.sqlite3")
        migrate(database)
        demo_homes.load(database)
        demo_homes.plan(database, Path(folder))
        for revision in reversed(missing):
            command.downgrade(alembic_config(database), revision)
            FOLDER.mkdir(exist_ok=True)
            text = json.dumps(contents(database), separators=(",", ":"))
            file_of(revision).write_bytes(lzma.compress(text.encode(), preset=9))
        database.close()
    return missing


if __name__ == "__main__":
    print("written:", ", ".join(write_missing()) or "nothing, all states are there", file=sys.stderr)
