"""Going up and down: from nothing, with the demo's data in every earlier state, and through mishaps."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic import command
from alembic.migration import MigrationContext
from alembic.operations import Operations

from service.cli.migrate import ROOT, alembic_config, migrate
from service.households.models import Household, Lead, Vehicle
from service.infrastructure.db.sessions import Database
from tests.factories import demo_homes
from tests.factories.databases import Databases
from tests.factories.households import furnished_home
from tests.migrations.demo_states import ALEMBICS_OWN, contents, file_of, load, narrowed, read_state, revisions
from tests.migrations.extra_revisions import with_revision

pytestmark = pytest.mark.both_databases

REVISIONS = revisions()
# Columns that a revision changes on purpose: "table.column", left out where contents are compared.
CHANGED_BY: dict[str, frozenset[str]] = {}
# On SQLite a change of a column's type means a new table, into which the rows are copied.
REBUILD = """
with op.batch_alter_table("households") as batch:
    batch.add_column(sa.Column("colour", sa.String(20)))
    batch.alter_column("member_name", type_=sa.String(200))
"""
REBUILD_DOWN = """
with op.batch_alter_table("households") as batch:
    batch.drop_column("colour")
    batch.alter_column("member_name", type_=sa.String(120))
"""


@pytest.fixture
def blank(databases: Databases, tmp_path: Path) -> Iterator[Database]:
    """A database without a table."""
    url = databases.blank(tmp_path)
    database = Database(url)
    yield database
    database.close()
    databases.drop(url)


@pytest.fixture
def home_id(database: Database, scheme: str) -> str:
    """A home with parts, which a rebuilt table of homes must not lose."""
    with database.scheme(scheme, write=True) as session:
        return furnished_home(session).id


def schema(database: Database) -> dict[str, Any]:
    """Return all that the database says of its tables."""
    found = sa.inspect(database.engine)
    return {
        name: {
            "columns": [
                (column["name"], str(column["type"]), column["nullable"]) for column in found.get_columns(name)
            ],
            "key": found.get_pk_constraint(name)["constrained_columns"],
            "references": sorted(
                (key["name"], key["constrained_columns"], key["referred_table"], key["options"])
                for key in found.get_foreign_keys(name)
            ),
            "uniques": sorted((key["name"], key["column_names"]) for key in found.get_unique_constraints(name)),
            "checks": sorted(key["name"] for key in found.get_check_constraints(name)),
            "indexes": sorted((index["name"], index["column_names"]) for index in found.get_indexes(name)),
        }
        for name in found.get_table_names()
    }


def same(after: dict[str, Any], before: dict[str, Any], *, since: str) -> None:
    """Compare what both hold, but for what later revisions changed on purpose."""
    changed = {
        column for revision in REVISIONS[REVISIONS.index(since) + 1 :] for column in CHANGED_BY.get(revision, ())
    }
    wanted = {
        name: {**table, "columns": [column for column in table["columns"] if f"{name}.{column}" not in changed]}
        for name, table in before.items()
    }
    assert narrowed(after, wanted) == narrowed(before, wanted)
    assert {name for name in before if name not in changed} <= set(after)


def test_up_from_nothing_down_to_nothing_and_up_again_ends_where_it_was(blank: Database) -> None:
    migrate(blank)
    first = schema(blank)
    command.downgrade(alembic_config(blank), "base")
    assert sa.inspect(blank.engine).get_table_names() == [ALEMBICS_OWN]
    migrate(blank)
    assert schema(blank) == first
    command.check(alembic_config(blank))


def test_each_step_down_and_up_again_ends_where_it_was(blank: Database) -> None:
    for revision in REVISIONS:
        migrate(blank, revision)
        before = schema(blank)
        command.downgrade(alembic_config(blank), "-1")
        migrate(blank, revision)
        assert schema(blank) == before, revision


def test_migrating_where_nothing_is_to_do_changes_nothing_of_the_demo(database: Database, tmp_path: Path) -> None:
    demo_homes.load(database)
    demo_homes.plan(database, tmp_path)
    before = contents(database)
    assert before["households"]["rows"] and before["plans"]["rows"] and before["half_hour_prices"]["rows"]
    migrate(database)
    assert contents(database) == before


@pytest.mark.parametrize("revision", REVISIONS[-3:-1])
def test_the_demo_of_an_earlier_state_keeps_its_contents_on_the_way_up_and_back(blank: Database, revision: str) -> None:
    assert file_of(revision).exists(), "write it with: python -m tests.migrations.demo_states"
    migrate(blank, revision)
    load(blank, read_state(revision))
    before = contents(blank)
    assert len(before["households"]["rows"]) == 40
    migrate(blank)
    same(contents(blank), before, since=revision)
    command.downgrade(alembic_config(blank), revision)
    same(contents(blank), before, since=revision)


@pytest.mark.one_database("sqlite")
@pytest.mark.parametrize("revision", REVISIONS[:-3])
def test_older_demos_keep_theirs_too(blank: Database, revision: str) -> None:
    test_the_demo_of_an_earlier_state_keeps_its_contents_on_the_way_up_and_back(blank, revision)


def test_a_rebuilt_table_keeps_its_rows_and_their_children(
    database: Database, scheme: str, home_id: str, tmp_path: Path
) -> None:
    before = contents(database)
    config = with_revision(database, tmp_path, REBUILD, REBUILD_DOWN)
    command.upgrade(config, "9001")
    after = contents(database)
    assert "colour" in after["households"]["columns"]
    assert narrowed(after, before) == narrowed(before, before)
    command.downgrade(config, "-1")
    assert contents(database) == before


def test_references_are_enforced_again_after_a_migration(
    database: Database, scheme: str, home_id: str, tmp_path: Path
) -> None:
    command.upgrade(with_revision(database, tmp_path, REBUILD), "9001")
    with database.scheme_session(scheme, write=True) as session:
        session.add(Lead(household_id="f" * 32, label="x", kind="mode_2", rated_a=10, set_a=10))
        with pytest.raises(sa.exc.IntegrityError):
            session.flush()
    with database.scheme(scheme, write=True) as session:
        session.execute(sa.delete(Vehicle))
        session.execute(sa.delete(Household))
    with database.scheme(scheme, write=False) as session:
        assert session.scalars(sa.select(Lead)).all() == []


@pytest.mark.one_database("sqlite")
def test_with_references_on_the_same_rebuild_would_take_the_children_along(
    database: Database, scheme: str, home_id: str
) -> None:
    with database.engine.execution_options(write=True).begin() as connection:
        connection.execute(sa.text("DELETE FROM vehicles"))
        operations = Operations(MigrationContext.configure(connection))
        with operations.batch_alter_table("households", recreate="always") as batch:
            batch.add_column(sa.Column("colour", sa.String(20)))
    with database.scheme(scheme, write=False) as session:
        assert session.scalars(sa.select(Household.id)).all() == [home_id]
        assert session.scalars(sa.select(Lead)).all() == []


@pytest.mark.parametrize(
    "mishap",
    ['op.execute("SELECT no_such_column FROM leads")', "raise RuntimeError('half way')"],
    ids=["a statement fails", "an error half way"],
)
def test_a_migration_that_fails_leaves_everything_as_it_was(
    database: Database, scheme: str, home_id: str, tmp_path: Path, mishap: str
) -> None:
    before, tables = contents(database), schema(database)
    config = with_revision(database, tmp_path, REBUILD)
    with_revision(database, tmp_path, f'op.execute("DELETE FROM leads")\n{mishap}', number="9002")
    with pytest.raises((RuntimeError, sa.exc.DBAPIError)):
        command.upgrade(config, "9002")
    assert contents(database) == before
    assert schema(database) == tables
    if database.is_sqlite:
        with database.engine.connect() as connection:
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    migrate(database)
    command.check(alembic_config(database))


@pytest.mark.one_database("sqlite")
def test_a_migration_that_would_leave_dangling_references_is_refused(
    database: Database, scheme: str, home_id: str, tmp_path: Path
) -> None:
    before = contents(database)
    config = with_revision(database, tmp_path, 'op.execute("DELETE FROM households")')
    with pytest.raises(RuntimeError, match="dangling"):
        command.upgrade(config, "9001")
    assert contents(database) == before


@pytest.mark.faults
def test_processes_that_migrate_one_database_together_all_succeed(blank: Database, tmp_path: Path) -> None:
    environment = {
        **os.environ,
        "PLUGWARD_DATABASE_URL": blank.engine.url.render_as_string(hide_password=False),
        "DATA_DIR": str(tmp_path),
    }
    order = [sys.executable, "-m", "service.cli", "migrate"]
    running = [subprocess.Popen(order, cwd=ROOT, env=environment, stderr=subprocess.PIPE, text=True) for _ in range(2)]
    said = [process.communicate(timeout=120)[1] for process in running]
    assert [process.returncode for process in running] == [0, 0], said
    command.check(alembic_config(blank))
