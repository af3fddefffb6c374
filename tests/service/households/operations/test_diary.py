"""Routines and journeys of a car."""

from datetime import timedelta
from decimal import Decimal

import pytest
from sqlalchemy.orm.exc import StaleDataError

from service.common.errors import NotFound, Rejected
from service.households import operations
from service.households.domain.diary import DatedJourney, WeeklyDeparture
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import NOON, WRITING, FurnishedHome, car_details, furnished_home

MONDAY = WeeklyDeparture(0, 450, 1065, 0, Decimal("42.5"))
NIGHT = WeeklyDeparture(6, 1275, 430, 1, Decimal(31))
DAY_TRIP = DatedJourney(NOON + timedelta(days=2), NOON + timedelta(days=2, hours=9), Decimal(120), note="choir")


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home with one car, committed."""
    home = furnished_home(session)
    session.commit()
    return home


def test_a_routine_is_replaced_whole_and_its_version_rises(session: SchemeSession, home: FurnishedHome) -> None:
    empty = operations.get_routine(session, home.id, home.car_id)
    assert (empty.version, empty.departures) == (1, ())
    operations.put_routine(session, home.id, home.car_id, [NIGHT, MONDAY], **WRITING)
    routine = operations.get_routine(session, home.id, home.car_id)
    assert (routine.version, routine.departures) == (2, (MONDAY, NIGHT))
    assert operations.put_routine(session, home.id, home.car_id, [], **WRITING).departures == ()


def test_a_new_routine_changes_plans_but_is_no_edit_of_the_car(session: SchemeSession, home: FurnishedHome) -> None:
    count = operations.get_household(session, home.id).change_counter
    operations.put_routine(session, home.id, home.car_id, [MONDAY], **WRITING)
    assert operations.get_household(session, home.id).change_counter == count + 1
    assert operations.get_vehicle(session, home.id, home.car_id).version == 1


def test_a_routine_replaced_by_somebody_else_meanwhile_is_not_overwritten(
    session: SchemeSession, home: FurnishedHome
) -> None:
    seen = operations.get_routine(session, home.id, home.car_id).version
    operations.put_routine(session, home.id, home.car_id, [NIGHT], of_version=seen, **WRITING)
    with pytest.raises(StaleDataError):
        operations.put_routine(session, home.id, home.car_id, [MONDAY], of_version=seen, **WRITING)
    assert operations.get_routine(session, home.id, home.car_id).departures == (NIGHT,)


def test_one_departure_twice_is_refused(session: SchemeSession, home: FurnishedHome) -> None:
    with pytest.raises(Rejected):
        operations.put_routine(session, home.id, home.car_id, [MONDAY, MONDAY], **WRITING)


def test_a_journey_is_entered_changed_and_taken_out(session: SchemeSession, home: FurnishedHome) -> None:
    journey = operations.add_journey(session, home.id, home.car_id, DAY_TRIP, **WRITING)
    changed = operations.change_journey(session, home.id, home.car_id, journey.id, {"miles": Decimal(99)}, **WRITING)
    assert (changed.miles, changed.note, changed.version) == (Decimal(99), "choir", 2)
    operations.remove_journey(session, home.id, home.car_id, journey.id, **WRITING)
    assert operations.list_journeys(session, home.id, home.car_id, from_at=NOON) == []


def test_the_list_leaves_out_journeys_that_are_over(session: SchemeSession, home: FurnishedHome) -> None:
    operations.add_journey(session, home.id, home.car_id, DAY_TRIP, **WRITING)
    assert len(operations.list_journeys(session, home.id, home.car_id, from_at=NOON)) == 1
    assert operations.list_journeys(session, home.id, home.car_id, from_at=DAY_TRIP.returns_at) == []


def test_a_journey_that_is_over_can_neither_be_entered_nor_made(session: SchemeSession, home: FurnishedHome) -> None:
    past = DatedJourney(NOON - timedelta(hours=5), NOON, Decimal(10))
    with pytest.raises(Rejected):
        operations.add_journey(session, home.id, home.car_id, past, **WRITING)
    journey = operations.add_journey(session, home.id, home.car_id, DAY_TRIP, **WRITING)
    with pytest.raises(Rejected):
        operations.change_journey(
            session, home.id, home.car_id, journey.id,
            {"leaves_at": past.leaves_at, "returns_at": past.returns_at}, **WRITING,
        )


def test_another_cars_journey_is_not_found_under_this_one(session: SchemeSession, home: FurnishedHome) -> None:
    other = operations.add_vehicle(session, home.id, car_details(label="other"), **WRITING)
    journey = operations.add_journey(session, home.id, home.car_id, DAY_TRIP, **WRITING)
    with pytest.raises(NotFound):
        operations.get_journey(session, home.id, other.id, journey.id)
