"""Shared parts of the tests: a migrated database, a scheme, a clock that stands still, signed-in clients."""

import gc
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher

from service.accounts import operations as accounts
from service.accounts.domain import SAFETY_OFFICER, Duties
from service.accounts.models import Role
from service.cli.migrate import migrate
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.settings import Settings
from tests.factories.databases import Databases, PostgresqlDatabases, SqliteDatabases
from tests.needs import must_have

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
PASSWORD = "a long enough test password"
# The files that take longest, each beginning with those that mostly wait.
LONGEST_FIRST = (
    "tests/service/test_worker.py",
    "tests/journeys/test_every_operation.py",
    "tests/service/infrastructure/mail/test_smtp.py",
    "tests/migrations/test_revisions.py",
    "tests/service/planning/operations/test_runs.py",
    "tests/service/infrastructure/http/test_transactions.py",
    "tests/service/reporting/operations/test_safety_desk.py",
    "tests/service/cli/test_seed.py",
    "tests/factories/test_fleet.py",
    "tests/service/reporting/operations/test_safety_file.py",
    "tests/browser/test_every_page.py",
    "tests/journeys/test_a_whole_year_of_a_real_house.py",
)


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


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the switch that runs more tests than need be on PostgreSQL."""
    parser.addoption("--everywhere", action="store_true", help="run every test that opens a database on both kinds")


def pytest_configure(config: pytest.Config) -> None:
    """Make the markers known."""
    config.addinivalue_line("markers", "both_databases: runs on SQLite and, where it answers, on PostgreSQL")
    config.addinivalue_line("markers", "one_database(kind): is about one kind only, whatever else its module runs on")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run a test that opens a database on the kinds that it is marked for."""
    if "database_kind" not in metafunc.fixturenames:
        return
    marks = metafunc.definition
    if only := marks.get_closest_marker("one_database"):
        metafunc.parametrize("database_kind", [only.args[0]], indirect=True)
    elif marks.get_closest_marker("both_databases") or metafunc.config.getoption("everywhere"):
        metafunc.parametrize("database_kind", ["sqlite", "postgresql"], indirect=True)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the longest files first, so that of several processes none ends long after the others."""
    places = {name: place for place, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: places.get(item.nodeid.split("::")[0], len(places)))


def pytest_collection_finish() -> None:
    """Let the collector of garbage pass over what collecting the tests made: it all stays to the end."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="module")
def database_kind(request: pytest.FixtureRequest) -> str:
    """The kind of database that the test runs on: SQLite unless it is marked ``both_databases``."""
    return str(getattr(request, "param", "sqlite"))


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty SQLite file with every migration applied; tests copy it."""
    path = tmp_path_factory.mktemp("migrated") / "empty.sqlite3"
    database = Database(f"sqlite:///{path}")
    migrate(database)
    database.close()  # the last connection to close empties the write-ahead log
    return path


@pytest.fixture(scope="session")
def sqlite_databases(migrated_file: Path) -> SqliteDatabases:
    """Makes SQLite files."""
    return SqliteDatabases(migrated_file)


@pytest.fixture(scope="session")
def postgresql_databases() -> Iterator[PostgresqlDatabases]:
    """Makes PostgreSQL databases on the server of ``TEST_DATABASE_URL``, or skips."""
    databases = PostgresqlDatabases.of_environment()
    why_not = databases.why_not()
    must_have(f"PostgreSQL ({why_not})", why_not is None)
    yield databases
    databases.close()


@pytest.fixture(scope="module")
def databases(request: pytest.FixtureRequest, database_kind: str) -> Databases:
    """Makes databases of the test's kind."""
    made: Databases = request.getfixturevalue(f"{database_kind}_databases")
    return made


@pytest.fixture
def database_url(databases: Databases, tmp_path: Path) -> Iterator[str]:
    """The address of a migrated, empty database of the test's own."""
    url = databases.migrated(tmp_path)
    yield url
    databases.drop(url)


@pytest.fixture
def settings(tmp_path: Path, database_url: str) -> Settings:
    """Settings of a test: its own database, quick password hashes."""
    return Settings(database_url=database_url, data_dir=str(tmp_path), argon2_memory_kib=64, argon2_time_cost=1)


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
    from tests.factories.apps import app_on

    return app_on(settings, database, clock)


@pytest.fixture
def client(app: Any, database: Database, hasher: PasswordHasher) -> Callable[..., Any]:
    """Return a function that gives a signed-in test client: ``client("administrator", scheme)``.

    For a member, name the household: ``client("member", scheme, household_id)``. A safety officer is an
    administrator with that duty.
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
        is_officer = role == SAFETY_OFFICER
        with database.scheme(scheme_id, write=True) as session:
            accounts.add_membership(
                session, account_id=account_id, role=Role.ADMINISTRATOR if is_officer else Role(role),
                household_id=household_id, now=NOON, duties=Duties(is_safety_officer=is_officer),
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
