"""A scheme session sees one scheme; what it cannot scope it refuses."""

import pytest
from sqlalchemy import bindparam, insert, select, text, update
from sqlalchemy.exc import InternalError
from sqlalchemy.orm import aliased
from sqlalchemy.orm.exc import StaleDataError

from service.accounts import operations as accounts
from service.households.models import Household, Lead, Vehicle
from service.infrastructure.db.sessions import CrossSchemeAccess, Database, SchemeSession
from service.infrastructure.db.tripwire import UnscopedStatement
from service.infrastructure.outbox import Event
from tests.conftest import NOON
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

OURS, THEIRS = "a" * 32, "b" * 32


def home(reference: str) -> Household:
    return Household(
        reference=reference,
        member_name="Ada",
        address="1 Row",
        postcode="ZZ1 1AA",
        zone="Europe/London",
        nation="england",
        created_at=NOON,
    )


@pytest.fixture
def two(database: Database) -> Database:
    """Two schemes, a home and a car in each; the homes share an id."""
    for scheme_id in (OURS, THEIRS):
        with database.system(write=True) as session:
            accounts.create_scheme(session, scheme_id=scheme_id, name=scheme_id[:3], now=NOON)
        with database.scheme(scheme_id, write=True) as session:
            household = home(f"home of {scheme_id[:1]}")
            household.id = "1" * 32
            session.add(household)
            session.flush()
            session.add(
                Vehicle(
                    id=scheme_id[:1] * 32,
                    household_id="1" * 32,
                    ordinal=1,
                    label=f"car of {scheme_id[:1]}",
                    battery_wh=50_000,
                    miles_per_kwh=4,
                    onboard_limit_a=32,
                )
            )
    return database


def test_every_shape_of_select_sees_one_scheme(two: Database) -> None:
    other = aliased(Household)
    with two.scheme(OURS, write=False) as session:
        found = [
            session.scalars(select(Household.reference)).all(),
            session.scalars(select(Household)).one().reference,
            session.execute(
                select(Household.reference, Vehicle.label).join(Vehicle, Vehicle.household_id == Household.id)
            ).all(),
            session.scalars(select(other.reference)).all(),
            session.scalars(select(Household.reference).where(Household.id.in_(select(Vehicle.household_id)))).all(),
            session.get(Household, (OURS, "1" * 32)).reference,
            session.execute(select(select(Household.reference).limit(1).scalar_subquery())).all(),
        ]
    assert "home of b" not in repr(found)
    assert repr(found).count("home of a") == len(found)


def test_a_foreign_key_of_another_scheme_is_not_found(two: Database) -> None:
    with two.scheme(OURS, write=False) as session:
        assert session.scalar(select(Vehicle).where(Vehicle.id == "b" * 32)) is None
        assert session.get(Vehicle, (THEIRS, "b" * 32)) is None


@pytest.mark.parametrize(
    "statement",
    [
        text("SELECT * FROM households"),
        select(Household.__table__),
        insert(Lead).values(label="x"),
        update(Household.__table__).values(reference="x"),
    ],
    ids=["text", "core select", "insert", "core update"],
)
def test_what_cannot_be_scoped_is_refused(two: Database, statement: object) -> None:
    with two.scheme_session(OURS, write=True) as session, pytest.raises((CrossSchemeAccess, UnscopedStatement)):
        session.execute(statement)  # type: ignore[call-overload]


def test_raw_connections_and_bulk_calls_are_not_handed_out(two: Database) -> None:
    with two.scheme_session(OURS, write=True) as session:
        with pytest.raises(CrossSchemeAccess):
            session.connection()
        with pytest.raises(CrossSchemeAccess):
            session.bulk_insert_mappings(Household, [])


def test_an_update_touches_one_scheme(two: Database) -> None:
    with two.scheme(OURS, write=True) as session:
        session.execute(update(Household).values(member_name="changed"))
    with two.scheme(THEIRS, write=False) as session:
        assert session.scalars(select(Household.member_name)).one() == "Ada"


def test_a_row_of_another_scheme_is_not_written(two: Database) -> None:
    with two.scheme_session(OURS, write=True) as session:
        household = home("smuggled")
        household.scheme_id = THEIRS
        session.add(household)
        with pytest.raises(CrossSchemeAccess):
            session.flush()


def test_a_child_cannot_point_at_another_schemes_parent(two: Database) -> None:
    from sqlalchemy.exc import IntegrityError

    with two.scheme(THEIRS, write=True) as session:
        session.add(home("only theirs"))
        session.flush()
        theirs_only = session.scalars(select(Household.id).where(Household.reference == "only theirs")).one()
    with two.scheme_session(OURS, write=True) as session:
        session.add(Lead(household_id=theirs_only, label="x", kind="mode_2", rated_a=10, set_a=10))
        with pytest.raises(IntegrityError):
            session.flush()


def test_a_session_without_a_scheme_does_not_open(database: Database) -> None:
    with pytest.raises(CrossSchemeAccess):
        SchemeSession(database.engine, "")


def test_the_fleet_writer_stamps_its_own_scheme(two: Database) -> None:
    rows = [
        {"id": "9" * 32, "scheme_id": THEIRS, "name": "X", "payload": {}, "happened_at": NOON, "is_fanned_out": True}
    ]
    with two.fleet(OURS) as fleet:
        fleet.insert(Event.__table__, rows)  # type: ignore[arg-type]
    with two.scheme(OURS, write=False) as session:
        assert session.scalars(select(Event.id)).all() == ["9" * 32]


def test_what_the_fleet_writer_runs_plain_stays_in_its_own_scheme(two: Database) -> None:
    households = Household.__table__
    statement = (
        update(households)
        .where(households.c.scheme_id == bindparam("scheme"), households.c.id == bindparam("its_id"))
        .values(member_name=bindparam("new_name"), created_at=bindparam("made_at"))
    )
    with two.fleet(OURS) as fleet:
        made_at = fleet.as_driver(households.c.created_at, NOON)
        fleet.run_plain(statement, ("new_name", "made_at", "its_id"), [("Renamed", made_at, "1" * 32)])
        with pytest.raises(CrossSchemeAccess):
            fleet.run_plain(update(households).values(member_name=bindparam("new_name")), ("new_name",), [("X",)])
    for scheme, is_renamed in ((OURS, True), (THEIRS, False)):
        with two.scheme(scheme, write=False) as session:
            home = session.scalars(select(Household)).one()
            assert (home.member_name == "Renamed") == is_renamed
            assert not is_renamed or home.created_at == NOON


@pytest.mark.one_database("sqlite")
def test_writers_wait_for_each_other_and_lose_no_update(two: Database) -> None:
    def raise_counter(_: int) -> None:
        for _again in range(25):
            with two.scheme(OURS, write=True) as session:
                household = session.scalars(select(Household)).one()
                household.change_counter += 1

    at_once(8, raise_counter)
    with two.scheme(OURS, write=False) as session:
        assert session.scalars(select(Household.change_counter)).one() == 1 + 8 * 25


@pytest.mark.one_database("postgresql")
def test_of_two_writers_of_one_row_the_later_is_refused_and_no_update_is_lost(two: Database) -> None:
    def raise_counter(_: int) -> int:
        done = 0
        for _again in range(25):
            try:
                with two.scheme(OURS, write=True) as session:
                    household = session.scalars(select(Household)).one()
                    household.change_counter += 1
                done += 1
            except StaleDataError:
                continue
        return done

    done = sum(at_once(8, raise_counter))
    assert done >= 25
    with two.scheme(OURS, write=False) as session:
        assert session.scalars(select(Household.change_counter)).one() == 1 + done


def test_a_reader_sees_one_state_of_the_database_however_many_statements_it_sends(two: Database) -> None:
    with two.scheme(OURS, write=False) as session:
        before = session.execute(select(Household.member_name)).all()
        with two.scheme(OURS, write=True) as writer:
            writer.execute(update(Household).values(member_name="changed"))
        assert session.execute(select(Household.member_name)).all() == before
    with two.scheme(OURS, write=False) as session:
        assert session.scalars(select(Household.member_name)).one() == "changed"


@pytest.mark.one_database("postgresql")
def test_a_session_for_reading_cannot_write(two: Database) -> None:
    with two.scheme_session(OURS, write=False) as session, pytest.raises(InternalError, match="read-only"):
        session.execute(update(Household).values(member_name="changed"))


@pytest.mark.one_database("sqlite")
def test_sqlite_runs_durable_with_foreign_keys(database: Database) -> None:
    with database.engine.connect() as connection:
        pragmas = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
    assert pragmas == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
