"""The fleet: as many homes as asked for, the same ones again, and a draft that moves exactly one region."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import func, select

from service.accounts.models import Membership
from service.accounts.operations import list_members
from service.households.models import Household, RoutineDeparture
from service.households.operations import load_homes
from service.infrastructure.db.sessions import Database
from service.safety.domain.clearance import Clearance
from service.safety.operations import load_clearances
from service.tariffs.operations import publish_version
from tests.factories.demo_homes import charging_times, contents, plan
from tests.factories.fleet import MOVING_REGION, Fleet, make_fleet

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
FLEET = "f" * 32


def _made(database: Database, count: int, *, now: datetime = NOON, seed: int = 7, share: float = 0.02) -> Fleet:
    return make_fleet(database, FLEET, count, seed=seed, now=now, moving_share=share)


def test_a_fleet_has_homes_that_can_be_planned_and_members_that_can_be_mailed(database: Database) -> None:
    fleet = _made(database, 60)
    with database.scheme(FLEET, write=False) as session:
        homes = load_homes(session, fleet.household_ids, from_at=NOON)
        clearances = load_clearances(session, homes, at=NOON)
        assert [home.id for home in homes] == list(fleet.household_ids)
        for home in homes:
            (car,), (outlet,) = home.cars, home.outlets
            assert (car.outlet_id, car.lead.set_a) == (outlet.id, 10)
            assert 5 <= len(car.routine) <= 7
            assert [contract.tariff_id for contract in home.contracts] == [fleet.tariff_id]
            assert [each.clearance for each in clearances[home.id]] == [Clearance.FIT_TO_USE]
            assert len(list_members(session, home.id)) == 1


@pytest.mark.parametrize(("count", "share", "moving"), [(50, 0.02, 1), (10, 0.02, 1), (50, 0.3, 15), (10, 0, 0)])
def test_the_moving_share_is_rounded_and_at_least_one_unless_none_is_asked_for(
    database: Database, count: int, share: float, moving: int
) -> None:
    fleet = _made(database, count, share=share)
    with database.scheme(FLEET, write=False) as session:
        found = set(session.scalars(select(Household.id).where(Household.region == MOVING_REGION)))
    assert len(fleet.household_ids) == count
    assert len(found) == moving
    assert found == set(fleet.moving_household_ids)


def test_the_same_seed_gives_the_same_fleet_and_another_seed_another(
    database: Database, tmp_path_factory: pytest.TempPathFactory, migrated_file: Path
) -> None:
    other = Database(f"sqlite:///{shutil.copy(migrated_file, tmp_path_factory.mktemp('other') / 'fleet.sqlite3')}")
    assert _made(database, 12) == _made(other, 12)
    assert contents(database) == contents(other)
    assert _made_ids(other, seed=8).isdisjoint(_made_ids_of(database))
    other.close()


def _made_ids(database: Database, *, seed: int) -> set[str]:
    return set(make_fleet(database, "e" * 32, 12, seed=seed, now=NOON).household_ids)


def _made_ids_of(database: Database) -> set[str]:
    with database.scheme(FLEET, write=False) as session:
        return set(session.scalars(select(Household.id)))


def test_more_homes_than_one_write_holds_are_all_written(database: Database) -> None:
    fleet = _made(database, 1_100)
    with database.scheme(FLEET, write=False) as session:
        assert session.scalar(select(func.count()).select_from(Household)) == len(set(fleet.household_ids)) == 1_100
        assert session.scalar(select(func.count()).select_from(Membership)) == 1_100
        assert session.scalar(select(func.count(RoutineDeparture.household_id.distinct()))) == 1_100


@pytest.mark.parametrize(
    "now",
    [datetime(2026, 11, 25, 2, 45, tzinfo=UTC), datetime(2027, 3, 27, 23, 50, tzinfo=UTC)],
    ids=["inside the cheap hours", "the night before summer time"],
)
def test_publishing_the_draft_moves_exactly_the_homes_of_the_moving_region(
    database: Database, tmp_path: Path, now: datetime
) -> None:
    fleet = _made(database, 150, now=now, share=0.1)
    plan(database, tmp_path, now=now)
    before = charging_times(database, FLEET)
    assert set(before) == set(fleet.household_ids)
    assert all(before.values())
    with database.scheme(FLEET, write=True) as session:
        publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=now)
    plan(database, tmp_path, now=now)
    after = charging_times(database, FLEET)
    assert {home for home in after if after[home] != before[home]} == set(fleet.moving_household_ids)
