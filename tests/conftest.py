"""Shared parts of the tests: a migrated database, a scheme, a clock that stands still, signed-in clients."""

import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher

from service.accounts import operations as accounts
from service.accounts.models import Role
from service.cli.migrate import migrate
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.settings import Settings

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
PASSWORD = "a long enough test password"


@pytest.fixture
def reference(record_property: Callable[[str, object], None]) -> Callable[..., None]:
    """Compare with a published value, and record source, expected and got for ``make references``."""

    def check(*, source: str, expected: Any, got: Any, tolerance: Any = 0) -> None:
        record_property("source", source)
        record_property("expected", str(expected))
        record_property("got", str(got))
        if tolerance:
            assert abs(got - expected) <= tolerance, f"{got} is not within {tolerance} of {expected} ({source})"
        else:
            assert got == expected, f"{got} is not {expected} ({source})"

    return check


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty SQLite file with every migration applied; tests copy it."""
    path = tmp_path_factory.mktemp("migrated") / "empty.sqlite3"
    database = Database(f"sqlite:///{path}")
    migrate(database)
    with database.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    database.close()
    return path


@pytest.fixture
def settings(tmp_path: Path, migrated_file: Path) -> Settings:
    """Settings of a test: its own database file, quick password hashes."""
    shutil.copy(migrated_file, tmp_path / "test.sqlite3")
    return Settings(
        database_url=f"sqlite:///{tmp_path / 'test.sqlite3'}",
        data_dir=str(tmp_path),
        argon2_memory_kib=64,
        argon2_time_cost=1,
    )


@pytest.fixture
def database(settings: Settings) -> Iterator[Database]:
    """A migrated, empty database."""
    database = Database(settings.database_url)
    yield database
    database.close()


@pytest.fixture
def clock() -> FixedClock:
    """A clock that stands at noon UTC of a Wednesday in winter."""
    return FixedClock(NOON)


@pytest.fixture
def hasher(settings: Settings) -> PasswordHasher:
    """A quick password hasher."""
    return PasswordHasher(time_cost=1, memory_cost=settings.argon2_memory_kib, parallelism=1)


@pytest.fixture
def scheme(database: Database) -> str:
    """The id of an empty scheme."""
    scheme_id = "a" * 32
    with database.system(write=True) as session:
        accounts.create_scheme(session, scheme_id=scheme_id, name="Marlpit Works", now=NOON)
    return scheme_id


@pytest.fixture
def session(database: Database, scheme: str) -> Iterator[SchemeSession]:
    """An open writing session of the scheme; what is not committed is gone."""
    with database.scheme_session(scheme, write=True) as session:
        yield session


@pytest.fixture
def app(settings: Settings, database: Database, clock: FixedClock) -> Any:
    """The whole app on the test's database."""
    from service.app import create_app

    app = create_app(settings, database=database, clock=clock)
    app.testing = False
    return app


@pytest.fixture
def client(app: Any, database: Database, hasher: PasswordHasher) -> Callable[..., Any]:
    """Return a function that gives a signed-in test client: ``client("administrator", scheme)``.

    For a member, name the household: ``client("member", scheme, household_id)``.
    """
    made = 0

    def signed_in(role: str, scheme_id: str, household_id: str | None = None) -> Any:
        nonlocal made
        made += 1
        email = f"person{made}@{role}.example"
        with database.system(write=True) as session:
            account = accounts.create_account(
                session, email=email, name=f"Person {made}", password=PASSWORD, hasher=hasher, now=NOON
            )
            account_id = account.id
        with database.scheme(scheme_id, write=True) as session:
            accounts.add_membership(
                session, account_id=account_id, role=Role(role), household_id=household_id, now=NOON
            )
        return sign_in(app, email)

    return signed_in


def sign_in(app: Any, email: str, password: str = PASSWORD) -> Any:
    """Return a test client that carries the header of our own pages and a session."""
    client = app.test_client()
    client.environ_base["HTTP_X_REQUESTED_BY"] = "plugward"
    client.environ_base["wsgi.url_scheme"] = "https"
    reply = client.post("/api/v1/session", json={"email": email, "password": password})
    assert reply.status_code == 200, reply.get_data(as_text=True)
    return client
